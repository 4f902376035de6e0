"""The gradebook: one line for each learner and assignment, whatever there is or is not of it.

Not started, in progress, handed in, graded and excused are told apart, and nothing is not 0.
Knows rows of people, attempts and marks; must know no file and no page.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from sqlalchemy import Connection, Row, Table, select

from trainer.classroom.assigning import MINUTE_MS, effective_of
from trainer.classroom.releasing import shown
from trainer.classroom.standing import Effective, effective
from trainer.store import tables as t

NOT_STARTED, IN_PROGRESS, HANDED_IN = "not_started", "in_progress", "handed_in"
GRADED, EXCUSED = "graded", "excused"
#: What ``released`` says of a mark: shown as it counts now, shown otherwise, not shown.
YES, CHANGED, NO = "yes", "changed since", "no"


@dataclass(frozen=True)
class Who:
    """A learner as the class knows him; ``sections`` are those he is in."""

    id: str
    learner_id: str
    external_id: str
    given_name: str
    family_name: str
    email: str
    sections: tuple[str, ...]


@dataclass(frozen=True)
class Entry:
    """One learner's standing in one assignment. ``attempt`` is the row of the one that counts."""

    who: Who
    assignment: str
    status: str
    attempt: Row[Any] | None
    mark: Effective | None
    released: str

    @property
    def overridden(self) -> str:
        return " ".join(o.field for o in self.mark.overrides) if self.mark else ""


def assignments_of(connection: Connection, course_id: str) -> list[Row[Any]]:
    """The assignments of a class in the order they are due."""
    a = t.assignment.c
    rows = select(t.assignment).where(a.course_id == course_id).order_by(a.due_ms, a.name)
    return list(connection.execute(rows))


def entries(connection: Connection, assignment: Row[Any], now_ms: int) -> list[Entry]:
    """A line for everybody who is enrolled, and for anybody else who handed in."""
    return _entries(connection, assignment, lambda row: effective(connection, row.id), now_ms)


def shown_entries(connection: Connection, assignment: Row[Any], now_ms: int) -> list[Entry]:
    """The same with nothing in it that its learner is not shown: not even that there is a mark."""
    return _entries(connection, assignment, lambda row: _seen(connection, row, now_ms), now_ms)


#: What is known of an attempt's mark by who asks.
Known = Callable[[Row[Any]], Effective | None]


def _seen(connection: Connection, row: Row[Any], now_ms: int) -> Effective | None:
    """The mark as the gate shows it; what it holds back is not in it."""
    told = shown(connection, row.id, now_ms)
    if not told.released or told.total is None or told.cut is None:
        return None
    then = effective(connection, row.id, told.at_ms)
    assert then is not None
    over = tuple(o for o in then.overrides if o.field in told.view.get("moderated", ()))
    return replace(
        then, grade_id=told.grade_id, revision=told.revision, total=told.total, cut=told.cut,
        verdict=told.verdict, critical=told.critical, hints=told.view.get("hints_used", 0),
        graded_ms=told.at_ms, overrides=over, notes=(), body={},
    )  # fmt: skip


def _entries(
    connection: Connection, assignment: Row[Any], known: Known, now_ms: int
) -> list[Entry]:
    tried = _by_person(connection, t.attempt, assignment.id)
    opened = _by_person(connection, t.opening, assignment.id)
    everyone = _people(connection, assignment, [*tried, *opened])
    return [
        _entry(connection, assignment, who, tried[who.id], bool(opened[who.id]), known, now_ms)
        for who in everyone
    ]


def attempts_of(connection: Connection, assignment_id: str, person_id: str) -> list[Row[Any]]:
    """Everything a learner handed in for an assignment, by number."""
    a = t.attempt.c
    own = (a.assignment_id == assignment_id) & (a.person_id == person_id)
    return list(connection.execute(select(t.attempt).where(own).order_by(a.no)))


def _by_person(
    connection: Connection, table: Table, assignment_id: str
) -> defaultdict[str, list[Row[Any]]]:
    found: defaultdict[str, list[Row[Any]]] = defaultdict(list)
    rows = select(table).where(table.c.assignment_id == assignment_id).order_by(table.c.no)
    for row in connection.execute(rows):
        found[row.person_id].append(row)
    return found


def _people(connection: Connection, assignment: Row[Any], also: Iterable[str]) -> list[Who]:
    """Those enrolled by learner id; those who have left and handed in stand among them."""
    p, s, e = t.person.c, t.section.c, t.enrolment.c
    joined = t.enrolment.join(t.section, s.id == e.section_id).join(t.person)
    rows = select(e.person_id, s.name).select_from(joined).where(
        s.course_id == assignment.course_id, e.active == 1, p.active == 1
    )  # fmt: skip
    if assignment.section_id is not None:
        rows = rows.where(s.id == assignment.section_id)
    sections: defaultdict[str, list[str]] = defaultdict(list)
    for row in connection.execute(rows.order_by(s.name)):
        sections[row.person_id].append(row.name)
    wanted = {*sections, *also}
    everyone = connection.execute(select(t.person).order_by(p.learner_id))
    return [
        Who(r.id, r.learner_id, r.external_id, r.given_name, r.family_name, r.email,
            tuple(sections.get(r.id, ())))
        for r in everyone
        if r.id in wanted
    ]  # fmt: skip


def _entry(
    connection: Connection, assignment: Row[Any], who: Who, tried: Sequence[Row[Any]],
    opened: bool, known: Known, now_ms: int,
) -> Entry:  # fmt: skip
    open_ = [row for row in tried if row.state != "excused"]
    terms = effective_of(connection, assignment, who.id)
    if terms.excused or (tried and not open_):
        return Entry(who, assignment.name, EXCUSED, None, None, "")
    closes_ms = terms.closes_ms + MINUTE_MS * assignment.grace_min
    in_time = [row for row in open_ if _in_time(connection, row, closes_ms)]
    if open_ and not in_time:
        return Entry(who, assignment.name, HANDED_IN, open_[-1], None, "")
    marks = {row.id: known(row) for row in in_time}
    counts = counting(assignment.counting, in_time, marks)
    if counts is None:
        status = IN_PROGRESS if opened else NOT_STARTED
        return Entry(who, assignment.name, status, None, None, "")
    mark = marks[counts.id]
    if mark is None:
        return Entry(who, assignment.name, HANDED_IN, counts, None, "")
    return Entry(who, assignment.name, GRADED, counts, mark, released(connection, mark, now_ms))


def _in_time(connection: Connection, row: Row[Any], closes_ms: int) -> bool:
    """Whether it counts: its receipt says so, or an extension given later reaches it."""
    if row.received_ms <= closes_ms:
        return True
    r = t.receipt.c
    kept = connection.execute(select(r.body).where(r.attempt_id == row.id)).scalar()
    return bool(kept is None or kept.get("counted", True))


def counting(
    rule: str, tried: Sequence[Row[Any]], marks: Mapping[str, Effective | None]
) -> Row[Any] | None:
    """The attempt that counts: the first, the last, or the best of those marked; of equals the
    latest."""
    if not tried:
        return None
    in_order = sorted(tried, key=lambda row: row.no)
    if rule == "first":
        return in_order[0]
    if rule == "best":
        marked = [(mark, row) for row in in_order if (mark := marks[row.id]) is not None]
        if marked:
            return max(marked, key=lambda m: (m[0].verdict == "pass", m[0].total, m[1].no))[1]
    return in_order[-1]


def released(connection: Connection, mark: Effective, now_ms: int) -> str:
    """Whether what counts is what the learner is shown."""
    told = shown(connection, mark.attempt_id, now_ms)
    if not told.released:
        return NO
    same = told.total == mark.total and told.verdict == mark.verdict
    return YES if same and told.critical == mark.critical else CHANGED
