"""Readings a scenario speaks of: what the job asks for, and what shows a planted condition.

Knows form only; what a reading gives comes from the circuit.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import ConfigDict, Field

from trainer.base import units
from trainer.base.fields import Record, Seconds
from trainer.scenario.change import Name
from trainer.scenario.dials import OVER_RANGE, FaultId, Span

#: Longest time from a call to a reading: what a proof may cost is bounded. [s]
LONGEST_S = 3600.0
Instrument = Literal["meter", "tester", "clamp", "insulation"]
#: idle: fed and not called for. dead: every source open. running: called for, and time passed.
When = Literal["as found", "idle", "dead", "running"]


Meaning = Literal["open", "shorted", "low", "high", "in order", "live", "dead"]


def lies_in(span: tuple[str, str], value: float | None, unit: str, over: bool = False) -> bool:
    """Whether a displayed value is in a span; ``over`` range is above every number."""
    shown = float("inf") if over else value
    if shown is None:
        return False
    least = units.parse(span[0], unit)
    most = float("inf") if span[1] == OVER_RANGE else units.parse(span[1], unit)
    return bool(least <= shown <= most)


class Reading(Record):
    """Two leads on two places, or a clamp round conductors by tag; ``lifted`` terminals are bare.

    ``setting`` "" is the usual one: V ac, A ac. ``after`` counts from the call.
    """

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)

    name: Name
    with_: Instrument = Field("meter", alias="with")
    setting: Annotated[str, Field(max_length=20)] = ""
    at: Annotated[list[Name], Field(min_length=1, max_length=4)]
    lifted: Annotated[list[Name], Field(max_length=8)] = []
    when: When = "dead"
    after: Annotated[Seconds, Field(le=LONGEST_S)] = 2.0
    #: What the sheet allows; a learner who records the value says whether it is in order.
    accept: Span | None = None


class Symptom(Reading):
    """A reading that lies ``between`` with the condition, and outside without it.

    ``unlike`` are conditions that look the same and differ in this reading.
    """

    between: Span
    #: What such a reading means, in the words a diagnosis cites it with.
    means: Meaning | None = None
    unlike: Annotated[list[FaultId], Field(max_length=8)] = []
