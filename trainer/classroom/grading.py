"""Grades of stored attempts: marked by a rubric into rows that stay, and what counts of them.

A grade is a row for each scorer and rubric; what counts is the grade of the highest revision with
the overrides that stand laid over it. Knows attempts, rubrics and rows; must know no release and
keeps the learner out of what it writes.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any, NamedTuple

from sqlalchemy import Connection, Row, func, insert, select, update

from trainer.assess.marking import SCORER, Marked, mark_attempt
from trainer.assess.marks import Mark
from trainer.assess.rubric import Rubric
from trainer.assess.vouching import vouched_bytes
from trainer.base.errors import NotFoundError, quoted
from trainer.classroom.desk import Desk
from trainer.classroom.jobs import Stored, job_in, stored_rubric, stored_scenario
from trainer.classroom.keeping import digest_of, fetch
from trainer.classroom.standing import Effective, critical_codes, effective, exact_text, micro
from trainer.exchange.handin import read_handin
from trainer.store.tables import assignment, attempt, critical_event, grade, grade_item
from trainer.store.tables import rubric as rubrics

__all__ = ["Case", "Effective", "Graded", "effective", "grade_attempt", "write_grade"]


@dataclass(frozen=True)
class Graded:
    """A grade as it is kept. ``new``: whether this call wrote it."""

    grade_id: str
    attempt_id: str
    revision: int
    total: Fraction
    cut: Fraction
    verdict: str
    critical: tuple[str, ...]
    new: bool


class Case(NamedTuple):
    """All that marking needs, read from the store: no name of a person is in it."""

    attempt_id: str
    content: bytes
    scenario: Stored
    rubric: Rubric


def grade_attempt(
    desk: Desk, attempt_id: str, rubric: Rubric | None = None, why: str = ""
) -> Graded:
    """Mark a kept attempt and keep the grade; by the assignment's rubric or by this one.

    The same scorer and rubric as before: the grade there is. Raises TrainerError.
    """
    with desk.store.reading() as connection:
        case = case_of(connection, attempt_id, rubric)
    marked = mark_case(case)
    with desk.store.writing() as connection:
        return write_grade(desk, connection, attempt_id, marked.mark, marked.rubric, why)


def case_of(connection: Connection, attempt_id: str, rubric: Rubric | None = None) -> Case:
    """Raises NotFoundError."""
    a, s = attempt.c, assignment.c
    row = connection.execute(
        select(a.file_digest, s.scenario_id, s.rubric_id)
        .select_from(attempt.join(assignment, a.assignment_id == s.id))
        .where(a.id == attempt_id)
    ).first()
    if row is None:
        raise no_attempt(attempt_id)
    return Case(
        attempt_id, attempt_in(fetch(connection, row.file_digest)),
        stored_scenario(connection, row.scenario_id),
        rubric or stored_rubric(connection, row.rubric_id),
    )  # fmt: skip


def no_attempt(attempt_id: str) -> NotFoundError:
    what = f"there is no attempt {quoted(attempt_id)}"
    return NotFoundError(what, hint="its id stands in handin list")


def attempt_in(content: bytes) -> bytes:
    """The attempt file inside a kept hand-in."""
    return read_handin(content, "the kept hand-in").attempt


def mark_case(case: Case) -> Marked:
    """Heavy; without the store. The seal is passed over: the lock is the instructor's own."""
    at = Path(f"attempt {case.attempt_id}")
    found = vouched_bytes(case.content, at, case.scenario.digest)
    job = job_in(case.scenario, int(found.header["seed"]))
    return mark_attempt(found, job, case.rubric, digest_of(case.content))


def write_grade(
    desk: Desk, connection: Connection, attempt_id: str, mark: Mark, by: Rubric, why: str = ""
) -> Graded:
    """The rows of a grade, its items and critical errors; nothing when they are there."""
    hold(connection, attempt_id)
    keep_rubric(desk, connection, by)
    g = grade.c
    digest = mark.subject.rubric_digest
    same = (g.attempt_id == attempt_id) & (g.scorer == SCORER) & (g.rubric_digest == digest)
    there = connection.execute(select(grade).where(same)).first()
    if there is not None:
        return graded(connection, there, new=False)
    last = connection.scalar(select(func.max(g.revision)).where(g.attempt_id == attempt_id)) or 0
    grade_id = desk.new_id()
    row = {
        "id": grade_id, "attempt_id": attempt_id, "revision": last + 1, "scorer": SCORER,
        "rubric_digest": digest, **_figures(mark), "body": body_of(mark), "made_ms": desk.now_ms,
        "made_by": desk.who, "why": why,
    }  # fmt: skip
    connection.execute(insert(grade).values(**row))
    _write_items(desk, connection, grade_id, mark)
    handed_in = (attempt.c.id == attempt_id) & (attempt.c.state == "handed-in")
    connection.execute(update(attempt).where(handed_in).values(state="graded"))
    note = {"revision": last + 1, "total": row["total"], "verdict": mark.verdict, "why": why}
    desk.note(connection, "graded", attempt_id, {**note, "rubric": digest, "scorer": SCORER})
    codes = tuple(c.code for c in mark.critical)
    return Graded(
        grade_id, attempt_id, last + 1, mark.total, mark.cut, mark.verdict, codes, True
    )  # fmt: skip


def hold(connection: Connection, attempt_id: str) -> None:
    """Nobody else writes to this attempt until the transaction ends. Raises NotFoundError."""
    held = select(attempt.c.id).where(attempt.c.id == attempt_id).with_for_update()
    if connection.execute(held).first() is None:
        raise no_attempt(attempt_id)


def keep_rubric(desk: Desk, connection: Connection, by: Rubric) -> None:
    """The rubric a grade names is kept whole, so that every mark can be traced to its lines."""
    known = select(rubrics.c.id).where(rubrics.c.digest == by.digest)
    if connection.execute(known).first() is None:
        row = {"id": desk.new_id(), "title": by.title, "digest": by.digest}
        connection.execute(insert(rubrics).values(**row, body=by.model_dump(mode="json")))


def graded(connection: Connection, row: Row[Any], new: bool) -> Graded:
    codes = critical_codes(connection, row.id)
    total, cut = Fraction(row.total), Fraction(row.cut)
    return Graded(row.id, row.attempt_id, row.revision, total, cut, row.verdict, codes, new)


def body_of(mark: Mark) -> dict[str, Any]:
    """The mark as data, without whose it is."""
    body = mark.as_data()
    del body["learner"]
    return body


def _figures(mark: Mark) -> dict[str, Any]:
    return {
        "total": exact_text(mark.total), "total_micro": micro(mark.total),
        "cut": exact_text(mark.cut), "verdict": mark.verdict, "critical": len(mark.critical),
        "hints": sum(note.kind == "hint" for note in mark.notes),
    }  # fmt: skip


def _write_items(desk: Desk, connection: Connection, grade_id: str, mark: Mark) -> None:
    found = [f for d in mark.domains for f in d.findings]
    items = [
        {
            "id": desk.new_id(), "grade_id": grade_id, "rule": f.rule, "code": f.code,
            "domain": f.domain, "outcome": f.outcome, "points": exact_text(f.points),
            "share": exact_text(f.share), "n": n,
        }
        for n, f in enumerate(found, 1)
    ]  # fmt: skip
    critical = [
        {"id": desk.new_id(), "grade_id": grade_id, "code": c.code, "seq": seq}
        for c in mark.critical
        for seq in sorted(set(c.evidence.events)) or [0]
    ]
    for table, rows in ((grade_item, items), (critical_event, critical)):
        if rows:
            connection.execute(insert(table), rows)
