"""Grades of kept attempts: rows that stay, bodies without a learner, what counts of them."""

from __future__ import annotations

import json
from dataclasses import replace
from fractions import Fraction

import pytest
from sqlalchemy import insert, select

from tests.classroom.handed import NOW, careful, class_of, idle, unsafe
from trainer.assess.finding_rubric import load_rubric, rubrics_dir
from trainer.base.errors import NotFoundError
from trainer.classroom.grading import effective, grade_attempt
from trainer.classroom.keeping import keep, pack
from trainer.store import tables as t


@pytest.fixture
def desk(desk):
    return replace(desk, now_ms=NOW)


def kept(desk, made, learner="L-1", worked=None, no=1):
    """An attempt in the store without an import; its id."""
    content = made.handin(learner, worked, no)
    with desk.store.writing() as connection:
        digest = keep(connection, content, pack(content), NOW)
        row = {
            "id": desk.new_id(), "assignment_id": made.assignment_id,
            "person_id": made.people[learner], "no": no, "file_digest": digest,
            "attempt_digest": "", "opening_id": "", "public_key": "", "events": 1, "head": "",
            "started_ms": NOW, "ended_ms": NOW, "received_ms": NOW, "late_ms": 0, "flags": [],
        }  # fmt: skip
        connection.execute(insert(t.attempt).values(**row))
    return row["id"]


def rows(desk, table, **where):
    with desk.store.reading() as connection:
        asked = select(table).filter_by(**where)
        return list(connection.execute(asked))


def test_a_grade_is_the_mark_exactly(desk):
    made = class_of(desk)
    attempt_id = kept(desk, made, worked=careful())
    found = grade_attempt(desk, attempt_id)
    [row] = rows(desk, t.grade)
    assert found.new
    assert found.revision == row.revision == 1
    assert Fraction(row.total) == found.total
    items = [(Fraction(i.points), Fraction(i.share)) for i in rows(desk, t.grade_item)]
    assert sum(points * share for points, share in items) == found.total
    assert row.total_micro == found.total * 1_000_000 // 1
    assert rows(desk, t.attempt)[0].state == "graded"


def test_marking_again_by_the_same_rubric_writes_nothing(desk):
    made = class_of(desk)
    attempt_id = kept(desk, made)
    first = grade_attempt(desk, attempt_id)
    again = grade_attempt(desk, attempt_id)
    assert not again.new
    assert again.grade_id == first.grade_id
    assert len(rows(desk, t.grade)) == 1


def test_another_rubric_is_another_revision_and_the_old_one_stays(desk):
    made = class_of(desk)
    attempt_id = kept(desk, made, worked=careful())
    first = grade_attempt(desk, attempt_id)
    other = load_rubric(rubrics_dir() / "standard.yaml")
    second = grade_attempt(desk, attempt_id, other, "another rubric was agreed")
    assert second.revision == 2
    assert {r.id for r in rows(desk, t.grade)} == {first.grade_id, second.grade_id}
    assert other.digest in {r.digest for r in rows(desk, t.rubric)}
    with desk.store.reading() as connection:
        counts = effective(connection, attempt_id)
    assert counts.grade_id == second.grade_id
    assert counts.total == second.total


def test_no_row_of_a_grade_names_the_learner(desk):
    made = class_of(desk, ["Zenobia-77"])
    attempt_id = kept(desk, made, "Zenobia-77", unsafe())
    grade_attempt(desk, attempt_id)
    for table in (t.grade, t.grade_item, t.critical_event, t.audit):
        assert "Zenobia" not in json.dumps([list(map(str, r)) for r in rows(desk, table)])


def test_a_critical_error_stands_in_its_own_rows(desk):
    made = class_of(desk)
    attempt_id = kept(desk, made, worked=unsafe())
    found = grade_attempt(desk, attempt_id)
    assert found.verdict == "fail"
    assert found.critical
    events = rows(desk, t.critical_event)
    assert {e.code for e in events} == set(found.critical)
    assert all(e.seq >= 1 for e in events)


def test_doing_nothing_is_graded_and_fails(desk):
    made = class_of(desk)
    attempt_id = kept(desk, made, worked=idle())
    found = grade_attempt(desk, attempt_id)
    assert found.verdict == "fail"
    with desk.store.reading() as connection:
        assert effective(connection, attempt_id).verdict == "fail"


def test_an_unknown_attempt_is_told(desk):
    with pytest.raises(NotFoundError, match="no attempt"):
        grade_attempt(desk, "nobody")


def test_nothing_counts_before_the_first_grade(desk):
    made = class_of(desk)
    attempt_id = kept(desk, made)
    with desk.store.reading() as connection:
        assert effective(connection, attempt_id) is None
    grade_attempt(desk, attempt_id)
    with desk.store.reading() as connection:
        assert effective(connection, attempt_id, at_ms=desk.now_ms - 1) is None
