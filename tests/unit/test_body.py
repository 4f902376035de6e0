"""Body impedance, thresholds and hazard classes at their edges."""

import pytest
from pytest import approx

from trainer.unit import body


@pytest.mark.parametrize("volts, ohms", [(50.0, 2500.0), (125.0, 1550.0), (1000.0, 775.0)])
def test_rows_of_the_body_table(volts, ohms):
    # IEC TS 60479-1:2005 (from memory), 50 %
    assert body.body_ohms(volts) == approx(ohms)


def test_between_and_beyond_the_rows():
    assert 1550.0 < body.body_ohms(110.0) < 1725.0
    assert body.body_ohms(10.0) == 2500.0
    assert body.body_ohms(5000.0) == 775.0


def test_some_bodies_carry_more():
    assert body.touch_amps(240.0, "p5") > body.touch_amps(240.0) > body.touch_amps(240.0, "p95")


def test_a_dry_glove_helps():
    assert body.touch_amps(240.0, more_ohms=1e6) < body.REACTION_A


@pytest.mark.parametrize("for_s, amps", [(0.001, 0.5), (0.5, 0.1), (1.0, 0.05), (60.0, 0.04)])
def test_curve_c1(for_s, amps):
    # IEC TS 60479-1 curve c1 (from memory)
    assert body.fibrillation_amps(for_s) == approx(amps)


@pytest.mark.parametrize(
    "amps, words",
    [(0.0004, "not felt"), (0.002, "startle"), (0.01, "let go"), (0.05, "fibrillate")],
)
def test_effect_of_one_second(amps, words):
    assert words in body.effect(amps, 1.0)


@pytest.mark.parametrize(
    "volts, joules, found",
    # national-laboratory thresholds: 100 V and 10 J, or under 100 V above 100 J
    [(100.0, 10.0, "shock"), (99.9, 10.0, "treat as hazardous"), (60.0, 101.0, "thermal"),
     (49.9, 5.0, "low"), (100.0, 9.9, "treat as hazardous"), (24.0, 101.0, "thermal")],
)  # fmt: skip
def test_capacitor_hazard_at_its_edges(volts, joules, found):
    assert body.capacitor_hazard(volts, joules) == found
