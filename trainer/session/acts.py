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
from trainer.session.act import Act, Isolate, Measuring, Note, Place, Plan, Text
from trainer.session.acts_noting import (
    CleanUp,
    Dispose,
    Fit,
    HandOver,
    Hint,
    LabelUnit,
    LookBehind,
    Mount,
    NameFault,
    Photograph,
    Photos,
    RecordIt,
    Route,
    SecondLook,
    SignOff,
    TakeDown,
    Tool,
)
from trainer.session.acts_wiring import (
    Cap,
    Crimp,
    Cut,
    Dress,
    Inspect,
    Label,
    Land,
    Lift,
    Loosen,
    Park,
    Scrape,
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
    "CleanUp",
    "Crimp",
    "Cut",
    "Dispose",
    "Dress",
    "Fit",
    "HandOver",
    "Hint",
    "Inspect",
    "Label",
    "LabelUnit",
    "Land",
    "Lift",
    "LookBehind",
    "Loosen",
    "Mount",
    "NameFault",
    "Park",
    "Photograph",
    "Photos",
    "RecordIt",
    "Route",
    "Scrape",
    "SecondLook",
    "SignOff",
    "Strip",
    "TakeDown",
    "TakeOut",
    "TakeWire",
    "Tool",
    "Torque",
    "Tug",
]


class Look(Plan):
    act: Literal["look"] = "look"
    at: Text = "unit"


class Read(Plan):
    act: Literal["read"] = "read"
    what: Literal["job sheet", "nameplate", "diagram", "ladder", "marking"]
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
    """A lock off: one's own by its key, anybody's by a bolt cutter."""

    act: Literal["unlock"] = "unlock"
    part: Text
    by: Literal["key", "bolt cutter"] = "key"


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


ACTS: dict[str, type[Act]] = {
    str(kind.model_fields["act"].default): kind
    for kind in (
        Look, Read, PutOn, ListSource, Tell, SetZone, Wipe, Stand,
        Thermostat, Open, Close, LockIt, TagIt, Unlock, TryStart, TakeOff, PutBack, Wait, WaitUntil,
        Declare,
        Select, SelfCheck, InspectLeads, Measure, Scope, Sense, Clamp, Discharge, Short, Touch,
        Lift, Loosen, Cut, Strip, Crimp, Land, Torque, Tug, Inspect, Cap, Park, Label,
        Dress, Scrape, TakeWire, TakeOut, Tool, Fit, Route, LookBehind, Mount, TakeDown, LabelUnit,
        Dispose, Photograph, Photos, RecordIt,
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
