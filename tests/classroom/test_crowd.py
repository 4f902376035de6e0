"""Many importers at once and importers that are killed: nothing lost, nothing doubled, no lock.

Small here; in CI sixteen processes take in 160 hand-ins, and one is killed twelve times.
CONDENSER_BENCH_LONG=1 takes two thousand and two hundred, which is half an hour.
"""

from __future__ import annotations

import os
from dataclasses import replace
from fractions import Fraction

import pytest
from sqlalchemy import func, select

from tests.classroom.handed import NOW, class_of, idle, unsafe, written
from tests.store.crowd import all_done, start
from trainer.store import tables as t

CI = os.environ.get("CONDENSER_BENCH_CI") == "1"
LONG = os.environ.get("CONDENSER_BENCH_LONG") == "1"
PROCESSES, FILES = (16, 2000 if LONG else 160) if CI or LONG else (3, 24)
KILLS = 200 if LONG else 12 if CI else 3
IMPORTER = "tests.classroom.importer"
pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="processes are forked here")


@pytest.fixture
def desk(desk):
    return replace(desk, now_ms=NOW)


def stick(desk, folder, count):
    """A folder of hand-ins, one for each of so many learners; every third is of an unsafe one."""
    names = [f"L-{n:04d}" for n in range(count)]
    made = class_of(desk, names)
    files = {
        f"{n:04d}.handin": made.handin(name, unsafe() if n % 3 == 0 else idle())
        for n, name in enumerate(names)
    }
    written(folder, files)
    return names


def total_of(desk, table):
    with desk.store.reading() as connection:
        return connection.scalar(select(func.count()).select_from(table))


def sound(desk, count):
    """Every hand-in once, with all its rows, each grade the sum of its items."""
    with desk.store.reading() as connection:
        by_learner = connection.execute(
            select(t.person.c.learner_id, func.count())
            .join(t.attempt, t.attempt.c.person_id == t.person.c.id)
            .group_by(t.person.c.learner_id)
        ).all()
        items = connection.execute(
            select(t.grade.c.id, t.grade.c.total, t.grade_item.c.points, t.grade_item.c.share)
            .join(t.grade_item, t.grade_item.c.grade_id == t.grade.c.id)
        ).all()  # fmt: skip
    assert len(by_learner) == count
    assert {n for _, n in by_learner} == {1}
    for table in (t.attempt, t.grade, t.receipt, t.opening, t.key):
        assert total_of(desk, table) == count, table.name
    assert total_of(desk, t.quarantine) == 0
    sums: dict[str, Fraction] = {}
    for row in items:
        got = Fraction(row.points) * Fraction(row.share)
        sums[row.id] = sums.get(row.id, Fraction(0)) + got
    assert {row.id: Fraction(row.total) for row in items} == sums


def url_of(desk):
    return desk.store.engine.url.render_as_string(hide_password=False)


def test_many_importers_lose_and_double_nothing(desk, tmp_path):
    """All of them take in the same folder, so that each file is met by each."""
    folder = tmp_path / "stick"
    stick(desk, folder, FILES)
    url = url_of(desk)
    all_done([start(IMPORTER, "crowd", folder, NOW, PROCESSES, url=url)])
    sound(desk, FILES)
    with desk.store.reading() as connection:
        imported = select(func.count()).select_from(t.audit).where(t.audit.c.what == "imported")
        assert connection.scalar(imported) == FILES


def test_a_killed_importer_leaves_whole_hand_ins_and_the_rerun_goes_on(desk, tmp_path):
    folder, count = tmp_path / "stick", 3 * KILLS
    stick(desk, folder, count)
    all_done([start(IMPORTER, "kill", folder, NOW, KILLS, url=url_of(desk))])
    sound(desk, count)
