"""Which attempts a moderator looks at: every fail, every critical error, all near the cut, a draw.

Knows grades of one assignment; must know no name.
"""

from __future__ import annotations

import hashlib
import hmac
from collections import defaultdict
from dataclasses import dataclass
from fractions import Fraction

from sqlalchemy import Connection, select

from trainer.classroom.attempts import attempts_of
from trainer.classroom.standing import Effective, effective
from trainer.standards.reliability import standard_error_of_measurement
from trainer.store.tables import grade_item

#: One in so many of the others is drawn (advice, no source is known to set a number).
SHARE = 10


@dataclass(frozen=True)
class Sample:
    """Attempt -> why it is in the sample. ``sem`` is in points, None where it is not defined."""

    chosen: dict[str, tuple[str, ...]]
    graded: int
    sem: float | None


def sample(connection: Connection, assignment_id: str, seed: int = 0) -> Sample:
    """The same for the same marks and seed."""
    rows = attempts_of(connection, assignment_id)
    marks = {r.id: mark for r in rows if (mark := effective(connection, r.id)) is not None}
    sem = _sem(connection, marks)
    why = {a: told for a, mark in marks.items() if (told := _reasons(mark, sem))}
    left = sorted(marks.keys() - why.keys())
    secret = rows[0].secret if rows else ""
    drawn = sorted(left, key=lambda a: _draw(secret, seed, a))[: -(-len(left) // SHARE)]
    chosen = {a: (*why.get(a, ()), *(("drawn",) if a in drawn else ())) for a in marks}
    return Sample({a: told for a, told in chosen.items() if told}, len(marks), sem)


def _reasons(mark: Effective, sem: float | None) -> tuple[str, ...]:
    told = ["fail"] if mark.verdict == "fail" else []
    told += ["critical error"] if mark.critical else []
    if sem is not None and abs(float(mark.total - mark.cut)) <= sem:
        told.append("within one SEM of the cut")
    return tuple(told)


def _sem(connection: Connection, marks: dict[str, Effective]) -> float | None:
    """Of the items that every attempt was judged on; None for fewer than two attempts."""
    if len(marks) < 2:
        return None
    i, ids = grade_item.c, [mark.grade_id for mark in marks.values()]
    got: dict[str, dict[str, Fraction]] = defaultdict(dict)
    asked = select(i.grade_id, i.domain, i.rule, i.points, i.share).where(i.grade_id.in_(ids))
    for row in connection.execute(asked):
        points = Fraction(row.points) * Fraction(row.share)
        got[row.grade_id][f"{row.domain} {row.rule}"] = points
    if len(got) < 2:
        return None
    shared = sorted(set.intersection(*(set(items) for items in got.values())))
    return standard_error_of_measurement([[items[k] for k in shared] for items in got.values()])


def _draw(secret: str, seed: int, attempt_id: str) -> bytes:
    text = f"moderation {seed} {attempt_id}".encode()
    return hmac.new(bytes.fromhex(secret), text, hashlib.sha256).digest()
