"""Analytical flicker: lamps, starts an hour, limits at their edge."""

import pytest
from pytest import approx

from trainer.base.errors import TrainerError
from trainer.sizing import flicker


def test_the_120_volt_lamp_shows_less():
    # IEC 61000-4-15 ed. 2: 2.715/3.181, 1.450/1.694 and 0.894/1.040, mean 0.8564
    assert flicker.lamp_factor("120 V 60 Hz") == approx(0.8564, abs=1e-4)
    assert flicker.lamp_factor("230 V 50 Hz") == 1.0
    with pytest.raises(TrainerError, match="no lamp"):
        flicker.lamp_factor("100 V 60 Hz")


@pytest.mark.parametrize(
    "lamp, points",
    # IEC 61000-4-15 ed. 2 performance test at 1, 7, 39 changes a minute
    [("120 V 50 Hz", (3.178, 1.694, 1.045)), ("230 V 60 Hz", (2.719, 1.450, 0.895))],
)
def test_the_other_lamps_hold_their_points_too(lamp, points):
    factor = flicker.lamp_factor(lamp)
    found = [flicker.pst(d, 10 * n, factor) for d, n in zip(points, (1, 7, 39), strict=True)]
    assert found == approx([1.0, 1.0, 1.0], rel=0.05)


def test_the_formula_does_not_hold_at_110_a_minute():
    # IEC 61000-4-15 ed. 2: 0.722 % at 110 a minute gives Pst 1; the formula would say 1.13
    beyond = (1100 * flicker.flicker_time(0.722) / 600.0) ** (1 / 3.2)
    assert beyond == approx(1.13, abs=0.01)


@pytest.mark.parametrize(
    "volts, hz, lamp",
    [(120.0, 60.0, "120 V 60 Hz"), (230.0, 50.0, "230 V 50 Hz"), (127.0, 50.0, "120 V 50 Hz")],
)
def test_lamp_of_a_supply(volts, hz, lamp):
    assert flicker.lamp_for(volts, hz) == lamp


@pytest.mark.parametrize("starts, in_window", [(1, 1), (6, 1), (7, 2), (12, 2), (60, 10)])
def test_starts_in_the_worst_ten_minutes(starts, in_window):
    assert flicker.pst_of_starts(3.0, starts) == approx(flicker.pst(3.0, in_window))


def test_plt_of_six_starts_an_hour_is_its_pst():
    # one start in each of the twelve windows
    assert flicker.plt_of_starts(3.0, 6) == approx(flicker.pst(3.0, 1))


def test_plt_of_one_start_an_hour():
    # two of twelve windows: Pst (2/12)^(1/3)
    assert flicker.plt_of_starts(3.0, 1) == approx(flicker.pst(3.0, 1) * (1 / 6) ** (1 / 3))


def test_no_starts_is_refused():
    with pytest.raises(TrainerError, match="above zero"):
        flicker.pst_of_starts(3.0, 0)


def test_limits_at_their_edge():
    # IEC 61000-3-3 (from memory): 4 %, 3.3 %, 500 ms, Pst 1
    assert [v.ok for v in flicker.judge(4.0, 3.3, 0.5, 1.0)] == [True] * 4
    assert [v.ok for v in flicker.judge(4.01, 3.31, 0.51, 1.01)] == [False] * 4


@pytest.mark.parametrize("kind, limit", [("general", 4.0), ("delayed_restart", 6.0),
                                         ("attended", 7.0)])  # fmt: skip
def test_dmax_classes(kind, limit):
    # IEC 61000-3-3 (from memory)
    assert flicker.judge(1.0, 1.0, 0.0, 0.5, kind)[0].limit == approx(limit)


def test_an_unknown_class_is_refused():
    with pytest.raises(TrainerError, match="no dmax class"):
        flicker.judge(1.0, 1.0, 0.0, 0.5, "sometimes")


def test_the_tightest_rule_gives_the_permitted_impedance():
    # IEC 61000-3-11 (from memory): dmax 8 % halves the reference impedance
    found = flicker.permitted_impedance(8.0, 0.5, 0.3)
    assert found.value == approx(0.4717 / 2, rel=1e-3)
    assert "dmax" in found.rule
    # Pst 2: (1/2)^1.5
    assert flicker.permitted_impedance(4.0, 2.0, 0.3).value == approx(0.4717 * 0.5**1.5, rel=1e-3)
    # Plt 1.3: (0.65/1.3)^1.5
    assert flicker.permitted_impedance(4.0, 1.0, 1.3).value == approx(0.4717 * 0.5**1.5, rel=1e-3)


def test_test_impedance_for_large_services():
    # IEC 61000-3-11 (from memory)
    assert flicker.test_impedance() == 0.25 + 0.25j
