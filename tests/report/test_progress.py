"""Progress: two clean in a row on different days and boards, checks due, levels tested out."""

import pytest

from tests.report.made import OFFERS, critical, finding, mark
from trainer.report.assets import spacing
from trainer.report.progress import Try, next_of, objectives, open_levels, try_of
from trainer.scenario.load import load_scenario

#: Any day; days are numbers.
DAY = 1000


def one(day, seed=1, clean=True, critical=False, scenario="wired", level=3, graded=False):
    return Try(scenario, level, seed, DAY + day, clean, critical, graded)


def status(*tries, today=0, name="wired"):
    found = objectives(tries, OFFERS, spacing(), DAY + today)
    return next(o for o in found if o.offer.name == name)


def test_the_table_is_as_documented():
    # common practice, no source: the numbers stand in assets/spacing.yaml
    assert spacing().days == (2, 7, 21, 60) and spacing().clean_in_a_row == 2


@pytest.mark.parametrize(
    ("tries", "shown"),
    [
        ([one(0), one(1, 2)], True),
        ([one(0), one(0, 2)], False),  # both on one day
        ([one(0), one(1, 1)], False),  # the same board twice
        ([one(0), one(1, 2, clean=False), one(2, 3)], False),  # not in a row
        ([one(0), one(0, 2), one(1, 3)], True),
        ([one(0)], False),
        ([], False),
    ],
)
def test_when_an_objective_is_shown(tries, shown):
    assert (status(*tries, today=2).shown_on is not None) == shown


def test_the_order_of_files_does_not_matter():
    assert status(one(1, 2), one(0), today=1).shown_on == DAY + 1


@pytest.mark.parametrize(
    ("checks", "due"),
    [
        ([], 1 + 2),
        ([one(3, 3)], 3 + 7),  # on its day: moves on
        ([one(2, 3)], 1 + 2),  # too early: no check
        ([one(3, 3), one(10, 4)], 10 + 21),
        ([one(3, 3), one(10, 4), one(31, 5)], 31 + 60),
        ([one(3, 3), one(10, 4), one(31, 5), one(91, 6)], 91 + 60),
        ([one(3, 3), one(9, 4, clean=False, critical=True)], 9 + 2),  # back to the first
        ([one(3, 3, clean=False)], 1 + 2),
    ],
)
def test_when_a_check_is_due(checks, due):
    found = status(one(0), one(1, 2), *checks, today=100)
    assert found.due == DAY + due


def test_due_on_the_day_itself():
    assert status(one(0), one(1, 2), today=2).status == "shown"
    assert status(one(0), one(1, 2), today=3).status == "due"


def test_days_to_come_do_not_count():
    assert status(one(0), one(5, 2), today=1).status == "begun"


def test_a_graded_clean_attempt_tests_a_level_out():
    out = one(0, scenario="make-it-dead", level=2, graded=True)
    assert status(out, name="empty-three-capacitors").how == "tested out"
    assert status(out, name="make-it-dead").shown_on == DAY
    assert status(out, name="wired").shown_on is None


@pytest.mark.parametrize("change", [{"graded": False}, {"clean": False}])
def test_nothing_less_tests_a_level_out(change):
    given = {"scenario": "make-it-dead", "level": 2, "graded": True, **change}
    assert status(one(0, **given), name="empty-three-capacitors").shown_on is None


def test_what_is_clean():
    good = mark([finding(outcome="met")])
    assert try_of(good, DAY, 2, spacing()).clean
    assert not try_of(good, DAY, 3, spacing()).clean  # a hint that says what to do
    assert not try_of(mark([finding()]), DAY, 0, spacing()).clean
    bad = try_of(mark([finding(outcome="met")], [critical()]), DAY, 0, spacing())
    assert bad.critical and not bad.clean


def test_next_is_what_is_due_first():
    tries = [one(0), one(1, 2), one(0, scenario="alpha", level=1)]
    assert next_of(objectives(tries, OFFERS, spacing(), DAY + 9)).offer.name == "wired"
    assert next_of(objectives(tries, OFFERS, spacing(), DAY + 2)).offer.name == "alpha"
    assert next_of([]) is None


def test_only_levels_that_are_not_shown_are_tested_out():
    out = one(0, scenario="make-it-dead", level=2, graded=True)
    left = open_levels(objectives([out], OFFERS, spacing(), DAY), spacing())
    assert set(left) == {1, 3, 4} and left[1] == spacing().test_out[1]


def test_test_out_scenarios_are_of_their_level():
    for level, name in spacing().test_out.items():
        assert load_scenario(name).level == level
