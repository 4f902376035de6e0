"""A conductor as it is: gauge, colour, tag, length, and how each of its two ends was made.

An end is landed on a place (``part.TERMINAL`` or ``part.TERMINAL:tab``, or ``chassis``), or it is
loose: then it hangs in the cabinet and may be live. Knows workmanship as facts; must not know
its ohms, its marks or who made it.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from trainer.base.fields import Record
from trainer.parts.conductors import Gauge

Strands = Literal["whole", "scraped", "severed", "stray"]
Fitting = Literal["none", "female_250", "ring", "fork", "pin"]
Crimp = Literal["none", "full", "light", "pliers", "wrong_die"]
Tug = Literal["no", "held", "slipped"]
Side = Literal["a", "b"]
SIDES: tuple[Side, Side] = ("a", "b")

#: Insulation bared for a 0.250 in barrel or a screw. Invented, of the order of 8 mm.
USUAL_STRIP_MM = 8.0


class End(Record):
    """One end. ``torque_nm`` None: never tightened, or nothing to tighten."""

    on: str | None = None
    stripped_mm: Annotated[float, Field(ge=0.0, le=200.0)] = USUAL_STRIP_MM
    strands: Strands = "whole"
    fitting: Fitting = "none"
    crimp: Crimp = "none"
    torque_nm: Annotated[float, Field(ge=0.0, le=100.0)] | None = None
    seated: Annotated[float, Field(ge=0.0, le=1.0)] = 1.0
    tug: Tug = "no"
    capped: bool = False
    parked: bool = False
    label: str = ""

    @property
    def loose(self) -> bool:
        return self.on is None


class Conductor(Record):
    """One conductor; ``tag`` is its name in the unit and need not be printed on it."""

    tag: str
    gauge: Gauge = "10 AWG"
    colour: str = "BK"
    insulation_v: Annotated[float, Field(gt=0.0, le=2000.0)] = 600.0
    length_m: Annotated[float, Field(gt=0.0, le=1000.0)] = 0.5
    a: End = End()
    b: End = End()
    factory: bool = True

    def end(self, side: Side) -> End:
        return self.a if side == "a" else self.b

    def with_end(self, side: Side, **changed: object) -> Conductor:
        """This conductor with some facts of one end changed."""
        end = self.end(side).model_copy(update=changed)
        return self.model_copy(update={side: end})


def terminal_of(place: str) -> str:
    """The terminal a place belongs to: all tabs of one terminal are one node."""
    return place.partition(":")[0]


def part_of(place: str) -> str:
    """The part a place belongs to; "chassis" for the chassis."""
    return place.partition(".")[0].partition(":")[0]
