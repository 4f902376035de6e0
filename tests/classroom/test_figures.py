"""Figures of a class: groups, items against the worked numbers and other programs, reliability."""

from collections import Counter
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from scipy import stats

from tests.classroom.invented import JOB, PEOPLE, _attempt, filled, way_of
from tests.standards.worked import X
from trainer.classroom.assigning import assignment_of
from trainer.classroom.figures import Judged, figures, items_of, reliability_of
from trainer.classroom.grading import write_grade
from trainer.classroom.variants_met import GROUP_LEAST, dialled
from trainer.scenario.variants import draw
from trainer.standards.flags import VARIANT_POINTS

CLOSE = {"abs": 1e-6, "rel": 0}


def figures_of(desk, name="dead-1"):
    with desk.store.reading() as c:
        return figures(c, assignment_of(c, name), desk.now_ms)


def cells_of(matrix):
    """Learners' items of one point each."""
    return {
        f"learner {n}": {
            ("sequence", f"item {j}", ""): Judged(Fraction(1), Fraction(x), "met", "")
            for j, x in enumerate(row)
        }
        for n, row in enumerate(matrix)
    }


def test_difficulty_and_discrimination_of_the_worked_matrix():
    """Section 1.7 of the assessment conventions: binary matrix of 8 learners and 4 items."""
    items = items_of(cells_of(X), {}, [])
    assert [float(i.figures.difficulty) for i in items] == [0.75, 0.625, 0.375, 0.25]
    rest = [0.447214, 0.292770, 0.292770, 0.447214]
    assert [i.figures.rest for i in items] == pytest.approx(rest, **CLOSE)
    whole = [0.707107, 0.632456, 0.632456, 0.707107]
    assert [i.figures.total for i in items] == pytest.approx(whole, **CLOSE)


def test_reliability_of_the_worked_matrix():
    """Section 1.7: alpha 0.583333, interval -0.237 to 0.906, SEM 0.845154, K2 at cut 3 0.75."""
    r = reliability_of(cells_of(X), Fraction(3))
    assert (r.n, r.k, r.left_out) == (8, 4, 0)
    assert float(r.alpha) == pytest.approx(0.583333, **CLOSE)
    assert r.interval == pytest.approx((-0.237, 0.906), abs=5e-4)
    assert r.sem == pytest.approx(0.845154, **CLOSE) and float(r.livingston) == 0.75


def test_discrimination_with_other_weights_against_scipy():
    rng = np.random.default_rng(7)
    shares = rng.integers(0, 3, (12, 6)) / 2
    points = np.array([5, 1, 2, 3, 4, 2])
    cells = {
        str(n): {("d", f"i{j}", ""): Judged(Fraction(int(points[j])), Fraction(x), "met", "")
                 for j, x in enumerate(row)}
        for n, row in enumerate(shares)
    }  # fmt: skip
    earned = shares * points
    for j, item in enumerate(items_of(cells, {}, [])):
        r = stats.pearsonr(shares[:, j], earned.sum(axis=1) - earned[:, j]).statistic
        assert item.figures.rest == pytest.approx(r, **CLOSE)


def test_an_item_judged_for_some_is_figured_over_those_only():
    cells = cells_of(X)
    key = ("sequence", "item 3", "")
    del cells["learner 0"][key], cells["learner 7"][key]
    item = items_of(cells, {}, [])[3]
    assert item.judged == 6 and item.figures.difficulty == Fraction(1, 6)
    rest = [sum(row[:3]) for row in X[1:7]]
    r = stats.pointbiserialr([row[3] for row in X[1:7]], rest).statistic
    assert item.figures.rest == pytest.approx(r, **CLOSE)
    r = reliability_of(cells, Fraction(3))
    assert (r.k, r.left_out, r.sem, r.livingston) == (3, 1, None, None)


def test_what_is_constant_has_no_discrimination():
    items = items_of(cells_of([[1, 0], [1, 1], [1, 0]]), {}, [])
    assert items[0].figures.rest is None and items[0].figures.difficulty == 1


def test_a_line_nobody_triggered_has_no_figures():
    items = items_of(cells_of(X), {}, [("sequence", "P34 before RESTORE", "P34")])
    assert items[-1].rule == "P34 before RESTORE" and items[-1].figures is None
    assert items_of({}, {}, [("sequence", "P34 before RESTORE", "P34")]) == []


def test_the_class_of_twelve(desk):
    made = filled(desk)
    f = figures_of(desk)
    assert [e.who.learner_id for e in f.ready] == ["L-0001", "L-0002", "L-0005", "L-0008"]
    assert [e.who.learner_id for e in f.unsafe] == [
        "L-0003", "L-0004", "L-0006", "L-0007", "L-0009",
    ]  # fmt: skip
    assert f.safe == () and [e.status for e in f.waiting] == [
        "handed_in", "in_progress", "not_started",
    ]  # fmt: skip
    codes = {c.code: c.learners for c in f.critical}
    assert codes["CF3"] == (made.people["L-0003"],) and codes["CF13"] == (made.people["L-0007"],)
    assert f.few and f.reliability.n == 9 and f.mean == sum(
        e.mark.total for e in f.graded
    ) / len(f.graded)  # fmt: skip
    lock = next(i for i in f.items if i.rule == "P12 before WORK")
    assert made.people["L-0003"] in lock.missed and lock.judged >= 8 and lock.practice
    assert {flag.sentence for flag in f.flags} <= {"check this item: it was never triggered"}
    assert f.variants == () and f.course.study is None


@pytest.mark.parametrize("ways", [(), ((),), (("right",),), (("right",), ("no-gloves",))])
def test_small_classes_have_figures_as_far_as_there_are_any(desk, ways):
    filled(desk, ways)
    f = figures_of(desk)
    assert len(f.entries) == len(ways)
    if len(f.graded) < 2:
        assert f.reliability.alpha is None and f.reliability.interval is None
        assert all(i.figures is None or i.figures.rest is None for i in f.items)


def test_several_assignments_give_generalizability_of_those_who_have_all(desk):
    """Against the two-way table by hand, of the totals as they are kept."""
    one = (("right",), ("no-own-lock",), ("dead-at-once",), ("no-gloves",), ("right",))
    two = (("other-order",), ("nothing-on-dc",), ("no-own-lock",), ("right",), ())
    made = filled(desk, one)
    filled(desk, two, "dead-2", beside=made)
    f = figures_of(desk)
    assert f.course.assignments == ("dead-1", "dead-2") and f.course.persons == 4
    marks = [[way_of(a[0])[1].mark.total, way_of(b[0])[1].mark.total] for a, b in zip(one, two[:4])]
    y = np.array(marks, dtype=float)
    grand, p, i = y.mean(), y.mean(axis=1), y.mean(axis=0)
    ms_p = 2 * ((p - grand) ** 2).sum() / 3
    ms_pi = ((y - p[:, None] - i[None, :] + grand) ** 2).sum() / 3
    assert float(f.course.study.ms_persons) == pytest.approx(ms_p)
    assert float(f.course.study.ms_rest) == pytest.approx(ms_pi)


def test_what_the_dials_showed_parts_learners_into_groups(desk):
    """Seeds are invented; what they show is drawn by the scenario itself."""
    made = filled(desk, ((),) * 6)
    with desk.store.writing() as c:
        for n in range(6):
            _attempt(desk, c, made, PEOPLE[n][0], 1, "right?")
            _, m = way_of("right")
            mark = replace(m.mark, subject=replace(m.mark.subject, seed=2**63 + n))
            attempt = made.attempts[PEOPLE[n][0], 1]
            write_grade(desk, c, attempt, mark, m.rubric)
    found = {d.dial: {g.shown: g.n for g in d.groups} for d in figures_of(desk).variants}
    scenario = way_of("right")[1].scenario
    for dial in ("paper", "meter"):
        drawn = Counter(str(draw(scenario, JOB, 2**63 + n)[dial]) for n in range(6))
        assert found.get(dial, drawn) == drawn and (len(drawn) == 1 or dial in found)
    assert found and not set(found) & {"colours", "supply", "dirt"}


def test_variants_that_differ_are_flagged_and_groups_too_small_never():
    """Six are enough: see ``GROUP_LEAST``."""
    marks = {
        "clean": [Fraction(n) for n in (90, 86, 90, 86, 90, 86)],
        "missing": [Fraction(n) for n in (70, 74, 70, 74, 70, 74)],
    }
    found = dialled("paper", marks)
    assert [(g.shown, g.n, g.mean) for g in found.groups] == [("clean", 6, 88), ("missing", 6, 72)]
    assert [f.subject for f in found.flags] == ["clean", "missing"]
    assert found.flags[0].sentence.startswith("check this variant: its mean is 16.0 points above")
    few = {**marks, "missing": [Fraction(1)] * 5}
    assert dialled("paper", few).flags == ()


def test_the_spread_that_makes_a_group_too_small():
    """Section 1.6's worked scores: one standard error of the difference of two means."""
    scores = [38, 52, 55, 61, 66, 74, 78, 90]
    sd = float(np.std(scores, ddof=1))
    assert sd * (2 / GROUP_LEAST) ** 0.5 < VARIANT_POINTS < sd * (2 / (GROUP_LEAST - 1)) ** 0.5
