"""Half-cycle rms against sines whose rms is known in closed form."""

import numpy as np
import pytest
from pytest import approx

from trainer.starts.half_cycles import half_cycle_rms, relative_voltage_change

HZ = 60.0
STEP_S = 1.0 / (HZ * 333)


def sine(until_s, rms=240.0, phase=0.0):
    t = np.arange(round(until_s / STEP_S) + 1) * STEP_S
    return t, np.sqrt(2.0) * rms * np.sin(2.0 * np.pi * HZ * t + phase)


@pytest.mark.parametrize("phase", [0.0, 0.3, 1.5708, 3.0])
def test_every_half_cycle_of_a_sine_has_its_rms(phase):
    found = half_cycle_rms(*sine(0.1, phase=phase), HZ)
    assert len(found.rms) in (10, 11, 12)
    assert found.rms == approx(240.0, rel=5e-5)


def test_edges_lie_on_the_crossings_between_samples():
    found = half_cycle_rms(*sine(0.1, phase=0.3), HZ)
    first = (np.pi - 0.3) / (2.0 * np.pi * HZ)
    assert found.edges_s[0] == approx(first, abs=1e-9)
    assert np.diff(found.edges_s) == approx(1.0 / 120.0, abs=1e-9)


def test_a_step_in_volts_shows_in_its_own_half_cycle():
    t, v = sine(0.2)
    found = half_cycle_rms(t, np.where(t < 0.1, v, 0.9 * v), HZ)
    assert found.rms[:11] == approx(240.0, rel=1e-4)
    assert found.rms[12:] == approx(216.0, rel=1e-4)


def test_noise_about_zero_makes_no_extra_half_cycles():
    t, v = sine(0.5)
    noise = np.random.default_rng(7).normal(0.0, 3.0, t.size)
    found = half_cycle_rms(t, v + noise, HZ)
    assert len(found.rms) in (59, 60)
    # 3 V of noise over 166 samples: sqrt(2) 3/sqrt(166) = 0.33 V, six sigma is 0.8 %
    assert found.rms == approx(240.0, rel=8e-3)


def test_a_supply_that_vanishes_reads_nothing():
    t, v = sine(0.2)
    found = half_cycle_rms(t, np.where(t < 0.1, v, 0.0), HZ)
    assert found.rms[:11] == approx(240.0, rel=1e-4)
    assert len(found.rms) >= 22
    assert found.rms[-9:] == approx(0.0, abs=1e-9)


def test_a_dead_supply_from_the_beginning():
    t, v = sine(0.2, rms=0.0)
    found = half_cycle_rms(t, v, HZ)
    assert len(found.rms) == 24
    assert found.rms == approx(0.0)


def test_dc_between_crossings_is_counted_exactly():
    t = np.arange(1001) * 1e-4
    v = np.where((t // 0.01).astype(int) % 2 == 0, 100.0, -100.0)
    found = half_cycle_rms(t, v, 50.0)
    assert found.rms[2:-1] == approx(100.0, rel=0.01)


def change(rms, **more):
    return relative_voltage_change(np.array(rms), 240.0, HZ, **more)


def test_a_dip_that_recovers():
    # 12 V of 240 is 5 %; 12 half cycles of 1/120 s
    found = change([240.0] * 10 + [228.0] * 12 + [240.0] * 130)
    assert found.dmax_pct == approx(5.0)
    assert found.dc_pct == approx(0.0)
    assert found.over_limit_s == approx(0.1)
    assert found.settled


def test_a_step_that_stays():
    found = change([240.0] * 10 + [237.6] * 130)
    assert (found.dmax_pct, found.dc_pct) == (approx(1.0), approx(1.0))
    assert found.over_limit_s == 0.0


def test_volts_before_may_be_given():
    found = change([228.0] * 130, before_rms=240.0)
    assert (found.dmax_pct, found.dc_pct) == (approx(5.0), approx(5.0))


def test_a_rise_counts_as_a_change():
    assert change([240.0] * 5 + [252.0] * 130).dmax_pct == approx(5.0)


def test_just_at_the_limit_is_not_over_it():
    # 0.033 x 240 = 7.92 V
    assert change([240.0] + [240.0 - 7.919] * 130).over_limit_s == 0.0
    assert change([240.0] + [240.0 - 7.921] * 120).over_limit_s == approx(1.0)


def test_an_end_that_still_moves_is_not_settled():
    assert not change(np.linspace(240.0, 220.0, 200)).settled
    assert not change([240.0] * 10 + [228.0] * 60).settled


def test_nothing_to_judge_is_an_error():
    with pytest.raises(ValueError, match="no half cycle"):
        change([])
