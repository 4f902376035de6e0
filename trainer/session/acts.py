"""Acts: what a person can ask to do, in plain names, each a small record.

A moves file is a list of these. Knows form only: whether an act is possible now is ``decide``.
"""

from __future__ import annotations

from functools import cache, reduce
from operator import or_
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import Field, TypeAdapter

from trainer.base.fields import Record
from trainer.session.act import Act, Isolate, Measuring, Note, Noting, Place, Plan, Text
from trainer.session.acts_wiring import (
    Cap,
    Crimp,
    Cut,
    Inspect,
    Label,
    Land,
    Lift,
    Loosen,
    Park,
    Strip,
    TakeOut,
    TakeWire,
    Torque,
    Tug,
)

#: Defined elsewhere and found here too.
__all__ = [
    "Act",
    "Cap",
    "Crimp",
    "Cut",
    "Inspect",
    "Label",
    "Land",
    "Lift",
    "Loosen",
    "Park",
    "Strip",
    "TakeOut",
    "TakeWire",
    "Torque",
    "Tug",
]


class Look(Plan):
    act: Literal["look"] = "look"
    at: Text = "unit"


class Read(Plan):
    act: Literal["read"] = "read"
    what: Literal["job sheet", "nameplate", "diagram", "marking"]
    at: Note = ""


class PutOn(Plan):
    act: Literal["put on"] = "put on"
    items: Annotated[list[Text], Field(max_length=12)]


class ListSource(Plan):
    act: Literal["list source"] = "list source"
    name: Text


class Tell(Plan):
    act: Literal["tell"] = "tell"
    who: Text


class SetZone(Plan):
    act: Literal["set zone"] = "set zone"


class Wipe(Plan):
    act: Literal["wipe"] = "wipe"
    place: Place


class Stand(Plan):
    act: Literal["stand"] = "stand"
    where: Literal["aside", "in front"]


class Thermostat(Isolate):
    act: Literal["thermostat"] = "thermostat"
    to: Literal["call", "off", "cool", "heat"]
    part: Text = "indoor"


class Open(Isolate):
    act: Literal["open"] = "open"
    part: Text


class Close(Isolate):
    act: Literal["close"] = "close"
    part: Text


class LockIt(Isolate):
    act: Literal["lock"] = "lock"
    part: Text


class TagIt(Isolate):
    act: Literal["tag"] = "tag"
    part: Text
    text: Text


class Unlock(Isolate):
    act: Literal["unlock"] = "unlock"
    part: Text


class TryStart(Isolate):
    """Call, listen, and back to off."""

    act: Literal["try start"] = "try start"
    part: Text = "indoor"


class TakeOff(Isolate):
    act: Literal["take off"] = "take off"
    cover: Text


class PutBack(Isolate):
    act: Literal["put back"] = "put back"
    cover: Text


class Wait(Isolate):
    act: Literal["wait"] = "wait"
    seconds: Annotated[float, Field(gt=0.0, le=14400.0)]


class WaitUntil(Isolate):
    """Until capacitors are empty, a thermistor is cold, an overload resets or a timer is ready."""

    act: Literal["wait until"] = "wait until"
    what: Literal["discharged", "cold", "reset", "timer"]


class Declare(Isolate):
    """Declare the unit dead and safe to work on."""

    act: Literal["declare dead"] = "declare dead"


class Select(Measuring):
    act: Literal["select"] = "select"
    instrument: Text
    setting: Text


class SelfCheck(Measuring):
    act: Literal["self check"] = "self check"
    instrument: Text


class InspectLeads(Measuring):
    act: Literal["inspect leads"] = "inspect leads"
    instrument: Text


class Measure(Measuring):
    """With the instrument in hand, red on one place and black on another."""

    act: Literal["measure"] = "measure"
    red: Place
    black: Place
    why: Literal["", "known source", "test", "re-prove"] = ""


class Scope(Measuring):
    """An oscilloscope's two tips and the earthed clip they share, for some milliseconds."""

    act: Literal["scope"] = "scope"
    one: Place
    clip: Place = "chassis"
    two: Annotated[str, Field(max_length=60)] = ""
    ms: Annotated[float, Field(ge=20.0, le=1000.0)] = 100.0


class Sense(Measuring):
    """The pen at a place."""

    act: Literal["sense"] = "sense"
    place: Place


class Clamp(Measuring):
    """Jaws round conductors: tags by comma, "-" before one that runs backwards."""

    act: Literal["clamp"] = "clamp"
    wires: Text


class Discharge(Measuring):
    act: Literal["discharge"] = "discharge"
    a: Place
    b: Place
    seconds: Annotated[float, Field(gt=0.0, le=600.0)] = 10.0


class Short(Measuring):
    """A screwdriver across two places."""

    act: Literal["short"] = "short"
    a: Place
    b: Place


class Touch(Measuring):
    """A bare hand on a place, the other on something else."""

    act: Literal["touch"] = "touch"
    place: Place
    other: Place = "chassis"


class Tool(Noting):
    """A tool laid in the cabinet, or taken out again."""

    act: Literal["tool"] = "tool"
    name: Text
    to: Literal["in", "out"]


class Fit(Noting):
    """Exchange a part for another type from the tray, its wires off."""

    act: Literal["fit"] = "fit"
    part: Text
    type: Text


class Route(Noting):
    act: Literal["route"] = "route"
    wire: Text
    past: Note = ""


class Mount(Noting):
    act: Literal["mount"] = "mount"
    part: Text
    looked_behind: bool = False


class TakeDown(Noting):
    """A part out of the unit, its wires off."""

    act: Literal["take down"] = "take down"
    part: Text


class Photos(Noting):
    """Look at a photograph taken before."""

    act: Literal["see photograph"] = "see photograph"
    what: Text


class Hint(Noting):
    """Ask for help: 1 where to look, 2 what to think of, 3 what to do."""

    act: Literal["hint"] = "hint"
    tier: Literal[1, 2, 3] = 1


class Photograph(Noting):
    act: Literal["photograph"] = "photograph"
    what: Text


class RecordIt(Noting):
    """A value for the record; ``reading`` is the number of the event it was read in."""

    act: Literal["record"] = "record"
    what: Text
    value: Text
    reading: Annotated[int, Field(ge=0)] = 0


class NameFault(Noting):
    act: Literal["name fault"] = "name fault"
    fault: Text
    evidence: list[Annotated[int, Field(ge=1)]] = []


class SecondLook(Noting):
    act: Literal["second look"] = "second look"


class CleanUp(Noting):
    act: Literal["clean up"] = "clean up"


class SignOff(Noting):
    act: Literal["sign off"] = "sign off"


class HandOver(Noting):
    act: Literal["hand over"] = "hand over"
    words: Note = ""


ACTS: dict[str, type[Act]] = {
    str(kind.model_fields["act"].default): kind
    for kind in (
        Look, Read, PutOn, ListSource, Tell, SetZone, Wipe, Stand,
        Thermostat, Open, Close, LockIt, TagIt, Unlock, TryStart, TakeOff, PutBack, Wait, WaitUntil,
        Declare,
        Select, SelfCheck, InspectLeads, Measure, Scope, Sense, Clamp, Discharge, Short, Touch,
        Lift, Loosen, Cut, Strip, Crimp, Land, Torque, Tug, Inspect, Cap, Park, Label,
        TakeWire, TakeOut, Tool, Fit, Route, Mount, TakeDown, Photograph, Photos, RecordIt,
        NameFault, SecondLook, CleanUp, Hint, SignOff, HandOver,
    )
}  # fmt: skip

if TYPE_CHECKING:
    AnyAct = Act
else:
    AnyAct = Annotated[reduce(or_, ACTS.values()), Field(discriminator="act")]


class Moves(Record):
    """A moves file: acts in order."""

    moves: Literal[1]
    scenario: str = ""
    acts: Annotated[list[AnyAct], Field(max_length=5000)]


def act_from(data: Any) -> Act:
    """An act from plain data of an event. Raises pydantic's ValidationError."""
    return _adapter().validate_python(data)


@cache
def _adapter() -> TypeAdapter[Act]:
    return TypeAdapter(AnyAct)


def load_moves(path: Path) -> Moves:
    from trainer.base.yamlfile import load

    return load(path, Moves)
