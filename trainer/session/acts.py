"""Acts: what a person can ask to do, in plain names, each a small record.

A moves file is a list of these. Knows form only: whether an act is possible now is ``decide``.
"""

from __future__ import annotations

from functools import reduce
from operator import or_
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, ClassVar, Literal

from pydantic import Field, TypeAdapter

from trainer.base.fields import Record
from trainer.unit.conductor import Fitting, Side

Text = Annotated[str, Field(min_length=1, max_length=200)]
Place = Annotated[str, Field(min_length=1, max_length=60)]
Note = Annotated[str, Field(max_length=500)]


class Act(Record):
    """``group`` says which module decides it."""

    group: ClassVar[str] = ""
    act: str


class _Plan(Act):
    group: ClassVar[str] = "planning"


class _Isolate(Act):
    group: ClassVar[str] = "isolating"


class _Measure(Act):
    group: ClassVar[str] = "measuring"


class _Wire(Act):
    """On one end of one conductor."""

    group: ClassVar[str] = "wiring"
    wire: Text
    end: Side


class _Note(Act):
    group: ClassVar[str] = "noting"


class Look(_Plan):
    act: Literal["look"] = "look"
    at: Text = "unit"


class Read(_Plan):
    act: Literal["read"] = "read"
    what: Literal["job sheet", "nameplate", "diagram", "marking"]
    at: Note = ""


class PutOn(_Plan):
    act: Literal["put on"] = "put on"
    items: Annotated[list[Text], Field(max_length=12)]


class ListSource(_Plan):
    act: Literal["list source"] = "list source"
    name: Text


class Tell(_Plan):
    act: Literal["tell"] = "tell"
    who: Text


class SetZone(_Plan):
    act: Literal["set zone"] = "set zone"


class Wipe(_Plan):
    act: Literal["wipe"] = "wipe"
    place: Place


class Stand(_Plan):
    act: Literal["stand"] = "stand"
    where: Literal["aside", "in front"]


class Thermostat(_Isolate):
    act: Literal["thermostat"] = "thermostat"
    to: Literal["call", "off", "cool", "heat"]
    part: Text = "indoor"


class Open(_Isolate):
    act: Literal["open"] = "open"
    part: Text


class Close(_Isolate):
    act: Literal["close"] = "close"
    part: Text


class LockIt(_Isolate):
    act: Literal["lock"] = "lock"
    part: Text


class TagIt(_Isolate):
    act: Literal["tag"] = "tag"
    part: Text
    text: Text


class Unlock(_Isolate):
    act: Literal["unlock"] = "unlock"
    part: Text


class TryStart(_Isolate):
    """Call, listen, and back to off."""

    act: Literal["try start"] = "try start"
    part: Text = "indoor"


class TakeOff(_Isolate):
    act: Literal["take off"] = "take off"
    cover: Text


class PutBack(_Isolate):
    act: Literal["put back"] = "put back"
    cover: Text


class Wait(_Isolate):
    act: Literal["wait"] = "wait"
    seconds: Annotated[float, Field(gt=0.0, le=14400.0)]


class Declare(_Isolate):
    """Declare the unit dead and safe to work on."""

    act: Literal["declare dead"] = "declare dead"


class Select(_Measure):
    act: Literal["select"] = "select"
    instrument: Text
    setting: Text


class SelfCheck(_Measure):
    act: Literal["self check"] = "self check"
    instrument: Text


class InspectLeads(_Measure):
    act: Literal["inspect leads"] = "inspect leads"
    instrument: Text


class Measure(_Measure):
    """With the instrument in hand, red on one place and black on another."""

    act: Literal["measure"] = "measure"
    red: Place
    black: Place
    why: Literal["", "known source", "test", "re-prove"] = ""


class Sense(_Measure):
    """The pen at a place."""

    act: Literal["sense"] = "sense"
    place: Place


class Clamp(_Measure):
    """Jaws round conductors: tags by comma, "-" before one that runs backwards."""

    act: Literal["clamp"] = "clamp"
    wires: Text


class Discharge(_Measure):
    act: Literal["discharge"] = "discharge"
    a: Place
    b: Place
    seconds: Annotated[float, Field(gt=0.0, le=600.0)] = 10.0


class Short(_Measure):
    """A screwdriver across two places."""

    act: Literal["short"] = "short"
    a: Place
    b: Place


class Touch(_Measure):
    """A bare hand on a place, the other on something else."""

    act: Literal["touch"] = "touch"
    place: Place
    other: Place = "chassis"


class Lift(_Wire):
    act: Literal["lift"] = "lift"
    by: Literal["terminal", "wire"] = "terminal"


class Loosen(_Wire):
    act: Literal["loosen"] = "loosen"


class Cut(_Wire):
    act: Literal["cut"] = "cut"


class Strip(_Wire):
    act: Literal["strip"] = "strip"
    mm: Annotated[float, Field(gt=0.0, le=60.0)] = 8.0
    tool: Literal["stripper", "knife"] = "stripper"


class Crimp(_Wire):
    act: Literal["crimp"] = "crimp"
    fitting: Fitting = "female_250"
    tool: Literal["ratchet", "pliers", "wrong die"] = "ratchet"


class Land(_Wire):
    act: Literal["land"] = "land"
    place: Place
    push: Literal["fully", "half"] = "fully"


class Torque(_Wire):
    act: Literal["torque"] = "torque"
    nm: Annotated[float, Field(gt=0.0, le=60.0)]
    means: Literal["torque driver", "feel"] = "torque driver"


class Tug(_Wire):
    act: Literal["tug"] = "tug"


class Inspect(_Wire):
    act: Literal["inspect"] = "inspect"


class Cap(_Wire):
    act: Literal["cap"] = "cap"


class Park(_Wire):
    act: Literal["park"] = "park"


class Label(_Wire):
    act: Literal["label"] = "label"
    text: Text


class Tool(_Note):
    """A tool laid in the cabinet, or taken out again."""

    act: Literal["tool"] = "tool"
    name: Text
    to: Literal["in", "out"]


class Fit(_Note):
    """Exchange a part for another type from the tray, its wires off."""

    act: Literal["fit"] = "fit"
    part: Text
    type: Text


class Route(_Note):
    act: Literal["route"] = "route"
    wire: Text
    past: Note = ""


class Mount(_Note):
    act: Literal["mount"] = "mount"
    part: Text
    looked_behind: bool = False


class Photograph(_Note):
    act: Literal["photograph"] = "photograph"
    what: Text


class RecordIt(_Note):
    """A value for the record; ``reading`` is the number of the event it was read in."""

    act: Literal["record"] = "record"
    what: Text
    value: Text
    reading: Annotated[int, Field(ge=0)] = 0


class NameFault(_Note):
    act: Literal["name fault"] = "name fault"
    fault: Text
    evidence: list[Annotated[int, Field(ge=1)]] = []


class SecondLook(_Note):
    act: Literal["second look"] = "second look"


class CleanUp(_Note):
    act: Literal["clean up"] = "clean up"


class SignOff(_Note):
    act: Literal["sign off"] = "sign off"


class HandOver(_Note):
    act: Literal["hand over"] = "hand over"
    words: Note = ""


ACTS: dict[str, type[Act]] = {
    str(kind.model_fields["act"].default): kind
    for kind in (
        Look, Read, PutOn, ListSource, Tell, SetZone, Wipe, Stand,
        Thermostat, Open, Close, LockIt, TagIt, Unlock, TryStart, TakeOff, PutBack, Wait, Declare,
        Select, SelfCheck, InspectLeads, Measure, Sense, Clamp, Discharge, Short, Touch,
        Lift, Loosen, Cut, Strip, Crimp, Land, Torque, Tug, Inspect, Cap, Park, Label,
        Tool, Fit, Route, Mount, Photograph, RecordIt, NameFault, SecondLook, CleanUp, SignOff,
        HandOver,
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
    adapter: TypeAdapter[Act] = TypeAdapter(AnyAct)
    return adapter.validate_python(data)


def load_moves(path: Path) -> Moves:
    from trainer.base.yamlfile import load

    return load(path, Moves)
