"""Changes of a unit's wiring, parts and joints that a planted condition is made of.

Each takes a unit and gives another; none knows a name for what it does to the machine. Knows
terminals and records; must know no solver and no mark.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from trainer.base.errors import TrainerError
from trainer.unit.catalogue import type_of
from trainer.unit.circuit import parts_of
from trainer.unit.conductor import SIDES, Conductor, End, Side, part_of, terminal_of
from trainer.unit.state import Placed, Unit


def the(unit: Unit, *kinds: str) -> str:
    """The first part of one of these kinds. Raises TrainerError when the unit has none."""
    for kind in kinds:
        for name, part in parts_of(unit.parts).items():
            if getattr(part, "kind", "") == kind:
                return name
    raise TrainerError(f"this unit has no {kinds[0].replace('_', ' ')}", hint="another layout")


def ends_on(unit: Unit, terminal: str) -> list[tuple[str, Side]]:
    """Every conductor end landed on any place of a terminal."""
    return [
        (tag, side)
        for tag, c in unit.conductors.items()
        for side in SIDES
        if (on := c.end(side).on) is not None and terminal_of(on) == terminal
    ]


def place_like(unit: Unit, terminal: str, old: str) -> str:
    """The place of a terminal with the same tab as ``old``, else its first."""
    part, tab = part_of(terminal), old.partition(":")[2]
    has = type_of(unit.parts[part].type).terminals[terminal[len(part) + 1 :]]
    return f"{terminal}:{tab}" if tab and has.place(tab) else terminal


def swap(unit: Unit, one: str, other: str) -> Unit:
    """Everything landed on one terminal goes to the other, and the other way round."""
    moves = [(e, other) for e in ends_on(unit, one)] + [(e, one) for e in ends_on(unit, other)]
    for (tag, side), goal in moves:
        unit = land(unit, tag, side, goal)
    return unit


def land(unit: Unit, tag: str, side: Side, terminal: str) -> Unit:
    """One end moved to a terminal, made as it was."""
    conductor = unit.conductors[tag]
    place = place_like(unit, terminal, conductor.end(side).on or "")
    return unit.with_conductor(conductor.with_end(side, on=place))


def lift(unit: Unit, terminal: str) -> Unit:
    """Every end off a terminal, hanging."""
    for tag, side in ends_on(unit, terminal):
        unit = unit.with_conductor(unit.conductors[tag].with_end(side, on=None, seated=0.0))
    return unit


def far_end_to(unit: Unit, terminal: str, goal: str) -> Unit:
    """The other end of the first conductor on ``terminal`` goes to ``goal``."""
    tag, side = first_on(unit, terminal)
    return land(unit, tag, "b" if side == "a" else "a", goal)


def first_on(unit: Unit, terminal: str) -> tuple[str, Side]:
    found = ends_on(unit, terminal)
    if not found:
        raise TrainerError(f"nothing is landed on {terminal}", hint="another layout")
    return found[0]


def remake(unit: Unit, terminal: str, **facts: Any) -> Unit:
    """The first end on a terminal, made otherwise."""
    tag, side = first_on(unit, terminal)
    return unit.with_conductor(unit.conductors[tag].with_end(side, **facts))


def alter(unit: Unit, part: str, type_name: str = "", **fields: Any) -> Unit:
    """A part with other values, or another type in its place; it starts from rest."""
    placed = unit.parts[part]
    changed = {} if type_name else placed.set
    new = placed.model_copy(update={"type": type_name or placed.type, "set": {**changed, **fields}})
    return unit.with_part(part, new)


def join(unit: Unit, a: str, b: str, ohms: float) -> Unit:
    """Two places touch where they should not."""
    return replace(unit, joins=(*unit.joins, (a, b, ohms)), settled=False)


def add(unit: Unit, name: str, type_name: str, *wires: tuple[str, str, str]) -> Unit:
    """A part more, with conductors (tag, from, to) made well."""
    unit = unit.with_part(name, Placed(type=type_name))
    for tag, begin, end in wires:
        made = Conductor(
            tag=tag, gauge="14 AWG", length_m=0.5, factory=False,
            a=_well_made(begin), b=_well_made(end),
        )  # fmt: skip
        unit = unit.with_conductor(made)
    return unit


def _well_made(place: str) -> End:
    return End(on=place, fitting="female_250", crimp="full", tug="held")
