"""Acts of parts, records and finish. Knows form only."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from trainer.scenario.readings import Meaning
from trainer.session.act import Note, Noting, Text


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
    """Screw a part on; ``x`` and ``y`` in mm from the corner of the cabinet say where.

    ``arrow``: how a relay's arrow points, or a capacitor's terminals. ``strap`` round a capacitor.
    """

    act: Literal["mount"] = "mount"
    part: Text
    looked_behind: bool = False
    screw_mm: Annotated[float, Field(gt=0.0, le=100.0)] = 12.0
    arrow: Literal["up", "sideways", "down"] = "up"
    strap: bool = False
    x: Annotated[float, Field(ge=-20000.0, le=20000.0)] | None = None
    y: Annotated[float, Field(ge=-20000.0, le=20000.0)] | None = None


class LookBehind(Noting):
    """What runs behind a spot before a screw goes in."""

    act: Literal["look behind"] = "look behind"
    x: Annotated[float, Field(ge=-20000.0, le=20000.0)]
    y: Annotated[float, Field(ge=-20000.0, le=20000.0)]


class LabelUnit(Noting):
    act: Literal["label unit"] = "label unit"
    text: Note


class Dispose(Noting):
    act: Literal["dispose"] = "dispose"
    what: Text
    to: Literal["capacitor collection", "scrap metal", "general waste"]


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
    tier: Annotated[int, Field(ge=1, le=3)] = 1


class Photograph(Noting):
    act: Literal["photograph"] = "photograph"
    what: Text


class RecordIt(Noting):
    """A value for the record; ``reading`` is the number of the event it was read in."""

    act: Literal["record"] = "record"
    what: Text
    value: Text
    reading: Annotated[int, Field(ge=0)] = 0
    #: Whether the value is what the sheet allows.
    verdict: Literal["", "in order", "not in order"] = ""


class NameFault(Noting):
    """The cause found, or none; readings cited by event number, and what each of them means."""

    act: Literal["name fault"] = "name fault"
    fault: Text
    evidence: list[Annotated[int, Field(ge=1)]] = []
    meanings: list[Meaning] = []


class SecondLook(Noting):
    act: Literal["second look"] = "second look"


class CleanUp(Noting):
    act: Literal["clean up"] = "clean up"


class SignOff(Noting):
    act: Literal["sign off"] = "sign off"


class HandOver(Noting):
    act: Literal["hand over"] = "hand over"
    words: Note = ""
