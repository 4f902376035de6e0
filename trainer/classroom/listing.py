"""Lists of attempts for an instructor: marks beside flags, ratings and what was released.

With ``blind`` no id of a person, file or attempt is in them, only codes, and their order is that
of the codes. Knows rows; must know no face. For learners this is not: they ask ``releasing``.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from sqlalchemy import Connection, select

from trainer.classroom.attempts import attempts_of, code_of
from trainer.classroom.moderating import ratings_of
from trainer.classroom.releasing import shown
from trainer.classroom.standing import effective
from trainer.store.tables import assignment, quarantine


@dataclass(frozen=True)
class Line:
    """One attempt. ``attempt_id`` and ``learner_id`` are "" in a blind list."""

    code: str
    attempt_id: str
    learner_id: str
    assignment: str
    no: int
    state: str
    total: Fraction | None
    shown: str
    cut: Fraction | None
    verdict: str
    critical: tuple[str, ...]
    overridden: tuple[str, ...]
    notes: tuple[str, ...]
    ratings: tuple[int, ...]
    flags: tuple[str, ...]
    late_ms: int
    released: str

    @property
    def called(self) -> str:
        """What a person types to mean this attempt."""
        return self.attempt_id[:8] or self.code


@dataclass(frozen=True)
class Aside:
    """A file in quarantine."""

    digest: str
    code: str
    reason: str
    hint: str
    kept_ms: int


def lines_of(
    connection: Connection, assignment_id: str, now_ms: int, blind: bool = False
) -> list[Line]:
    """Every attempt of an assignment."""
    rated = ratings_of(connection, assignment_id)
    lines = [
        _line(connection, row, rated.get(row.id, {}), now_ms, blind)
        for row in attempts_of(connection, assignment_id)
    ]
    return sorted(lines, key=lambda line: line.code) if blind else lines


def _line(connection: Connection, row: Any, rated: Any, now_ms: int, blind: bool) -> Line:
    mark = effective(connection, row.id)
    return Line(
        code_of(row.secret, row.id), "" if blind else row.id, "" if blind else row.learner_id,
        row.name, row.no, row.state, mark.total if mark else None, mark.shown if mark else "",
        mark.cut if mark else None, mark.verdict if mark else "", mark.critical if mark else (),
        tuple(o.field for o in mark.overrides) if mark else (), mark.notes if mark else (),
        tuple(value for value, _ in rated.values()), () if blind else tuple(row.flags),
        0 if blind else row.late_ms, shown(connection, row.id, now_ms).level,
    )  # fmt: skip


def assignments(connection: Connection) -> list[tuple[str, str]]:
    """(id, name) of every assignment, by name."""
    asked = select(assignment.c.id, assignment.c.name).order_by(assignment.c.name)
    return [(row.id, row.name) for row in connection.execute(asked)]


def put_aside(connection: Connection) -> list[Aside]:
    """Quarantine, oldest first."""
    q = quarantine.c
    rows = connection.execute(select(quarantine).order_by(q.kept_ms, q.digest))
    return [Aside(r.digest, r.code, r.reason, r.hint, r.kept_ms) for r in rows]
