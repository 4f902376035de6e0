"""What an instructor says beside the scorer: overrides with a reason, ratings, a second marker.

Rows are only added; taking an override back is another row. Knows attempts and what counts of
them; must know no release and shows no name.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from sqlalchemy import Connection, func, insert, select

from trainer.assess.procedure import procedure
from trainer.base.errors import ConflictError, PolicyError, TrainerError, UsageError, quoted
from trainer.classroom.desk import Desk
from trainer.classroom.grading import hold
from trainer.classroom.standing import Effective, codes_in, effective, exact_text
from trainer.standards.agreement import cohen_kappa
from trainer.standards.borderline import RATINGS, Borderline, borderline_regression
from trainer.store.tables import FIELDS, attempt, override, rating, release

REASON_LEAST, REASON_MOST = 10, 2000
#: Why a mark is set by hand; the reason in words stands beside it.
REASONS = {
    "misread": "the scorer read the evidence otherwise than it was",
    "fault": "the program or the machine failed",
    "circumstances": "something that happened in the room",
    "rubric": "the rubric does not fit this job",
    "second": "two markers agreed on it",
    "mistake": "an earlier override was a mistake",
    "other": "as the reason says",
}
NONE = "none"


@dataclass(frozen=True)
class Agreement:
    """Of two markers; kappa is None where it is not defined."""

    pairs: int
    rating_kappa: Fraction | None
    verdict_kappa: Fraction | None
    differ: tuple[str, ...]


def override_mark(
    desk: Desk, attempt_id: str, field: str, new: str, reason_code: str, reason: str,
    second: str = "",
) -> Effective:  # fmt: skip
    """Set total, verdict or critical of an attempt; what counts after it.

    Raises PolicyError without a reason, TrainerError for a value that is none, ConflictError where
    it would change nothing or there is no grade.
    """
    text = reasoned(reason_code, reason)
    value = _value(field, new)
    with desk.store.writing() as connection:
        now = _graded(connection, attempt_id)
        old = _now(now, field)
        if old == value and field in {o.field for o in now.overrides}:
            raise ConflictError(f"{field} is overridden with {_said(field, value)} already")
        _write(desk, connection, now, field, (old, value), (reason_code, text, second), 0)
        return _after(connection, attempt_id)


def take_back(desk: Desk, attempt_id: str, field: str, reason_code: str, reason: str) -> Effective:
    """The computed value counts again. Raises as ``override_mark``."""
    text = reasoned(reason_code, reason)
    with desk.store.writing() as connection:
        now = _graded(connection, attempt_id)
        standing = next((o for o in now.overrides if o.field == field), None)
        if standing is None:
            raise ConflictError(f"{quoted(field)} is not overridden: there is nothing to take back")
        computed = {
            "total": exact_text(now.computed_total), "verdict": now.computed_verdict,
            "critical": " ".join(now.computed_critical),
        }[field]  # fmt: skip
        _write(desk, connection, now, field, (standing.new, computed), (reason_code, text, ""), 1)
        return _after(connection, attempt_id)


def reasoned(code: str, reason: str) -> str:
    """The reason, cleaned. Raises PolicyError for none, UsageError for an unknown code."""
    if code not in REASONS:
        raise UsageError(
            f"{quoted(code)} is no kind of reason", hint=f"one of {', '.join(REASONS)}"
        )
    text = " ".join(reason.split())
    if len(text) < REASON_LEAST:
        what = f"an override needs a reason of {REASON_LEAST} characters or more"
        raise PolicyError(what, hint="say what was seen, for whoever asks three months later")
    return text[:REASON_MOST]


def _value(field: str, new: str) -> str:
    """The value as it is kept: an exact total, pass or fail, codes parted by spaces."""
    if field not in FIELDS:
        raise UsageError(
            f"{quoted(field)} cannot be overridden", hint=f"one of {', '.join(FIELDS)}"
        )
    text = new.strip()
    if field == "total":
        return exact_text(_points(text))
    if field == "verdict":
        if text not in ("pass", "fail"):
            raise UsageError(f"{quoted(new)} is no verdict", hint="pass or fail")
        return text
    codes = [] if text == NONE else text.replace(",", " ").split()
    known = procedure().critical
    for code in codes:
        if code not in known:
            hint = f"{NONE}, or codes of {', '.join(known)}"
            raise UsageError(f"{quoted(code)} is no critical error", hint=hint)
    return " ".join(codes_in(" ".join(dict.fromkeys(codes))))


def _points(text: str) -> Fraction:
    whole, _, after = text.partition(".")
    if not (whole.isascii() and whole.isdigit() and len(whole) <= 3 and len(after) <= 6):
        raise UsageError(f"{quoted(text)} is no total", hint="points from 0 to 100, such as 72.5")
    if after and not (after.isascii() and after.isdigit()):
        raise UsageError(f"{quoted(text)} is no total", hint="points from 0 to 100, such as 72.5")
    value = Fraction(text)
    if value > 100:
        raise UsageError(f"{quoted(text)} is more than a hundred", hint="points from 0 to 100")
    return value


def _graded(connection: Connection, attempt_id: str) -> Effective:
    hold(connection, attempt_id)
    found = effective(connection, attempt_id)
    if found is None:
        raise ConflictError("the attempt is not graded yet", attempt_id, "grade it first")
    return found


def _after(connection: Connection, attempt_id: str) -> Effective:
    found = effective(connection, attempt_id)
    if found is None:
        raise TrainerError("the grade is gone", attempt_id)
    return found


def _now(found: Effective, field: str) -> str:
    if field == "total":
        return exact_text(found.total)
    return found.verdict if field == "verdict" else " ".join(found.critical)


def _said(field: str, value: str) -> str:
    return f"{float(Fraction(value)):g}" if field == "total" else value or NONE


def _write(
    desk: Desk, connection: Connection, now: Effective, field: str, change: tuple[str, str],
    because: tuple[str, str, str], undone: int,
) -> None:  # fmt: skip
    (old, new), (code, reason, second) = change, because
    row: dict[str, Any] = {
        "id": desk.new_id(), "attempt_id": now.attempt_id, "based_on": now.grade_id,
        "field": field, "old": old, "new": new, "reason_code": code, "reason": reason,
        "undone": undone, "made_ms": _next_ms(desk, connection, now.attempt_id),
        "made_by": desk.who, "second": second,
    }  # fmt: skip
    connection.execute(insert(override).values(**row))
    note = {k: row[k] for k in ("field", "old", "new", "reason_code", "reason", "second")}
    what = "override taken back" if undone else "override"
    desk.note(connection, what, now.attempt_id, {**note, "based_on": now.grade_id})


def _next_ms(desk: Desk, connection: Connection, attempt_id: str) -> int:
    """Now, or a thousandth past what is there: an attempt's rows are told in order by time."""
    latest = [desk.now_ms]
    for table in (override, rating, release):
        made = select(func.max(table.c.made_ms)).where(table.c.attempt_id == attempt_id)
        latest.append((connection.scalar(made) or 0) + 1)
    return max(latest)


# -- ratings and the second marker ------------------------------------------------------------


def rate(desk: Desk, attempt_id: str, value: int, verdict: str = "", second: bool = False) -> None:
    """A global rating by whoever sits at the desk; a later one of his replaces it.

    ``second``: he must not be the first who rated it. Raises UsageError, ConflictError.
    """
    if value not in RATINGS:
        raise UsageError(f"{value} is no rating", hint="1 unsafe, 2 borderline, ... 5 exemplary")
    if verdict not in ("", "pass", "fail"):
        raise UsageError(f"{quoted(verdict)} is no verdict", hint="pass or fail")
    with desk.store.writing() as connection:
        hold(connection, attempt_id)
        first = _first_marker(connection, attempt_id)
        if second and first in (None, desk.who):
            what = "nobody rated it yet" if first is None else "you rated it first yourself"
            raise ConflictError(
                what, attempt_id, "a second marker is another person than the first"
            )
        row = {
            "id": desk.new_id(), "attempt_id": attempt_id, "rating": value, "verdict": verdict,
            "made_by": desk.who, "made_ms": _next_ms(desk, connection, attempt_id),
        }  # fmt: skip
        connection.execute(insert(rating).values(**row))
        desk.note(connection, "rated", attempt_id, {"rating": value, "verdict": verdict})


def _first_marker(connection: Connection, attempt_id: str) -> str | None:
    asked = select(rating.c.made_by).where(rating.c.attempt_id == attempt_id)
    return connection.scalar(asked.order_by(rating.c.made_ms).limit(1))


def ratings_of(connection: Connection, assignment_id: str) -> dict[str, dict[str, tuple[int, str]]]:
    """Attempt -> marker -> (his latest rating, verdict or ""), markers in the order they came."""
    r = rating.c
    asked = (
        select(r.attempt_id, r.made_by, r.rating, r.verdict)
        .join(attempt, r.attempt_id == attempt.c.id)
        .where(attempt.c.assignment_id == assignment_id)
        .order_by(r.made_ms, r.id)
    )
    found: dict[str, dict[str, tuple[int, str]]] = {}
    for row in connection.execute(asked):
        found.setdefault(row.attempt_id, {})[row.made_by] = (row.rating, row.verdict)
    return found


def agreement(connection: Connection, assignment_id: str) -> Agreement:
    """Of the first two markers of each attempt. A first marker who gave no verdict stands by the
    mark that counts."""
    pairs = []
    for attempt_id, by in ratings_of(connection, assignment_id).items():
        if len(by) < 2:
            continue
        (one, said), (two, said_too) = list(by.values())[:2]
        mark = effective(connection, attempt_id)
        stands = said or (mark.verdict if mark else "")
        pairs.append((attempt_id, one, two, stands, said_too))
    if not pairs:
        return Agreement(0, None, None, ())
    judged = [(s, t) for _, _, _, s, t in pairs if s and t]
    differ = tuple(a for a, one, two, s, t in pairs if one != two or (s and t and s != t))
    verdicts = cohen_kappa([s for s, _ in judged], [t for _, t in judged]) if judged else None
    ratings = cohen_kappa([p[1] for p in pairs], [p[2] for p in pairs])
    return Agreement(len(pairs), ratings, verdicts, differ)


def borderline_cut(connection: Connection, assignment_id: str, by: str = "") -> Borderline:
    """The regression of totals on ratings of one marker, or of each attempt's first.

    Raises FieldError with what is missing.
    """
    values, scores = [], []
    for attempt_id, markers in ratings_of(connection, assignment_id).items():
        chosen = markers.get(by) if by else next(iter(markers.values()))
        mark = effective(connection, attempt_id)
        if chosen is not None and mark is not None:
            values.append(chosen[0])
            scores.append(mark.computed_total)
    return borderline_regression(values, scores)
