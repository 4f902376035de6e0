"""What a check gives: an outcome with its share, one sentence and where it was seen.

Short ways to write the three outcomes. Knows no rule and no event.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Protocol

from trainer.assess.marks import Evidence, Outcome

if TYPE_CHECKING:
    from trainer.assess.job import Job
    from trainer.assess.story import Story


class Seen(Protocol):
    """Anything that has a number of an event and a bench time."""

    @property
    def seq(self) -> int: ...
    @property
    def at_ms(self) -> int: ...


NOWHERE = Evidence()


@dataclass(frozen=True)
class Judged:
    """The result of one check. ``consequence`` is what it did in this circuit, if known."""

    outcome: Outcome
    share: Fraction
    sentence: str
    evidence: Evidence = NOWHERE
    consequence: str = ""


#: A check; None: there was nothing to judge it by in this job, and it is left out.
Check = Callable[["Story", "Job"], Judged | None]


def evidence(rows: Iterable[Seen]) -> Evidence:
    found = list(rows)
    return Evidence(tuple(r.seq for r in found), tuple(r.at_ms for r in found))


def met(sentence: str, *rows: Seen) -> Judged:
    return Judged("met", Fraction(1), sentence, evidence(rows))


def not_met(sentence: str, *rows: Seen, consequence: str = "") -> Judged:
    return Judged("not met", Fraction(0), sentence, evidence(rows), consequence)


def not_shown(sentence: str) -> Judged:
    return Judged("not shown", Fraction(0), sentence)


def partly(good: int, of: int, sentence: str, *rows: Seen) -> Judged:
    """A share of several things of one kind; met only when all are."""
    share = Fraction(good, of)
    return Judged("met" if good == of else "not met", share, sentence, evidence(rows))
