"""KR-20, alpha, SEM, length, consistency, generalizability and agreement."""

import warnings
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import stats
from sklearn.metrics import cohen_kappa_score

from tests.standards.worked import RATER_1, RATER_2, X, Y
from trainer.base.errors import FieldError
from trainer.standards.agreement import cohen_kappa
from trainer.standards.exact import mean, population_variance, sample_variance
from trainer.standards.generalizability import generalizability
from trainer.standards.reliability import (
    alpha,
    alpha_interval,
    kr20,
    length_factor,
    livingston,
    spearman_brown,
    standard_error_of_measurement,
)

CLOSE = {"abs": 1e-6, "rel": 0}


def tables(cell, least=1):
    return st.integers(least, 4).flatmap(
        lambda k: st.lists(st.lists(cell, min_size=k, max_size=k), min_size=2, max_size=8)
    )


def test_kr20_as_worked():
    """Assessment conventions of this project, section 1.7, recomputed here."""
    columns = list(zip(*X))
    assert population_variance([sum(row) for row in X]) == Fraction(3, 2)
    assert sum(mean(c) * (1 - mean(c)) for c in columns) == Fraction(84375, 100000)
    assert float(kr20(X)) == pytest.approx(0.583333, **CLOSE)


def test_kr20_does_not_mix_the_two_variances():
    """The mistake, by the same section: pq of the population over the variance of the sample."""
    pq = sum(mean(c) * (1 - mean(c)) for c in zip(*X))
    mixed = Fraction(4, 3) * (1 - pq / sample_variance([sum(row) for row in X]))
    assert float(mixed) == pytest.approx(0.677083, **CLOSE)
    assert kr20(X) != mixed
    assert alpha(X) != mixed


def test_alpha_and_its_interval_as_worked():
    """Assessment conventions of this project, section 1.7, recomputed here."""
    assert float(alpha(X)) == pytest.approx(0.583333, **CLOSE)
    assert alpha_interval(X) == pytest.approx((-0.237, 0.906), abs=5e-4)


def test_the_interval_has_f_tails():
    """SciPy's F distribution with n - 1 and (n - 1)(k - 1) degrees of freedom."""
    low, high = alpha_interval(X)
    f = stats.f(7, 21)
    assert f.cdf((1 - low) / float(1 - alpha(X))) == pytest.approx(0.975)
    assert f.cdf((1 - high) / float(1 - alpha(X))) == pytest.approx(0.025)


def test_sem_length_and_livingston_as_worked():
    """Assessment conventions of this project, section 1.7, recomputed here."""
    assert standard_error_of_measurement(X) == pytest.approx(0.845154, **CLOSE)
    assert float(spearman_brown(alpha(X), 3)) == pytest.approx(0.807692, **CLOSE)
    assert float(length_factor(alpha(X), 0.8)) == pytest.approx(2.857143, **CLOSE)
    assert livingston(X, 3) == Fraction(3, 4)


@given(tables(st.integers(0, 1)))
def test_kr20_is_alpha_of_noughts_and_ones(rows):
    assert kr20(rows) == alpha(rows)
    assert kr20(rows) is None or kr20(rows) <= 1


def test_kr20_is_for_noughts_and_ones_only():
    assert kr20(Y) is None
    assert alpha(Y) is not None


@pytest.mark.parametrize("rows", [[[1], [0]], [[1, 0], [0, 1]], [[1, 1], [1, 1]], []])
def test_one_item_or_one_total_has_no_reliability(rows):
    assert alpha(rows) is None
    assert kr20(rows) is None
    assert alpha_interval(rows) is None
    assert livingston(rows, 1) is None
    assert rows == [] or standard_error_of_measurement(rows) is None


RELIABILITIES = st.fractions(Fraction(1, 100), Fraction(99, 100), max_denominator=100)


@given(RELIABILITIES, RELIABILITIES)
def test_the_length_factor_undoes_the_prophecy(reliability, target):
    assert spearman_brown(reliability, length_factor(reliability, target)) == target


def test_lengths_that_do_not_exist():
    assert length_factor(0, 0.8) is None
    assert length_factor(-0.2, 0.8) is None
    assert spearman_brown(-0.5, 3) is None
    with pytest.raises(FieldError):
        length_factor(0.5, 1)
    with pytest.raises(FieldError):
        spearman_brown(0.5, 0)


@given(tables(st.integers(0, 5), least=2), st.integers(0, 20))
def test_a_cut_away_from_the_mean_is_decided_more_surely(rows, cut):
    assume(alpha(rows) is not None)
    assert alpha(rows) <= livingston(rows, cut) <= 1


def test_generalizability_as_worked():
    """Assessment conventions of this project, section 1.7, recomputed here."""
    g = generalizability(Y)
    squares = [float(v) for v in (g.ms_persons, g.ms_scenarios, g.ms_rest)]
    assert squares == pytest.approx([9.841667, 2.375, 0.441667], **CLOSE)
    variances = [float(v) for v in (g.var_persons, g.var_scenarios, g.var_rest)]
    assert variances == pytest.approx([2.35, 0.322222, 0.441667], **CLOSE)
    assert float(g.relative()) == pytest.approx(0.955122, **CLOSE)
    assert float(g.absolute()) == pytest.approx(0.924843, **CLOSE)
    assert float(g.absolute(8)) == pytest.approx(0.960954, **CLOSE)
    assert g.relative() == alpha(Y)
    assert g.set_to_zero == ()
    with pytest.raises(FieldError):
        g.absolute(0)


def test_mean_squares_against_scipy():
    """SciPy's one-way F test of persons and of scenarios, whose mean squares between are these."""
    g = generalizability(Y)
    for groups, between in ((Y, g.ms_persons), (list(zip(*Y)), g.ms_scenarios)):
        within = sum(population_variance(group) * len(group) for group in groups)
        freedom = sum(map(len, groups)) - len(groups)
        assert float(between / (within / freedom)) == pytest.approx(stats.f_oneway(*groups)[0])


def test_negative_estimates_are_set_to_zero_and_said():
    """By hand: persons and scenarios have equal means, so both mean squares are 0, the rest 1."""
    g = generalizability([[1, 0], [0, 1]])
    assert (g.ms_persons, g.ms_scenarios, g.ms_rest) == (0, 0, 1)
    assert (g.var_persons, g.var_scenarios) == (0, 0)
    assert g.set_to_zero == ("persons", "scenarios")
    assert g.relative() == 0


def test_generalizability_that_does_not_exist():
    assert generalizability([[1, 2]]) is None
    assert generalizability([[1], [2]]) is None
    assert generalizability([[1, 1], [1, 1]]).relative() is None


@given(tables(st.integers(0, 9), least=2))
def test_the_relative_coefficient_is_alpha_where_nothing_was_negative(rows):
    g = generalizability(rows)
    if alpha(rows) is not None and "persons" not in g.set_to_zero:
        assert g.relative() == alpha(rows)
    if g.relative() is not None:
        assert 0 <= g.absolute() <= g.relative() <= 1


def test_kappa_as_worked():
    """Assessment conventions of this project, section 1.7, recomputed here."""
    assert float(cohen_kappa(RATER_1, RATER_2)) == pytest.approx(0.583333, **CLOSE)


@given(st.lists(st.tuples(st.integers(0, 2), st.integers(0, 2)), min_size=1, max_size=12))
def test_kappa_is_scikit_learns_or_undefined(pairs):
    first, second = zip(*pairs)
    kappa = cohen_kappa(first, second)
    if len(set(first) | set(second)) == 1:
        assert kappa is None
        return
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        assert float(kappa) == pytest.approx(cohen_kappa_score(first, second))


def test_raters_of_different_learners_have_no_kappa():
    for first, second in (([], []), ([1], [1, 0])):
        with pytest.raises(FieldError):
            cohen_kappa(first, second)
