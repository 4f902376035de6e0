"""Modified Angoff and borderline regression: worked numbers, cross-checks, what cannot be."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from sklearn.metrics import root_mean_squared_error

from tests.standards.worked import JUDGES, RATINGS, SCORES
from trainer.base.errors import FieldError
from trainer.standards.angoff import modified_angoff
from trainer.standards.borderline import borderline_regression

CLOSE = {"abs": 1e-6, "rel": 0}


def test_angoff_as_worked():
    """Assessment conventions of this project, section 1.6, recomputed here."""
    found = modified_angoff(JUDGES)
    assert [float(m) for m in found.item_means] == [0.85, 0.65, 0.60, 0.85, 0.50]
    assert found.judge_means == (Fraction(70, 100), Fraction(68, 100), Fraction(69, 100))
    assert found.cut_share == Fraction(69, 100)
    assert found.cut_points == Fraction(345, 100)
    assert found.cut_percent == 69
    assert found.se_share == pytest.approx(0.0057735, **CLOSE)
    assert (found.judges, found.n) == (3, 5)


def test_the_two_scales_of_the_angoff_error():
    """SciPy's standard error of the mean, of judges' means and of judges' sums."""
    found = modified_angoff(JUDGES)
    assert found.se_share == pytest.approx(stats.sem([sum(row) / 5 for row in JUDGES]))
    assert found.se_points == pytest.approx(stats.sem([sum(row) for row in JUDGES]))
    assert found.se_percent == pytest.approx(100 * found.se_share)


CHANCES = st.integers(0, 100).map(lambda n: Fraction(n, 100))


@given(st.integers(1, 5).flatmap(
    lambda k: st.lists(st.lists(CHANCES, min_size=k, max_size=k), min_size=2, max_size=6)
))  # fmt: skip
def test_the_angoff_cut_is_a_mean_both_ways_and_knows_no_order(rows):
    found = modified_angoff(rows)
    assert found.cut_share == sum(found.item_means) / found.n
    assert found.cut_share == sum(found.judge_means) / found.judges
    assert min(map(min, rows)) <= found.cut_share <= max(map(max, rows))
    turned = modified_angoff(rows[::-1])
    assert (turned.cut_share, turned.se_share) == (found.cut_share, found.se_share)


@pytest.mark.parametrize(
    "rows", [[[0.5]], [], [[], []], [[0.5], [1.1]], [[0.5], [-0.1]], [[0.5], [0.5, 0.5]],
             [[0.5], [float("nan")]]],
)  # fmt: skip
def test_what_is_no_angoff_study(rows):
    with pytest.raises(FieldError):
        modified_angoff(rows)


def test_borderline_as_worked():
    """Assessment conventions of this project, section 1.6, recomputed here."""
    found = borderline_regression(RATINGS, SCORES)
    assert float(found.slope) == pytest.approx(12.416667, **CLOSE)
    assert found.intercept == 27
    assert float(found.r2) == pytest.approx(0.981216, **CLOSE)
    assert found.cut == Fraction(311, 6)
    assert float(found.cut) == pytest.approx(51.833333, **CLOSE)
    assert (found.n, found.beyond) == (8, False)


def test_borderline_against_scipy_and_scikit_learn():
    found = borderline_regression(RATINGS, SCORES)
    line = stats.linregress(RATINGS, SCORES)
    assert (float(found.slope), float(found.intercept)) == pytest.approx(
        (line.slope, line.intercept)
    )
    assert float(found.r2) == pytest.approx(line.rvalue**2)
    on_line = [line.intercept + line.slope * rating for rating in RATINGS]
    assert found.rmse == pytest.approx(root_mean_squared_error(SCORES, on_line))
    # With ratings counted from borderline the intercept is the cut.
    moved = stats.linregress([rating - 2 for rating in RATINGS], SCORES)
    assert float(found.cut) == pytest.approx(moved.intercept)
    assert found.se_cut == pytest.approx(moved.intercept_stderr)


@given(st.lists(st.tuples(st.integers(1, 5), st.integers(0, 100)), min_size=3, max_size=20))
def test_the_line_goes_through_the_means(pairs):
    ratings, scores = zip(*pairs)
    if len(set(ratings)) == 1:
        with pytest.raises(FieldError, match="no line"):
            borderline_regression(ratings, scores)
        return
    found = borderline_regression(ratings, scores)
    at_mean = found.intercept + found.slope * Fraction(sum(ratings), len(ratings))
    assert at_mean == Fraction(sum(scores), len(scores))
    assert (found.r2 is None) == (len(set(scores)) == 1)
    assert found.r2 is None or 0 <= found.r2 <= 1
    assert found.beyond == (min(ratings) > 2)


@pytest.mark.parametrize(
    ("ratings", "scores"),
    [([1, 2], [3, 4]), ([1, 2, 3], [3, 4]), ([1, 2, 6], [3, 4, 5]), ([1, 2, 2.5], [3, 4, 5])],
)
def test_what_is_no_borderline_study(ratings, scores):
    with pytest.raises(FieldError):
        borderline_regression(ratings, scores)
