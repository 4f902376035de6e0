"""Instruments on waves whose readings are known in closed form."""

import math

import numpy as np
from pytest import approx

from trainer.starts.signals import display_max, inrush, moving_rms, peak, rms

STEP_S = 1.0 / 6000.0  # 100 samples a cycle at 60 Hz


def sine(seconds, amps_rms, begins_s=0.0):
    t = np.arange(round(seconds / STEP_S)) * STEP_S
    return np.where(t >= begins_s, math.sqrt(2.0) * amps_rms * np.sin(2 * math.pi * 60 * t), 0.0)


def test_moving_rms_of_a_sine_is_its_rms_after_one_cycle():
    found = moving_rms(sine(0.1, 10.0), 100)
    assert found[99:] == approx(10.0)


def test_moving_rms_before_the_record_is_nothing():
    # half a cycle seen of a whole one: 10/sqrt(2)
    assert moving_rms(sine(0.1, 10.0), 100)[49] == approx(10.0 / math.sqrt(2.0), rel=0.02)


def test_inrush_is_the_rms_of_its_window():
    # 50 ms at 80 A, then 10 A: sqrt((80^2 + 10^2)/2) = 57.0 A over 100 ms
    amps = sine(0.5, 80.0)
    amps[300:] = sine(0.5, 10.0)[300:]
    assert inrush(amps, STEP_S, 0.1, 5.0) == approx(57.0, rel=0.01)


def test_inrush_waits_for_its_trigger():
    assert inrush(sine(0.5, 80.0, begins_s=0.2), STEP_S, 0.1, 5.0) == approx(80.0, rel=0.01)
    assert inrush(sine(0.5, 1.0), STEP_S, 0.1, 5.0) is None


def test_a_display_misses_what_is_shorter_than_its_update():
    # 0.1 s at 80 A in an update of 1/3 s: at best 80 sqrt(0.3) = 43.8 A; with the start cut in two
    # halves by the clock 80 sqrt(0.15) = 31.0 A; the 24 clocks tried lie 14 ms apart, so the worst
    # of them splits it at most 57 to 43: 80 sqrt(0.171) = 33.1 A
    amps = np.zeros(6000)
    amps[2000:2600] = sine(0.1, 80.0)
    least, mean, most = display_max(amps, STEP_S, 3.0)
    assert most == approx(43.8, rel=0.01)
    assert 31.0 <= least <= 33.1
    assert least < mean < most


def test_a_steady_current_is_shown_whatever_the_clock():
    assert display_max(sine(2.0, 14.0), STEP_S, 3.0) == approx((14.0, 14.0, 14.0), rel=0.01)


def test_a_record_shorter_than_an_update_shows_nothing():
    assert display_max(sine(0.2, 14.0), STEP_S, 3.0) is None


def test_nothing_has_no_peak_and_no_rms():
    assert (peak([]), rms([])) == (0.0, 0.0)
    assert peak([1.0, -3.0]) == 3.0
