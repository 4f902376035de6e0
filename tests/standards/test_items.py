"""Difficulty, discrimination and flags."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from tests.standards.worked import X
from trainer.base.errors import FieldError
from trainer.standards.exact import shown
from trainer.standards.flags import item_flags, variant_flags
from trainer.standards.items import (
    ItemFigures,
    group_of_27_percent,
    item_figures,
    upper_lower,
)

CLOSE = {"abs": 1e-6, "rel": 0}
BINARY = st.integers(1, 5).flatmap(
    lambda k: st.lists(st.lists(st.integers(0, 1), min_size=k, max_size=k), min_size=2, max_size=9)
)


def test_items_as_worked():
    """Assessment conventions of this project, section 1.7, recomputed here."""
    found = item_figures(X)
    assert [float(f.difficulty) for f in found] == [0.75, 0.625, 0.375, 0.25]
    assert [f.rest for f in found] == pytest.approx(
        [0.447214, 0.292770, 0.292770, 0.447214], **CLOSE
    )
    assert [f.total for f in found] == pytest.approx(
        [0.707107, 0.632456, 0.632456, 0.707107], **CLOSE
    )


def test_upper_lower_in_file_order_as_worked():
    """Assessment conventions of this project, section 1.7, recomputed here."""
    assert upper_lower(X, 4, "in file order") == [0.5, 0.25, 0.75, 0.5]
    assert group_of_27_percent(8) == 2
    assert upper_lower(X, 2, "in file order") == [1, 0.5, 1, 0.5]


def test_upper_lower_with_ties_shared():
    """By hand: the learners 1010 and 1100 tie for the fourth place, so each is half in each group.

    Item 2: upper 3 + 1/2, lower 1/2 + 1, so (3.5 - 1.5)/4 = 1/2. With two in each group the
    learners 1110 and 1101 tie, and 1000 and 0100: item 1 has upper 2 and lower 1/2.
    """
    assert upper_lower(X, 4) == [Fraction(1, 2)] * 4
    assert upper_lower(X, 2) == [Fraction(3, 4), Fraction(3, 4), Fraction(3, 4), Fraction(3, 4)]


@pytest.mark.parametrize(("n", "group"), [(1, 0), (2, 1), (13, 4), (50, 14), (100, 27)])
def test_the_group_of_27_percent(n, group):
    """By hand: 0.54 and 3.51 go up to 1 and 4, and 13.5 to 14."""
    assert group_of_27_percent(n) == group


@given(BINARY)
def test_correlations_are_scipys_or_undefined(rows):
    for j, found in enumerate(item_figures(rows)):
        column = [row[j] for row in rows]
        rest = [sum(row) - row[j] for row in rows]
        if len(set(column)) == 1 or len(set(rest)) == 1:
            assert found.rest is None
            assert shown(found.rest) == "–"
        else:
            assert found.rest == pytest.approx(stats.pointbiserialr(column, rest)[0])
            assert -1 <= found.rest <= 1


@given(BINARY, st.randoms())
def test_ties_shared_make_the_order_of_the_file_nothing(rows, chance):
    shuffled = list(rows)
    chance.shuffle(shuffled)
    group = len(rows) // 2
    assert upper_lower(rows, group) == upper_lower(shuffled, group)


def test_without_ties_the_two_rules_agree():
    rows = [[1, 1, 1], [1, 1, 0], [1, 0, 0], [0, 0, 0]]
    assert upper_lower(rows, 2) == upper_lower(rows, 2, "in file order")


@pytest.mark.parametrize(("rows", "group"), [([[1], [0]], 0), ([[1], [0]], 2), ([[1], [1]], 1)])
def test_no_groups_no_d(rows, group):
    assert upper_lower(rows, group) == [None]


def test_points_of_a_graded_item_are_shares():
    """By hand: means 3 of 4 and 1 of 2; D (4 - 2)/4 and (2 - 0)/2."""
    found = item_figures([[4, 2], [2, 0]], out_of=[4, 2])
    assert [f.difficulty for f in found] == [Fraction(3, 4), Fraction(1, 2)]
    assert [f.upper_lower for f in found] == [Fraction(1, 2), 1]
    with pytest.raises(FieldError):
        item_figures([[4, 2], [2, 0]], out_of=[4, 0])
    with pytest.raises(FieldError):
        item_figures([[4, 2], [2, 0]], out_of=[4])


def figures(difficulty, rest=0.5):
    return ItemFigures(Fraction(difficulty), rest, rest, None)


def test_an_item_is_flagged_just_beyond_each_threshold():
    """Thresholds: assessment conventions of this project, section 1.7."""
    inside = [figures("0.2"), figures("0.95"), figures("0.5", 0.1), figures("0.5", None)]
    assert item_flags(list("abcd"), inside) == []
    beyond = [figures("0.199"), figures("0.951"), figures("0.5", 0.099), None]
    flags = item_flags(list("abcd"), beyond)
    assert [f.subject for f in flags] == list("abcd")
    assert all(f.sentence.startswith("check this item: ") for f in flags)
    assert [f.sentence for f in item_flags(["x"], [figures("0.1", -0.2)])] == [
        "check this item: learners got 10.0 % of its points, less than 20 %",
        "check this item: its correlation with the rest is -0.200, below 0.1",
    ]


def test_a_variant_is_flagged_more_than_ten_points_from_its_siblings():
    """By hand: 80 against the mean of 70 and 69 is 10.5 above; 70 and 69 are 4.5 and 6 below."""
    flags = variant_flags({"a": [75, 85], "b": [70], "c": [69]})
    assert [(f.subject, f.sentence) for f in flags] == [
        ("a", "check this variant: its mean is 10.5 points above that of its siblings")
    ]
    assert variant_flags({"a": [80], "b": [70]}) == []
    assert variant_flags({"a": [80]}) == []
    assert len(variant_flags({"a": [80], "b": [69]})) == 2
    with pytest.raises(FieldError):
        variant_flags({"a": []})
