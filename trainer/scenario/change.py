"""Changes that a scenario makes to a unit: wires off and on, parts fitted, values, dirt.

A start state, a target, an alternate and most dials are changes of what the factory built. Knows
units; must know no solver, no name of a planted condition and no mark.
"""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import BeforeValidator, ConfigDict, Field

from trainer.base.errors import FieldError, TrainerError, quoted
from trainer.base.fields import Metres, Record
from trainer.parts.conductors import Gauge
from trainer.unit.catalogue import place_in
from trainer.unit.conductor import SIDES, Conductor, End, Side, part_of
from trainer.unit.layout import factory_end
from trainer.unit.state import Placed, Unit


def formed(pattern: str, what: str, write: str) -> BeforeValidator:
    """Text of one form; anything else is said to be no ``what``."""

    def check(text: Any) -> Any:
        if isinstance(text, str) and not re.fullmatch(pattern, text):
            raise FieldError(f"{quoted(text)} is no {what}", hint=write)
        return text

    return BeforeValidator(check)


EndName = Annotated[
    str, formed(r"[A-Za-z0-9_-]{1,20}\.[ab]", "end of a conductor", "its tag and end, as 7.a")
]
Name = Annotated[str, Field(min_length=1, max_length=60)]


class Fitted(Record):
    """A part that is added, or put in the place of another."""

    type: Name
    where: Name = "unit"
    set: dict[str, Any] = {}


class NewWire(Record):
    """A conductor that is made well where it is landed; without from or to that end is bare.

    Neither given: a length of conductor that lies ready, to be stripped and landed.
    """

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)

    tag: Name
    begin: Name | None = Field(None, alias="from")
    end: Name | None = Field(None, alias="to")
    gauge: Gauge = "14 AWG"
    colour: Name = "BK"
    length: Metres = 0.6


class Change(Record):
    """In this order: conductors out, ends lifted, parts out, fitted and set, ends landed,
    conductors added, colours."""

    remove: Annotated[list[Name], Field(max_length=60)] = []
    lift: Annotated[list[EndName], Field(max_length=60)] = []
    land: dict[EndName, Name] = {}
    parts_out: Annotated[list[Name], Field(max_length=20)] = []
    parts: dict[Name, Fitted] = {}
    set: dict[Name, dict[str, Any]] = {}
    add: Annotated[list[NewWire], Field(max_length=60)] = []
    colours: dict[Name, Name] = {}

    @property
    def nothing(self) -> bool:
        return self == Change()


def apply(unit: Unit, change: Change) -> Unit:
    """The unit with a change made. Raises TrainerError naming what the unit has not."""
    for tag in change.remove:
        _conductor(unit, tag)
        unit = unit.without_conductor(tag)
    for end in change.lift:
        tag, side = end_of(end)
        unit = unit.with_conductor(_conductor(unit, tag).with_end(side, on=None, seated=0.0))
    for name in change.parts_out:
        unit = _without(unit, name)
    for name, fitted in change.parts.items():
        unit = unit.with_part(name, Placed(**fitted.model_dump()))
    for name, fields in change.set.items():
        unit = _changed(unit, name, fields)
    for end, place in change.land.items():
        tag, side = end_of(end)
        unit = unit.with_conductor(_landed(unit, _conductor(unit, tag), side, place))
    for wire in change.add:
        unit = unit.with_conductor(_made(unit, wire))
    for tag, colour in change.colours.items():
        recoloured = _conductor(unit, tag).model_copy(update={"colour": colour})
        unit = unit.with_conductor(recoloured)
    return unit


def end_of(name: str) -> tuple[str, Side]:
    """("7", "a") of "7.a"."""
    tag, _, side = name.rpartition(".")
    return tag, SIDES[0] if side == SIDES[0] else SIDES[1]


def types_of(unit: Unit) -> dict[str, str]:
    return {name: placed.type for name, placed in unit.parts.items()}


def _conductor(unit: Unit, tag: str) -> Conductor:
    if tag not in unit.conductors:
        has = ", ".join(list(unit.conductors)[:20])
        raise TrainerError(f"there is no conductor {quoted(tag)}", hint=f"one of {has}")
    return unit.conductors[tag]


def _without(unit: Unit, name: str) -> Unit:
    """The unit without a part. Raises TrainerError when a conductor is still on it."""
    if name not in unit.parts:
        raise TrainerError(f"there is no part {quoted(name)}", hint=", ".join(unit.parts))
    wires = unit.conductors.values()
    on = [c.tag for c in wires for s in SIDES if part_of(c.end(s).on or "") == name]
    if on:
        what = f"conductors {', '.join(on)} are still on {name}"
        raise TrainerError(what, hint="remove or lift them in the same change")
    return unit.without_part(name)


def _changed(unit: Unit, name: str, fields: dict[str, Any]) -> Unit:
    if name not in unit.parts:
        raise TrainerError(f"there is no part {quoted(name)}", hint=", ".join(unit.parts))
    placed = unit.parts[name]
    return unit.with_part(name, placed.model_copy(update={"set": {**placed.set, **fields}}))


def _landed(unit: Unit, conductor: Conductor, side: Side, place: str) -> Conductor:
    end = factory_end(place, place_in(types_of(unit), place))
    return conductor.with_end(side, **{**end.model_dump(), "label": conductor.end(side).label})


def _made(unit: Unit, wire: NewWire) -> Conductor:
    if wire.tag in unit.conductors:
        raise TrainerError(f"there is a conductor {quoted(wire.tag)} already", hint="another tag")
    types = types_of(unit)
    begin, end = (
        End(stripped_mm=0.0) if p is None else factory_end(p, place_in(types, p))
        for p in (wire.begin, wire.end)
    )
    return Conductor(
        tag=wire.tag, gauge=wire.gauge, colour=wire.colour, length_m=wire.length, a=begin, b=end,
        factory=False,
    )  # fmt: skip
