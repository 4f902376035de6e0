"""What a start costs a capacitor, by the law written out."""

import numpy as np
import pytest
from pytest import approx

from trainer.starts.thresholds import thresholds
from trainer.starts.wear import CanData, wear

LIMITS = thresholds()
CAN = CanData(rated_v=330.0, life_s=1.5e5, rated_c=65.0, duty_s_per_hour=60.0, esr_ohms=1.5)
STEP_S = 1e-3


def used(volts, amps, seconds=1.0, still=False):
    n = round(seconds / STEP_S)
    a = np.full(n, float(amps))
    if not still:
        a = np.append(a, np.zeros(10))
    return wear(CAN, np.full(a.size, float(volts)), a, STEP_S, LIMITS)


def test_heat_and_temperature():
    # 10 A through 1.5 ohm for a second: 150 J into 150 J/K is 1 K
    assert used(330.0, 10.0).end_c == approx(26.0, abs=0.01)


def test_duty_at_so_many_starts_an_hour():
    # 1 s a start, 8 an hour of 60 s allowed
    assert used(330.0, 10.0).duty_used_ratio == approx(8.0 / 60.0)


def test_life_at_rated_volts_and_a_cool_can():
    # 40 K below rated: 2^-4; 1 s of 1.5e5 s
    assert used(330.0, 2.0).life_used_ratio == approx(1.0 / 1.5e5 / 16.0, rel=0.01)


@pytest.mark.parametrize("ratio", [1.1, 1.6])
def test_life_goes_with_the_seventh_power_of_volts(ratio):
    # IEC 60252-1 style law, exponent 7, from memory
    found = used(ratio * 330.0, 2.0).life_used_ratio / used(330.0, 2.0).life_used_ratio
    assert found == approx(ratio**7)


def test_time_to_boil_at_the_last_heat():
    # 20 A: 600 W; 1 s warms 4 K to 29 degC; 76 K x 150 J/K / 600 W = 19 s
    found = used(500.0, 20.0, still=True)
    assert found.vents_in_s == approx(19.0, rel=0.01)
    assert used(500.0, 20.0).vents_in_s is None


def test_a_capacitor_that_was_never_in():
    found = used(0.0, 0.0)
    assert (found.seconds_in_circuit, found.life_used_ratio, found.rms_v) == (0.0, 0.0, 0.0)
