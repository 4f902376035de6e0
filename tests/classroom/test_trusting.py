"""A learner's second key: flagged until the instructor trusts it, with the reason in the trail.

Everybody here is invented.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from sqlalchemy import select

from tests.classroom.handed import INSTRUCTOR, NOW, class_of, idle, written
from tests.classroom.keys import key_of
from trainer.base.errors import NotFoundError, PolicyError, UsageError
from trainer.classroom.erasing import erase
from trainer.classroom.importing import Wish, import_files
from trainer.classroom.trusting import ACCEPTED, accept, keys_of
from trainer.exchange.keys import fingerprint
from trainer.session.sealing import lock_of
from trainer.store import tables as t

QUICK = Wish(resimulate="none")
LAPTOP = "another machine"
WHY = "a new laptop, he read it out to me"


@pytest.fixture
def desk(desk):
    return replace(desk, now_ms=NOW)


@pytest.fixture
def made(desk):
    return class_of(desk)


def take(desk, folder, content):
    [row] = import_files(desk, written(folder, {"one.handin": content}), INSTRUCTOR, QUICK).rows
    return row


def aloud(name):
    return fingerprint(lock_of(key_of(name)))


def how(desk, made, learner="L-1"):
    with desk.store.reading() as c:
        return {key.aloud: key.how for key in keys_of(c, made.people[learner])}


def flags(desk):
    with desk.store.reading() as c:
        return {row.no: row.flags for row in c.execute(select(t.attempt.c.no, t.attempt.c.flags))}


@pytest.fixture
def flagged(desk, made, tmp_path):
    """Attempt 1 from one machine, attempt 2 from another."""
    take(desk, tmp_path / "in", made.handin("L-1"))
    row = take(desk, tmp_path / "in", made.handin("L-1", idle(2), 2, key=LAPTOP))
    assert any(flag.startswith("key: it is another key") for flag in row.flags)
    return made


def test_a_key_that_is_accepted_is_flagged_no_more_before_or_after(desk, flagged, tmp_path):
    assert how(desk, flagged) == {aloud("L-1"): "first", aloud(LAPTOP): "another"}
    others = [f for f in flags(desk)[2] if not f.startswith("key:")]
    told = accept(desk, "L-1", aloud(LAPTOP), WHY)
    assert (len(told.told), told.done) == (1, False)
    assert how(desk, flagged) == {aloud("L-1"): "first", aloud(LAPTOP): "accepted"}
    assert flags(desk)[2] == others
    row = {
        "id": desk.new_id(), "assignment_id": flagged.assignment_id,
        "person_id": flagged.people["L-1"], "extra_attempts": 1, "reason": "invented",
        "made_ms": NOW, "made_by": "instructor",
    }  # fmt: skip
    with desk.store.writing() as c:
        c.execute(t.assignment_exception.insert().values(**row))
    third = take(desk, tmp_path / "in", flagged.handin("L-1", idle(3), 3, key=LAPTOP))
    assert third.status == "imported"
    assert not any(flag.startswith("key:") for flag in third.flags)


def test_the_trail_has_the_reason_at_the_key_and_at_each_attempt(desk, flagged):
    told = accept(desk, "L-1", aloud(LAPTOP), WHY)
    with desk.store.reading() as c:
        rows = c.execute(select(t.audit).where(t.audit.c.what == ACCEPTED)).all()
    assert {row.subject for row in rows} == {told.key.id, *told.told}
    assert {row.body["reason"] for row in rows} == {WHY}
    again = accept(desk, "L-1", aloud(LAPTOP), WHY)
    assert again.done
    with desk.store.reading() as c:
        assert len(c.execute(select(t.audit).where(t.audit.c.what == ACCEPTED)).all()) == len(rows)


def test_a_dry_run_changes_nothing_and_its_first_groups_are_enough(desk, flagged):
    before = flags(desk)
    told = accept(desk, "L-1", aloud(LAPTOP)[:9].upper(), WHY, dry_run=True)
    assert (told.key.aloud, len(told.told)) == (aloud(LAPTOP), 1)
    assert how(desk, flagged)[aloud(LAPTOP)] == "another"
    assert flags(desk) == before


def test_a_third_key_is_still_flagged(desk, flagged, tmp_path):
    accept(desk, "L-1", aloud(LAPTOP), WHY)
    made = class_of_again(desk, flagged)
    row = take(desk, tmp_path / "in", made.handin("L-1", idle(1), 1, key="a third machine"))
    assert any(flag.startswith("key: it is another key") for flag in row.flags)


def class_of_again(desk, made):
    """The same people with another assignment."""
    with desk.store.writing() as c:
        row = dict(c.execute(select(t.assignment)).one()._mapping)
        row |= {"id": desk.new_id(), "name": "dead-2"}
        c.execute(t.assignment.insert().values(**row))
    return replace(made, assignment_id=row["id"])


def test_what_is_refused(desk, flagged):
    with pytest.raises(PolicyError, match="reason"):
        accept(desk, "L-1", aloud(LAPTOP), "laptop")
    with pytest.raises(UsageError, match="too little"):
        accept(desk, "L-1", aloud(LAPTOP)[:4], WHY)
    with pytest.raises(NotFoundError, match="no key of L-2"):
        accept(desk, "L-2", aloud(LAPTOP), WHY)
    erase(desk, "L-2", "L-2")
    with desk.store.reading() as c:
        token = c.scalar(select(t.person.c.learner_id).where(t.person.c.erased_ms.is_not(None)))
    with pytest.raises(PolicyError, match="erased"):
        accept(desk, token, aloud(LAPTOP), WHY)
    assert how(desk, flagged)[aloud(LAPTOP)] == "another"
