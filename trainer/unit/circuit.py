"""From a unit to the elements of its circuit: parts write themselves, conductors are resistors.

A loose end is a node of its own, ``wire:TAG.a`` or ``.b``, and can be live. A landed end whose
joint is poor keeps such a node too, so that the volts across the joint can be measured. Knows
no analysis, no act and no right answer.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import Any, TypeVar

from trainer.base.errors import NotFoundError, quoted
from trainer.circuit.elements import CHASSIS, Elements, Resistor
from trainer.parts import Part
from trainer.parts.conductors import ohms_of
from trainer.unit.catalogue import Place, electrical, place_in, type_of
from trainer.unit.conductor import SIDES, Conductor, End, part_of, terminal_of
from trainer.unit.joints import STRAY_OHMS, bridges, joint_ohms
from trainer.unit.state import Placed, Unit

#: A joint with more than this is a place where volts can be found. [ohm]
WORTH_A_NODE_OHMS = 1e-3
#: Circuits built lately, by what they were built from: the very objects, and what in them
#: matters to electricity.
RECENT_MOST = 16
_RECENT: list[tuple[Any, Any, Any, tuple[Elements, Nodes]]] = []
_PARTS: list[tuple[Mapping[str, Placed], Mapping[str, Part]]] = []
#: What matters of a conductor or a part, by its id, with the very record.
_FACTS: dict[int, tuple[object, tuple[Any, ...]]] = {}
FACTS_MOST = 1024
R = TypeVar("R", Conductor, Placed)
_ALIKE: dict[tuple[Any, ...], tuple[Elements, Nodes]] = {}


@dataclass(frozen=True)
class Nodes:
    """Where every place and conductor end is in the circuit."""

    numbers: Mapping[str, int]

    def at(self, place: str) -> int:
        """Node of a place, a terminal, "chassis" or a conductor end. Raises NotFoundError."""
        name = place if place in self.numbers else terminal_of(place)
        if name not in self.numbers:
            raise NotFoundError(f"there is no place {quoted(place)} on this unit")
        return self.numbers[name]

    def __contains__(self, place: str) -> bool:
        return place in self.numbers or terminal_of(place) in self.numbers

    def same(self, a: str, b: str) -> bool:
        return self.at(a) == self.at(b)


@dataclass(frozen=True)
class Link:
    """A resistance that an instrument, a tool or a body adds between two places."""

    name: str
    a: str
    b: str
    ohms: float


def parts_of(parts: Mapping[str, Placed]) -> Mapping[str, Part]:
    """The electrical part of everything that has one; the same parts give the same object."""
    for known, found in _PARTS:
        if known is parts:
            return found
    each = {name: electrical(p.type, p.set) for name, p in parts.items()}
    found = MappingProxyType({name: part for name, part in each.items() if part is not None})
    _PARTS.append((parts, found))
    del _PARTS[:-RECENT_MOST]
    return found


def elements_of(unit: Unit, extra: Iterable[Link | Resistor] = ()) -> tuple[Elements, Nodes]:
    """The circuit as it is wired now; ``extra`` are links or ready resistors.

    The same wiring gives the same object again, so it must only be read.
    """
    links = tuple(extra)
    if links:
        return _built(unit, links)
    for known in _RECENT:
        if known[0] is unit.conductors and known[1] is unit.parts and known[2] == unit.joins:
            return known[3]
    key = (_wiring(unit.conductors), _fitted(unit.parts), unit.joins)
    found = _ALIKE.pop(key, None) or _built(unit, ())
    _ALIKE[key] = found  # the latest last
    if len(_ALIKE) > RECENT_MOST:
        del _ALIKE[next(iter(_ALIKE))]
    _RECENT.append((unit.conductors, unit.parts, unit.joins, found))
    del _RECENT[:-RECENT_MOST]
    return found


def _wiring(conductors: Mapping[str, Conductor]) -> tuple[Any, ...]:
    """What of conductors matters to electricity: no colour, no label."""
    return tuple([_of(c, _run) for c in conductors.values()])


def _run(c: Conductor) -> tuple[Any, ...]:
    return (c.tag, c.gauge, c.length_m, _joint(c.a), _joint(c.b))


def _joint(end: End) -> tuple[Any, ...]:
    """Of an end that hangs nothing matters; of a tug only that it pulled the fitting off."""
    if end.on is None:
        return ()
    facts = end.on, end.stripped_mm, end.strands, end.fitting
    return (*facts, end.crimp, end.torque_nm, end.seated, end.tug == "slipped")


def _fitted(parts: Mapping[str, Placed]) -> tuple[Any, ...]:
    return tuple([(name, *_of(p, _fitting)) for name, p in parts.items()])


def _fitting(placed: Placed) -> tuple[Any, ...]:
    return placed.type, json.dumps(placed.set, sort_keys=True)


def _of(record: R, facts: Callable[[R], tuple[Any, ...]]) -> tuple[Any, ...]:
    """What matters of a record, asked once for each: an act changes one of thirty."""
    known = _FACTS.get(id(record))
    if known is not None and known[0] is record:
        return known[1]
    if len(_FACTS) >= FACTS_MOST:
        _FACTS.clear()
    found = facts(record)
    _FACTS[id(record)] = record, found  # held, so that its id is not given again
    return found


def _built(unit: Unit, extra: tuple[Link | Resistor, ...]) -> tuple[Elements, Nodes]:
    into = Elements()
    numbers = {"chassis": CHASSIS}
    for name, placed in unit.parts.items():
        _write_part(name, placed, into, numbers)
    types = {name: placed.type for name, placed in unit.parts.items()}
    for conductor in unit.conductors.values():
        _write_conductor(conductor, types, into, numbers)
    _write_accidents(unit, types, into, numbers)
    nodes = Nodes(numbers)
    for link in extra:
        if isinstance(link, Resistor):
            into.add(link)
        else:
            into.resistor(link.name, nodes.at(link.a), nodes.at(link.b), link.ohms)
    return into, nodes


def wire_name(tag: str) -> str:
    """The element that carries a conductor's current."""
    return f"wire:{tag}"


def end_name(tag: str, side: str) -> str:
    """The name of a conductor's end among the nodes."""
    return f"wire:{tag}.{side}"


def _write_part(name: str, placed: Placed, into: Elements, numbers: dict[str, int]) -> None:
    kind = type_of(placed.type)
    for terminal in kind.terminals:
        place = f"{name}.{terminal}"
        numbers[place] = CHASSIS if kind.earth else into.node(place)
    part = electrical(placed.type, placed.set)
    if part is not None:
        part.write(name, into)


def _write_conductor(
    conductor: Conductor, types: Mapping[str, str], into: Elements, numbers: dict[str, int]
) -> None:
    run = ohms_of(conductor.gauge, conductor.length_m)
    ends = []
    for side in SIDES:
        node, ohms = _write_end(conductor.tag, side, conductor.end(side), types, into, numbers)
        ends.append(node)
        run += ohms
    into.resistor(wire_name(conductor.tag), ends[0], ends[1], run, "wires")


def _write_end(
    tag: str, side: str, end: End, types: Mapping[str, str], into: Elements, numbers: dict[str, int]
) -> tuple[int, float]:
    """(node of the conductor's own end, joint ohms that go into its run)."""
    own = end_name(tag, side)
    if end.on is None or terminal_of(end.on) not in numbers:
        numbers[own] = into.node(own)
        return numbers[own], 0.0
    landed, ohms = numbers[terminal_of(end.on)], joint_ohms(end, place_in(types, end.on))
    if ohms <= WORTH_A_NODE_OHMS:
        numbers[own] = landed
        return landed, ohms
    numbers[own] = into.node(own)
    into.resistor(f"joint:{tag}.{side}", numbers[own], landed, ohms, part_of(end.on))
    return numbers[own], 0.0


def _write_accidents(
    unit: Unit, types: Mapping[str, str], into: Elements, numbers: dict[str, int]
) -> None:
    """Planted joins, and stray strands that reach a neighbouring terminal of the same part."""
    for k, (a, b, ohms) in enumerate(unit.joins):
        into.resistor(f"join:{k}", _number(a, numbers), _number(b, numbers), ohms)
    for conductor in unit.conductors.values():
        for side in SIDES:
            end = conductor.end(side)
            found = stray_to(end, types) if end.on else ""
            if end.on and found:
                ends = numbers[terminal_of(end.on)], numbers[found]
                into.resistor(f"stray:{conductor.tag}.{side}", *ends, STRAY_OHMS)


def _number(place: str, numbers: Mapping[str, int]) -> int:
    return Nodes(numbers).at(place)


def stray_to(end: End, types: Mapping[str, str]) -> str:
    """The terminal that a stray strand of this end touches, or ""."""
    if end.on is None or end.strands != "stray" or part_of(end.on) not in types:
        return ""
    here = place_in(types, end.on)
    return "" if here is None else bridges(end, here.at, _others(end.on, types[part_of(end.on)]))


@lru_cache(maxsize=512)
def _others(place: str, type_name: str) -> dict[str, tuple[float, float]]:
    part, own = part_of(place), terminal_of(place)
    return {
        f"{part}.{name}": _first(terminal.places).at
        for name, terminal in type_of(type_name).terminals.items()
        if f"{part}.{name}" != own
    }


def _first(places: list[Place]) -> Place:
    return places[0]
