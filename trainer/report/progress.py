"""What a person's attempts have shown, what is due for a check again, what comes next.

An objective is a scenario at its level. It is shown after so many clean attempts in a row, of
different seeds, one of them on a later day; or when a clean graded attempt tests its level out.
Days are counted numbers; knows no calendar and no file.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from trainer.assess.marks import Mark
from trainer.report.assets import Spacing
from trainer.report.next_exercise import Offer

Status = Literal["shown", "due", "begun", "not begun"]
GRADED = "graded"


@dataclass(frozen=True)
class Try:
    """One attempt: ``day`` is a number of days, ``clean`` a pass with nothing critical."""

    scenario: str
    level: int
    seed: int
    day: int
    clean: bool
    critical: bool
    graded: bool = False
    file: str = ""


@dataclass(frozen=True)
class Objective:
    """``due`` is the day of the next check; None while nothing was shown. ``how`` says by what."""

    offer: Offer
    status: Status
    tries: int
    shown_on: int | None
    due: int | None
    step: int
    how: str


def try_of(mark: Mark, day: int, hint_tier: int, spacing: Spacing, file: str = "") -> Try:
    """What counts of an attempt; ``hint_tier`` is the highest that was asked for."""
    critical = bool(mark.critical)
    clean = mark.verdict == "pass" and not critical and hint_tier <= spacing.hint_tier_most
    s = mark.subject
    return Try(s.scenario, s.level, s.seed, day, clean, critical, s.mode == GRADED, file)


def objectives(
    tries: Iterable[Try], offers: Sequence[Offer], spacing: Spacing, today: int
) -> list[Objective]:
    """Every objective on offer, by level and name."""
    rows = sorted((t for t in tries if t.day <= today), key=lambda t: t.day)
    tested_out = _tested_out(rows, spacing)
    return [
        _objective(offer, [t for t in rows if t.scenario == offer.name], tested_out, spacing, today)
        for offer in sorted(offers, key=lambda o: (o.level, o.name))
    ]


def _tested_out(rows: Sequence[Try], spacing: Spacing) -> dict[int, Try]:
    """Level -> the first clean graded attempt at its test-out scenario."""
    found: dict[int, Try] = {}
    for level, name in spacing.test_out.items():
        first = next((t for t in rows if t.scenario == name and t.graded and t.clean), None)
        if first is not None:
            found[level] = first
    return found


def open_levels(found: Sequence[Objective], spacing: Spacing) -> dict[int, str]:
    """Level -> the scenario that tests it out, where something of the level is not shown yet."""
    levels = {o.offer.level for o in found if o.shown_on is None}
    return {level: name for level, name in spacing.test_out.items() if level in levels}


def _objective(
    offer: Offer, rows: Sequence[Try], tested_out: dict[int, Try], spacing: Spacing, today: int
) -> Objective:
    out = tested_out.get(offer.level)
    earned = _shown_at(rows, spacing)
    starts = [n for n in (earned, out.day if out else None) if n is not None]
    if not starts:
        status: Status = "begun" if rows else "not begun"
        return Objective(offer, status, len(rows), None, None, 0, "")
    shown_on = min(starts)
    how = "tested out"
    if earned == shown_on:
        how = f"{spacing.clean_in_a_row} clean attempts in a row"
    step, since = _checked(rows, shown_on, spacing)
    due = since + spacing.days[step]
    status = "due" if due <= today else "shown"
    return Objective(offer, status, len(rows), shown_on, due, step, how)


def _shown_at(rows: Sequence[Try], spacing: Spacing) -> int | None:
    """The day on which enough clean attempts of different seeds stood in a row."""
    row: list[Try] = []
    for t in rows:
        if not t.clean:
            row = []
        elif all(t.seed != other.seed for other in row):
            row.append(t)
        if len(row) >= spacing.clean_in_a_row and row[-1].day > row[0].day:
            return t.day
    return None


def _checked(rows: Sequence[Try], shown_on: int, spacing: Spacing) -> tuple[int, int]:
    """(place in the table of days, day it counts from) after every later attempt.

    A clean one on or after its day moves on; a critical error goes back to the first place.
    """
    step, since = 0, shown_on
    for t in rows:
        if t.day < shown_on:
            continue
        if t.critical:
            step, since = 0, t.day
        elif t.clean and t.day >= since + spacing.days[step]:
            step, since = min(step + 1, len(spacing.days) - 1), t.day
    return step, since


def next_of(found: Sequence[Objective]) -> Objective | None:
    """What to do next: what is due first, then what was begun, then the first not begun."""
    due = [o for o in found if o.status == "due"]
    if due:
        return min(due, key=lambda o: (o.due or 0, o.offer.level, o.offer.name))
    for status in ("begun", "not begun"):
        for objective in found:
            if objective.status == status:
                return objective
    return None
