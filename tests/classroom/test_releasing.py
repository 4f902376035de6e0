"""The gate: nothing of a mark before release, no more than the level after it, closed again."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import select

from tests.classroom.handed import DAY, INSTRUCTOR, NOW, attempt_bytes, careful, unsafe, uuid_of
from tests.classroom.test_moderating import WHY, counts, handed, rows
from tests.outside import examples
from trainer.assess.marking import mark_file
from trainer.base.errors import UsageError
from trainer.classroom.moderating import override_mark
from trainer.classroom.releasing import (
    FULL,
    NOTHING,
    PHRASE,
    POINTS,
    Shown,
    release,
    shown,
    withhold,
)
from trainer.session.sealing import SUFFIX, SealedError
from trainer.store import tables as t


@pytest.fixture
def desk(desk):
    return replace(desk, now_ms=NOW)


def seen(desk, attempt_id, at_ms=NOW):
    with desk.store.reading() as connection:
        return shown(connection, attempt_id, at_ms)


@settings(
    max_examples=examples(25),
    suppress_health_check=[HealthCheck.function_scoped_fixture],
    deadline=None,
)
@given(
    after=st.integers(min_value=0, max_value=400 * DAY),
    release_after=st.integers(min_value=1, max_value=400 * DAY),
    total=st.decimals(min_value=0, max_value=100, places=1),
)
def test_before_release_nothing_of_a_mark_is_shown(held, after, release_after, total):
    """Whatever the time, the override and the rule, until the rule opens the gate."""
    desk, manual, timed = held
    one, two = manual[1][0], timed[1][0]
    assert seen(desk, one, NOW + after) == Shown(one)
    opens = timed[2]
    found = seen(desk, two, opens - release_after)
    assert found == Shown(two)
    assert json.dumps(dict(found.view)) == "{}"
    text = f"{total}"
    if counts(desk, one).shown != text:
        try:
            override_mark(desk, one, "total", text, "misread", WHY)
        except Exception as error:
            assert "already" in str(error)
    assert seen(desk, one, NOW + after) == Shown(one)


@pytest.fixture
def held(desk, tmp_path):
    """Two assignments of one learner each, marked: released by hand, and at a time."""
    manual = handed(desk, tmp_path / "a", unsafe()) if (tmp_path / "a").mkdir() is None else None
    return desk, manual, _timed(desk, manual)


def _timed(desk, manual):
    """The same attempt under terms that release at a time."""
    from sqlalchemy import insert

    opens = NOW + 500 * DAY
    with desk.store.writing() as connection:
        terms = dict(connection.execute(select(t.assignment)).one()._mapping)
        terms |= {
            "id": desk.new_id(), "name": "timed", "releases": "at-time", "release_ms": opens,
        }  # fmt: skip
        connection.execute(insert(t.assignment).values(**terms))
        row = dict(connection.execute(select(t.attempt)).one()._mapping)
        mark = dict(connection.execute(select(t.grade)).one()._mapping)
        blob = {"digest": "copy", "size": 0, "packed": b"", "kept_ms": NOW}
        connection.execute(insert(t.blob).values(**blob))
        row |= {"id": desk.new_id(), "assignment_id": terms["id"], "file_digest": "copy"}
        connection.execute(insert(t.attempt).values(**row))
        mark |= {"id": desk.new_id(), "attempt_id": row["id"]}
        connection.execute(insert(t.grade).values(**mark))
    return terms["id"], [row["id"]], opens


def test_at_a_time_the_gate_opens_by_itself_and_shows_that_moment(held):
    desk, _, (_, [two], opens) = held
    assert seen(desk, two, opens).level == FULL
    then = seen(desk, two, opens + DAY)
    override_mark(replace(desk, now_ms=opens + 1), two, "total", "99", "misread", WHY)
    assert seen(desk, two, opens + 2 * DAY) == then


@pytest.mark.parametrize("level", [POINTS, PHRASE, FULL])
def test_a_level_shows_what_it_allows_and_no_more(desk, tmp_path, level):
    made, [one] = handed(desk, tmp_path, unsafe(), feedback=level)
    [told] = release(desk, made.assignment_id, INSTRUCTOR)
    assert told.status == "released"
    view, mark = seen(desk, one).view, counts(desk, one)
    text = json.dumps(dict(view))
    sentence, practice = mark.body["findings"][0]["sentence"], mark.body["findings"][0]["practice"]
    assert (json.dumps(sentence) in text) == (level in (PHRASE, FULL))
    assert (json.dumps(practice) in text) == (level == FULL)
    assert ("wiring" in text) == (level == FULL)
    assert view["total"] == mark.shown
    assert (seen(desk, one).signature != "") == (level == FULL)


def test_level_none_is_released_and_shows_nothing(desk, tmp_path):
    made, [one] = handed(desk, tmp_path, unsafe(), feedback=NOTHING)
    release(desk, made.assignment_id, INSTRUCTOR)
    assert seen(desk, one) == Shown(one)


def test_at_hand_in_it_is_shown_at_once(desk, tmp_path):
    _, [one] = handed(desk, tmp_path, unsafe(), releases="at-handin")
    found = seen(desk, one)
    assert (found.level, found.verdict) == (FULL, "fail")
    assert found.signature


def test_withholding_closes_it_at_once_and_releasing_opens_it_again(desk, tmp_path):
    made, [one] = handed(desk, tmp_path, unsafe())
    release(desk, made.assignment_id, INSTRUCTOR)
    assert seen(desk, one).released
    [told] = withhold(desk, made.assignment_id)
    assert told.status == "withheld"
    assert seen(desk, one) == Shown(one)
    [again] = withhold(desk, made.assignment_id)
    assert again.status == "unchanged"
    release(desk, made.assignment_id, INSTRUCTOR)
    assert seen(desk, one).released
    assert len(rows(desk, t.release)) == 3


def test_releasing_twice_changes_nothing_and_a_dry_run_writes_nothing(desk, tmp_path):
    made, [one] = handed(desk, tmp_path, unsafe())
    [dry] = release(desk, made.assignment_id, INSTRUCTOR, dry_run=True)
    assert dry.status == "released"
    assert rows(desk, t.release) == []
    assert not seen(desk, one).released
    release(desk, made.assignment_id, INSTRUCTOR)
    [again] = release(desk, made.assignment_id, INSTRUCTOR)
    assert again.status == "unchanged"
    assert len(rows(desk, t.release)) == 1
    with pytest.raises(UsageError):
        release(desk, made.assignment_id, INSTRUCTOR, level="some")


def test_only_some_are_released(desk, tmp_path):
    made, [one, two] = handed(desk, tmp_path, unsafe(), careful())
    told = release(desk, made.assignment_id, INSTRUCTOR, [two])
    assert [r.attempt_id for r in told] == [two]
    assert not seen(desk, one).released
    assert seen(desk, two).released


def test_the_signature_opens_the_learners_own_file_and_no_other(desk, tmp_path):
    made, [one] = handed(desk, tmp_path, unsafe())
    release(desk, made.assignment_id, INSTRUCTOR)
    path = tmp_path / "attempt-1.attempt"
    path.write_bytes(
        attempt_bytes(
            unsafe(), learner="L-1", assignment=made.assignment_id, no=1, opening=uuid_of("L-1 1")
        )
    )
    with pytest.raises(SealedError):
        mark_file(path)
    beside = Path(f"{path}{SUFFIX}")
    beside.write_text(seen(desk, one).signature + "\n")
    assert mark_file(path).mark.verdict == "fail"
    path.write_bytes(path.read_bytes().replace(b'"no": 1', b'"no": 2'))
    with pytest.raises(SealedError):
        mark_file(path)


def test_an_erased_attempt_is_told_and_hinders_nobody(desk, tmp_path):
    from sqlalchemy import update

    made, [one, two] = handed(desk, tmp_path, unsafe(), careful())
    digest = next(r.file_digest for r in rows(desk, t.attempt) if r.id == one)
    with desk.store.writing() as connection:
        connection.execute(update(t.blob).filter_by(digest=digest).values(packed=b"", size=0))
    told = {r.attempt_id: r.status for r in release(desk, made.assignment_id, INSTRUCTOR)}
    assert told == {one: "erased", two: "released"}


def test_what_a_learner_is_handed_at_import_tells_no_mark(desk, tmp_path):
    """Receipts of a pass and of a fail say the same but for whose they are and when."""
    from tests.classroom.handed import class_of, written
    from trainer.classroom.importing import Wish, import_files
    from trainer.exchange.receipt import read_receipt
    from trainer.session.sealing import lock_of

    made = class_of(desk)
    files = {"1.handin": made.handin("L-1", careful()), "2.handin": made.handin("L-2", unsafe())}
    rows = import_files(desk, written(tmp_path / "in", files), INSTRUCTOR, Wish("none")).rows
    assert {counts(desk, row.attempt_id).verdict for row in rows} == {"pass", "fail"}
    said = []
    for row in rows:
        receipt = read_receipt(row.receipt, "receipt", lock_of(INSTRUCTOR))
        told = [check for check in receipt.checks if not check.endswith(" events")]
        said.append((receipt.counted, receipt.late_ms, told))
    assert said[0] == said[1]
