"""Everything kept of one attempt, gathered for an appeal: rows as they stand and the events.

Knows the tables and the kept hand-in; decides nothing and must know no page.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Table, select

from trainer.base.errors import NotFoundError, PolicyError, quoted
from trainer.classroom.keeping import ErasedError, fetch
from trainer.classroom.releasing import Shown, shown
from trainer.classroom.standing import Effective, effective
from trainer.exchange.handin import Claim, read_handin
from trainer.exchange.keys import fingerprint
from trainer.session.events import Event
from trainer.session.log import parsed
from trainer.store import tables as t

#: A row as plain data, by column.
Line = Mapping[str, Any]


@dataclass(frozen=True)
class Evidence:
    """Rows of one attempt, oldest first. ``grade`` is the one that counts; ``items`` are its own.

    ``shown`` is what the gate shows the learner now, be it by a release or by the rule alone.
    ``aloud`` is the key's fingerprint as it is read aloud. ``claim`` is None where the bytes of the
    hand-in were erased; then ``events`` is empty.
    """

    person: Line
    sections: tuple[Line, ...]
    course: Line
    assignment: Line
    scenario: Line
    rubric: Line
    attempt: Line
    mark: Effective
    grade: Line
    items: tuple[Line, ...]
    criticals: tuple[Line, ...]
    grades: tuple[Line, ...]
    overrides: tuple[Line, ...]
    ratings: tuple[Line, ...]
    releases: tuple[Line, ...]
    receipts: tuple[Line, ...]
    openings: tuple[Line, ...]
    exceptions: tuple[Line, ...]
    keys: tuple[Line, ...]
    aloud: str
    shown: Shown
    trail: tuple[Line, ...]
    claim: Claim | None
    header: Mapping[str, Any]
    events: Mapping[int, Event]


def evidence(connection: Connection, attempt_id: str, now_ms: int) -> Evidence:
    """Raises NotFoundError, or PolicyError for an attempt that has no mark to stand by."""
    attempt = _one(connection, t.attempt, attempt_id)
    if attempt is None:
        what = f"there is no attempt {quoted(attempt_id)}"
        raise NotFoundError(what, hint="its id stands in condenser-bench handin list")
    mark = effective(connection, attempt_id)
    if mark is None:
        raise PolicyError("this attempt has no mark yet", quoted(attempt_id), "mark it first")
    return _gathered(connection, attempt, mark, now_ms)


def _gathered(connection: Connection, attempt: Line, mark: Effective, now_ms: int) -> Evidence:
    def own(table: Table, *order: str) -> tuple[Line, ...]:
        return _rows(connection, table, order or ("made_ms", "id"), attempt_id=attempt["id"])

    assignment = _row(connection, t.assignment, attempt["assignment_id"])
    both = {"assignment_id": attempt["assignment_id"], "person_id": attempt["person_id"]}
    person = _row(connection, t.person, attempt["person_id"])
    rubric = _rows(connection, t.rubric, ("id",), digest=mark.rubric_digest)[0]
    claim, header, events = _kept(connection, attempt)
    return Evidence(
        person=person,
        sections=_sections(connection, assignment["course_id"], person["id"]),
        course=_row(connection, t.course, assignment["course_id"]),
        assignment=assignment,
        scenario=_row(connection, t.scenario, assignment["scenario_id"]),
        rubric=rubric, attempt=attempt, mark=mark,
        grade=_row(connection, t.grade, mark.grade_id),
        items=_rows(connection, t.grade_item, ("n",), grade_id=mark.grade_id),
        criticals=_rows(connection, t.critical_event, ("code", "seq"), grade_id=mark.grade_id),
        grades=own(t.grade, "revision"), overrides=own(t.override), ratings=own(t.rating),
        releases=own(t.release), receipts=own(t.receipt),
        openings=_rows(connection, t.opening, ("no", "opened_ms"), **both),
        exceptions=_rows(connection, t.assignment_exception, ("made_ms", "id"), **both),
        keys=_rows(connection, t.key, ("trusted_ms",), public=attempt["public_key"]),
        trail=_trail(connection, attempt["id"]),
        shown=shown(connection, attempt["id"], now_ms),
        aloud=fingerprint(attempt["public_key"]), claim=claim, header=header, events=events,
    )  # fmt: skip


def _kept(
    connection: Connection, attempt: Line
) -> tuple[Claim | None, Mapping[str, Any], Mapping[int, Event]]:
    """What was handed in, verified once more. Raises NotVerifiedError for bytes that changed."""
    from pathlib import Path

    try:
        content = fetch(connection, attempt["file_digest"])
    except ErasedError:
        return None, {}, {}
    name = f"attempt {attempt['id']}"
    handed = read_handin(content, name)
    log = parsed(handed.attempt, Path(name))
    return handed.claim, log.header, {event.seq: event for event in log.events}


def _sections(connection: Connection, course_id: str, person_id: str) -> tuple[Line, ...]:
    s, e = t.section.c, t.enrolment.c
    rows = (
        select(t.section)
        .join(t.enrolment, e.section_id == s.id)
        .where(s.course_id == course_id, e.person_id == person_id)
        .order_by(s.name)
    )
    return tuple(dict(row) for row in connection.execute(rows).mappings())


def _trail(connection: Connection, attempt_id: str) -> tuple[Line, ...]:
    """What was done to the attempt, in order."""
    rows = select(t.audit).where(t.audit.c.subject == attempt_id).order_by(t.audit.c.n)
    return tuple(dict(row) for row in connection.execute(rows).mappings())


def _one(connection: Connection, table: Table, row_id: str) -> Line | None:
    row = connection.execute(select(table).where(table.c.id == row_id)).mappings().first()
    return dict(row) if row is not None else None


def _row(connection: Connection, table: Table, row_id: str) -> Line:
    return dict(connection.execute(select(table).where(table.c.id == row_id)).mappings().one())


def _rows(
    connection: Connection, table: Table, order: tuple[str, ...], **where: str
) -> tuple[Line, ...]:
    rows = select(table).where(*(table.c[name] == value for name, value in where.items()))
    found = connection.execute(rows.order_by(*(table.c[name] for name in order))).mappings()
    return tuple(dict(row) for row in found)
