"""Whether two units work alike though they are wired otherwise: loads held against sources.

For every combination of their contacts, the same loads must lie between the same points. The
circuit is the simulator's own, from ``unit.circuit.elements_of``; nothing is solved. Knows
elements and units; must know no diagram.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import product

from trainer.circuit.elements import Coil, Elements, Timer
from trainer.unit.circuit import elements_of
from trainer.unit.state import Unit

#: Contacts that are tried open and closed; more are left closed.
CONTACTS_MOST = 10
Key = tuple[str, int]


def works_alike(one: Unit, other: Unit) -> bool:
    """Whether every load sees the same in every combination of contact states."""
    mine, theirs = _Wired(elements_of(one)[0]), _Wired(elements_of(other)[0])
    if mine.loads.keys() != theirs.loads.keys():
        return False
    if mine.contacts.keys() == theirs.contacts.keys() and _as_wired(mine, theirs):
        return True
    keys = list(mine.loads)
    names = _contacts(mine, theirs)
    return all(
        _same(mine.classes(keys, closed), theirs.classes(keys, closed))
        for closed in _combinations(names)
    )


class _Wired:
    """A circuit with all that conducts drawn together: points, loads and contacts between them."""

    def __init__(self, elements: Elements) -> None:
        joined = [(r.a, r.b) for r in elements.resistors if _conducts(r.name)]
        self._nets: dict[int, int] = {}
        _join(self._nets, joined)
        self.ends = {s.name: (s.a, s.b) for s in elements.switches}
        self.loads = {key: self._net(node) for key, node in _loads(elements)}
        self.contacts = {name: (self._net(a), self._net(b)) for name, (a, b) in self.ends.items()}

    def _net(self, node: int) -> int:
        return _root(self._nets, node)

    def classes(self, keys: Sequence[Key], closed: frozenset[str]) -> dict[Key, int]:
        """Key -> a number of what it is joined to with these contacts closed."""
        parent: dict[int, int] = {}
        _join(parent, (ends for name, ends in self.contacts.items() if name in closed))
        return {key: _root(parent, self.loads[key]) for key in keys}


def _join(parent: dict[int, int], pairs: Iterable[tuple[int, int]]) -> None:
    for a, b in pairs:
        parent[_root(parent, a)] = _root(parent, b)


def _root(parent: Mapping[int, int], node: int) -> int:
    while (above := parent.get(node, node)) != node:
        node = above
    return node


def _as_wired(mine: _Wired, theirs: _Wired) -> bool:
    """Loads and contacts between the same nets: then no combination tells the two apart."""
    names = mine.contacts
    return _alike(
        [*mine.loads.values(), *(end for name in names for end in mine.contacts[name])],
        [*(theirs.loads[key] for key in mine.loads),
         *(end for name in names for end in theirs.contacts[name])],
    )  # fmt: skip


def _alike(mine: Sequence[int], theirs: Sequence[int]) -> bool:
    """Whether two rows of numbers group their places alike."""
    return len(set(zip(mine, theirs, strict=True))) == len(set(mine)) == len(set(theirs))


def _contacts(mine: _Wired, theirs: _Wired) -> list[str]:
    """Contacts of both, those that hang elsewhere first."""
    common = [name for name in mine.ends if name in theirs.ends]
    return sorted(common, key=lambda n: mine.ends[n] == theirs.ends[n])


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


def _same(mine: dict[Key, int], theirs: dict[Key, int]) -> bool:
    """Whether both group the keys alike, the two leads of a load taken either way."""
    if _alike(list(mine.values()), [theirs[key] for key in mine]):
        return True
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
