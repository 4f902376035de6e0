"""The record every act is, and the kinds of act by what decides them. Knows form only."""

from __future__ import annotations

from typing import Annotated, ClassVar

from pydantic import Field

from trainer.base.fields import Record
from trainer.unit.conductor import Side

Text = Annotated[str, Field(min_length=1, max_length=200)]
Place = Annotated[str, Field(min_length=1, max_length=60)]
Note = Annotated[str, Field(max_length=500)]


class Act(Record):
    """``group`` says which module decides it."""

    group: ClassVar[str] = ""
    act: str


class Plan(Act):
    group: ClassVar[str] = "planning"


class Isolate(Act):
    group: ClassVar[str] = "isolating"


class Measuring(Act):
    group: ClassVar[str] = "measuring"


class Wire(Act):
    """On one end of one conductor."""

    group: ClassVar[str] = "wiring"
    wire: Text
    end: Side


class Noting(Act):
    group: ClassVar[str] = "noting"
