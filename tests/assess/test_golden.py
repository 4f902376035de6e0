"""Golden attempts: what is said of each stored attempt, and that playing it anew says the same.

Stored attempts are marked, which takes no physics; the acts are played again for every way with
CONDENSER_BENCH_CI=1 and for a few otherwise. ``python -m tests.assess.golden --write`` renews
them after a change that is meant; read what changed.
"""

from __future__ import annotations

from functools import cache

import pytest

from tests.assess.golden import GOLDENS, HERE, marked, played, said, stored, text_of
from tests.assess.ways_of_jobs import WAYS
from tests.outside import CI, share
from trainer.assess.marking import Marked
from trainer.scenario.load import scenario_names

#: Played anew in every run: a drill and one with a start, a wrong wiring and a repair.
SOME = [("make-it-dead", "dead-at-once"), ("dual-capacitor-unit", "common-and-start-exchanged")]
GOOD = ("right", "other-order")
WRONG_LEAST = 6
RIGHT = [g for g in GOLDENS if g[1] in GOOD]
#: Every run marks half of the wrong ways.
SOME_WRONG = share([g for g in GOLDENS if g[1] not in GOOD], 2)
SIZE_MOST = 8_000_000


@cache
def mark_of(job: str, way: str) -> Marked:
    return marked(job, stored(job, way))


@pytest.mark.parametrize(("job", "way"), [*RIGHT, *SOME_WRONG])
def test_what_is_said_of_a_stored_attempt(job: str, way: str) -> None:
    assert said(mark_of(job, way)) == text_of(job, way)


@pytest.mark.parametrize(("job", "way"), RIGHT)
def test_right_and_the_other_order_score_full(job: str, way: str) -> None:
    mark = mark_of(job, way).mark
    assert (mark.total, mark.verdict, mark.safe) == (100, "pass", True)
    assert (mark.critical, mark.findings) == ((), ())


@pytest.mark.parametrize(("job", "way"), SOME_WRONG)
def test_a_wrong_way_is_told(job: str, way: str) -> None:
    mark = mark_of(job, way).mark
    assert mark.total < 100
    assert mark.findings


def test_every_shipped_job_has_its_ways() -> None:
    assert set(WAYS) == set(scenario_names())
    for ways in WAYS.values():
        assert set(GOOD) < set(ways)
        assert len(ways) >= len(GOOD) + WRONG_LEAST


def test_each_wrong_way_of_a_job_is_told_otherwise() -> None:
    for job, ways in WAYS.items():
        assert len({text_of(job, way) for way in ways if way not in GOOD}) == len(ways) - len(GOOD)


def test_nothing_stored_is_left_over_or_large() -> None:
    files = sorted(p for p in HERE.rglob("*") if p.is_file())
    wanted = {HERE / job / f"{way}.{kind}" for job, way in GOLDENS for kind in ("txt", "jsonl.gz")}
    assert set(files) == wanted
    assert sum(p.stat().st_size for p in files) < SIZE_MOST


@pytest.mark.parametrize(("job", "way"), GOLDENS if CI else SOME)
def test_playing_it_anew_says_the_same(job: str, way: str) -> None:
    assert said(marked(job, played(job, way))) == text_of(job, way)
