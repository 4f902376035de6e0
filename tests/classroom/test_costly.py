"""A hand-in whose acts cost too much to ask again is put aside with the reason; the import goes on.

Everybody here is invented.
"""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from sqlalchemy import select

from tests.classroom.handed import INSTRUCTOR, NOW, Worked, class_of, idle, played, seed, written
from tests.outside import only_in_ci
from trainer.classroom.budget import LIMITS, BeyondError, Budget, Spent
from trainer.classroom.importing import Wish, import_files
from trainer.session.events import ASKED, DONE, Event, Happening
from trainer.store import tables as t

LONGEST = {"act": "wait", "seconds": 14_400.0}
#: A fan without its own run winding hums, trips its protector, cools and hums again: four hours of
#: that take half a minute of a processor to do again, and one line to write down.
FAN_HUMS = (
    {"act": "open", "part": "disconnect"}, {"act": "take off", "cover": "control-panel"},
    {"act": "take off", "cover": "terminal-cap"}, {"act": "take off", "cover": "disconnect-front"},
    {"act": "lift", "wire": "6", "end": "a"}, {"act": "close", "part": "disconnect"},
)  # fmt: skip


@pytest.fixture
def desk(desk):
    return replace(desk, now_ms=NOW)


def worked(*acts):
    return played(tuple(json.dumps(a) for a in acts), seed(1))


def with_lies(true, count):
    """So many waits more that nobody ever waited."""
    events = list(true.events)
    for _ in range(count):
        at_ms, n = events[-1].at_ms, len(events) + 1
        events += [Event(n, at_ms, ASKED, LONGEST), Event(n + 1, at_ms + 14_400_000, DONE, {})]
    return Worked(true.header, tuple(events))


def take(desk, tmp_path, wish, *files):
    paths = written(tmp_path / "in", {f"{n}.handin": content for n, content in enumerate(files)})
    return import_files(desk, paths, INSTRUCTOR, wish).rows


def test_more_bench_time_than_anybody_sits_is_put_aside_and_can_be_accepted(desk, tmp_path):
    """Each act is true; together they are longer than a day."""
    made = class_of(desk)
    long = made.handin("L-1", worked(*[LONGEST] * 8))
    first, second = take(desk, tmp_path, Wish("all"), long, made.handin("L-2"))
    assert (first.status, first.code) == ("aside", "too_costly")
    assert "28.0 h have passed on its bench, of 24" in first.reason
    assert "--accept" in first.hint
    assert second.status == "imported", "the import goes on"
    [taken] = take(desk, tmp_path, Wish("all", accepted="I saw him sleep"), long)
    assert taken.status == "imported"
    assert any("28.0 h" in flag and "I saw him sleep" in flag for flag in taken.flags)
    with desk.store.reading() as connection:
        checked = connection.scalars(select(t.attempt.c.checked)).all()
    assert any("7 of 8 acts asked again" in told for told in checked)


def test_starts_and_bench_time_are_counted_and_the_last_of_them_is_too_much():
    start = Happening(0, "start", {})
    spent = Spent(Budget(bench_h=1.0, starts=3))
    spent.add(3_600_000, [start, start, start])
    with pytest.raises(BeyondError, match="started 4 times, of 3"):
        spent.add(0, [start])
    spent = Spent(Budget(bench_h=1.0, starts=3))
    spent.add(3_600_000, [])
    with pytest.raises(BeyondError, match="of 1"):
        spent.add(1, [])


def test_what_a_careful_learner_does_is_far_below():
    """The act that takes longest may be done five times over; see ``Budget`` for what is usual."""
    spent = Spent(LIMITS)
    for _ in range(5):
        spent.add(14_400_000, [Happening(0, "start", {})] * 5)


@only_in_ci
def test_acts_that_never_come_back_are_ended_and_the_import_goes_on(desk, tmp_path):
    """In a worker, with five seconds of patience where minutes would be needed."""
    made = class_of(desk)
    endless = made.handin("L-1", with_lies(worked(*FAN_HUMS), 6))
    wish = Wish("all", 1, budget=replace(LIMITS, wall_s=5.0))
    before, costly, after = take(
        desk, tmp_path, wish, made.handin("L-2"), endless, made.handin("L-2", idle(2), 2)
    )
    assert (before.status, after.status) == ("imported", "imported")
    assert (costly.status, costly.code) == ("aside", "too_costly")
    assert "took more than 5 s and was ended" in costly.reason
    [taken] = take(desk, tmp_path, replace(wish, accepted="a broken file"), endless)
    assert taken.status == "imported"
    assert any("took more than 5 s" in flag and "a broken file" in flag for flag in taken.flags)
