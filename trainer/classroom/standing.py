"""What counts of an attempt: its latest grade with the overrides that stand laid over it.

Of one moment when asked, so that what was shown then can be told later. Knows rows of grades and
overrides; must know no release and no person.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from sqlalchemy import Connection, Row, select

from trainer.assess.score import ENDINGS
from trainer.assess.showing import floored
from trainer.store.tables import critical_event, grade, override

MICRO = 1_000_000


@dataclass(frozen=True)
class Standing:
    """An override that counts now. ``based_on`` is the grade its author had before him."""

    id: str
    field: str
    old: str
    new: str
    reason_code: str
    reason: str
    based_on: str
    made_ms: int
    made_by: str


@dataclass(frozen=True)
class Effective:
    """``total``, ``verdict`` and ``critical`` count; ``computed_*`` is what the scorer said.

    ``notes`` tell of overrides that were given on another grade than the latest.
    """

    attempt_id: str
    grade_id: str
    revision: int
    scorer: str
    rubric_digest: str
    total: Fraction
    total_micro: int
    cut: Fraction
    verdict: str
    critical: tuple[str, ...]
    hints: int
    computed_total: Fraction
    computed_verdict: str
    computed_critical: tuple[str, ...]
    overrides: tuple[Standing, ...]
    notes: tuple[str, ...]
    graded_ms: int
    body: Mapping[str, Any]

    @property
    def shown(self) -> str:
        return floored(self.total, self.cut)


def effective(
    connection: Connection, attempt_id: str, at_ms: int | None = None
) -> Effective | None:
    """What counts, or counted at ``at_ms``; None before the first grade."""
    g = grade.c
    made = select(grade).where(g.attempt_id == attempt_id).order_by(g.revision.desc()).limit(1)
    if at_ms is not None:
        made = made.where(g.made_ms <= at_ms)
    row = connection.execute(made).first()
    if row is None:
        return None
    return laid_over(connection, row, standing(connection, attempt_id, at_ms))


def laid_over(connection: Connection, row: Row[Any], over: tuple[Standing, ...]) -> Effective:
    """A grade's row with overrides over it. The verdict follows from both unless it is overridden.

    The rule of the verdict is the scorer's: no critical error, the cut reached, every domain at
    its floor, no ending that is none; so without overrides it is the computed one.
    """
    by_field = {o.field: o.new for o in over}
    codes = critical_codes(connection, row.id)
    total = Fraction(by_field.get("total", row.total))
    critical = codes_in(by_field["critical"]) if "critical" in by_field else codes
    cut = Fraction(row.cut)
    verdict = by_field.get("verdict")
    if verdict is None:
        changed = by_field.keys() & {"total", "critical"}
        verdict = verdict_of(total, cut, critical, row.body) if changed else row.verdict
    return Effective(
        row.attempt_id, row.id, row.revision, row.scorer, row.rubric_digest, total, micro(total),
        cut, verdict, critical, row.hints, Fraction(row.total), row.verdict, codes, over,
        _changed(connection, row, codes, over), row.made_ms, row.body,
    )  # fmt: skip


def verdict_of(
    total: Fraction, cut: Fraction, critical: tuple[str, ...], body: Mapping[str, Any]
) -> str:
    """Pass or fail as the scorer decides it, from a total and critical errors that may be given."""
    floors = all(domain["above_floor"] for domain in body["domains"])
    good = total >= cut and not critical and floors and body["ended"] not in ENDINGS
    return "pass" if good else "fail"


def codes_in(text: str) -> tuple[str, ...]:
    return tuple(sorted(text.split(), key=code_order))


def standing(
    connection: Connection, attempt_id: str, at_ms: int | None = None
) -> tuple[Standing, ...]:
    """The latest override of each field, unless the latest row of it takes it back."""
    o = override.c
    rows = select(override).where(o.attempt_id == attempt_id).order_by(o.made_ms, o.id)
    if at_ms is not None:
        rows = rows.where(o.made_ms <= at_ms)
    latest = {row.field: row for row in connection.execute(rows)}
    return tuple(
        Standing(
            r.id, r.field, r.old, r.new, r.reason_code, r.reason, r.based_on, r.made_ms, r.made_by
        )
        for field, r in sorted(latest.items())
        if not r.undone
    )


def _changed(
    connection: Connection, row: Row[Any], codes: tuple[str, ...], over: tuple[Standing, ...]
) -> tuple[str, ...]:
    """A sentence for each override that was given on an earlier grade."""
    told = []
    for one in over:
        if one.based_on == row.id:
            continue
        seen = connection.execute(select(grade).where(grade.c.id == one.based_on)).one()
        then = base_value(seen, one.field, critical_codes(connection, seen.id))
        now = base_value(row, one.field, codes)
        change = (
            f"base changed {then} -> {now}" if then != now else f"base marked anew, still {now}"
        )
        told.append(f"{one.field} is overridden: base {change}")
    return tuple(told)


def base_value(row: Row[Any], field: str, codes: tuple[str, ...]) -> str:
    """What the scorer said of a field, in words."""
    if field == "total":
        return floored(Fraction(row.total), Fraction(row.cut))
    return str(row.verdict) if field == "verdict" else " ".join(codes) or "none"


def critical_codes(connection: Connection, grade_id: str) -> tuple[str, ...]:
    c = critical_event.c
    found = connection.execute(select(c.code).where(c.grade_id == grade_id).distinct())
    return tuple(sorted((row.code for row in found), key=code_order))


def code_order(code: str) -> tuple[int, str]:
    """CF2 before CF13."""
    digits = "".join(filter(str.isdigit, code))
    return int(digits or 0), code


def exact_text(value: Fraction) -> str:
    return f"{value.numerator}/{value.denominator}"


def micro(value: Fraction) -> int:
    """Whole millionths, rounded down: for sorting, never for deciding."""
    return value.numerator * MICRO // value.denominator
