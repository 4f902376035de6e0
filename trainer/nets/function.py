"""Whether two units work alike though they are wired otherwise: loads held against sources.

For every combination of their contacts, the same loads must lie between the same points. The
circuit is the simulator's own, from ``unit.circuit.elements_of``; nothing is solved. Knows
elements and units; must know no diagram.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import product

from trainer.circuit.elements import Coil, Elements, Switch, Timer
from trainer.unit.circuit import elements_of
from trainer.unit.state import Unit

#: Contacts that are tried open and closed; more are left closed.
CONTACTS_MOST = 10
Key = tuple[str, int]


def works_alike(one: Unit, other: Unit) -> bool:
    """Whether every load sees the same in every combination of contact states."""
    mine, theirs = elements_of(one)[0], elements_of(other)[0]
    keys, others = dict(_loads(mine)), dict(_loads(theirs))
    if keys.keys() != others.keys():
        return False
    names = _contacts(mine, theirs)
    return all(
        _same(_classes(mine, keys, closed), _classes(theirs, others, closed))
        for closed in _combinations(names)
    )


def _contacts(mine: Elements, theirs: Elements) -> list[str]:
    """Contacts of both, those that hang elsewhere first."""
    here = {s.name: s for s in mine.switches}
    there = {s.name: s for s in theirs.switches}
    common = [name for name in here if name in there]
    return sorted(common, key=lambda n: _ends(here[n]) == _ends(there[n]))


def _ends(switch: Switch) -> tuple[int, int]:
    return switch.a, switch.b


def _combinations(names: Sequence[str]) -> Iterator[frozenset[str]]:
    """Sets of closed contacts: all combinations of the first few, the rest closed."""
    varied, rest = names[:CONTACTS_MOST], names[CONTACTS_MOST:]
    for states in product((True, False), repeat=len(varied)):
        closed = {name for name, state in zip(varied, states, strict=True) if state}
        yield frozenset((*closed, *rest))


def _loads(elements: Elements) -> Iterator[tuple[Key, int]]:
    """Every terminal of everything that is no conductor and no contact: (name, which) -> node."""
    pairs: list[tuple[str, Iterable[int]]] = []
    pairs += [(r.name, (r.a, r.b)) for r in elements.resistors if not _conducts(r.name)]
    pairs += [(c.name, (c.a, c.b)) for c in elements.capacitives]
    pairs += [(i.name, [node for node, _ in i.taps]) for i in elements.inductives]
    pairs += [(m.name, (*m.main, *m.aux)) for m in elements.machines]
    for device in elements.devices:
        if isinstance(device, Coil | Timer) and device.sense.volts is not None:
            pairs.append((f"{device.name} feels", device.sense.volts))
    for name, nodes in pairs:
        for k, node in enumerate(nodes):
            yield (name, k), node


def _conducts(name: str) -> bool:
    return name.startswith(("wire:", "joint:", "join:", "stray:"))


def _classes(elements: Elements, keys: dict[Key, int], closed: frozenset[str]) -> dict[Key, int]:
    """Key -> a number of what it is joined to."""
    parent: dict[int, int] = {}

    def root(node: int) -> int:
        while parent.get(node, node) != node:
            node = parent[node]
        return node

    for resistor in elements.resistors:
        if _conducts(resistor.name):
            parent[root(resistor.a)] = root(resistor.b)
    for switch in elements.switches:
        if switch.name in closed:
            parent[root(switch.a)] = root(switch.b)
    return {key: root(node) for key, node in keys.items()}


def _same(mine: dict[Key, int], theirs: dict[Key, int]) -> bool:
    """Whether both group the keys alike, the two leads of a load taken either way."""
    for name in sorted({name for name, _ in mine}):
        first, second = (name, 0), (name, 1)
        if second in mine and (name, 2) not in mine:
            flipped = {**mine, first: mine[second], second: mine[first]}
            if _apart(flipped, theirs) < _apart(mine, theirs):
                mine = flipped
    return _apart(mine, theirs) == 0


def _apart(mine: dict[Key, int], theirs: dict[Key, int]) -> int:
    """Keys whose companions differ."""
    groups = [_companions(classes) for classes in (mine, theirs)]
    return sum(groups[0][key] != groups[1][key] for key in mine)


def _companions(classes: dict[Key, int]) -> dict[Key, frozenset[Key]]:
    members: dict[int, set[Key]] = {}
    for key, number in classes.items():
        members.setdefault(number, set()).add(key)
    frozen = {number: frozenset(keys) for number, keys in members.items()}
    return {key: frozen[number] for key, number in classes.items()}
