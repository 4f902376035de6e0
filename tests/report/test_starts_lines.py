"""Lines of a start lie on one clock: both begin when the compressor is energised."""

import pytest

from trainer.report.starts import start_of


def packed(*values):
    return {"scale": 0.001, "points": [round(1000 * v) for v in values]}


def test_far_lines_begin_when_the_hand_moved_and_are_laid_on_the_clock_of_near_ones():
    # invented: the hand moves at 0, the contactor feeds the compressor 30 ms later
    near = {"t_s": packed(0.030, 0.040, 0.050), "line_1": packed(0.0, 5.0, 9.0)}
    far = {"t_s": packed(0.0, 0.030, 0.130), "line_1": packed(0.0, 1.0, 6.0)}
    start = start_of(1, 0, {"near": near, "far": far})
    assert start.waves["supply_a"].t_s == pytest.approx((0.0, 0.010, 0.020))
    assert start.rms["supply_a"].t_s == pytest.approx((-0.030, 0.0, 0.100))


def test_far_lines_alone_begin_at_zero():
    start = start_of(1, 0, {"far": {"t_s": packed(2.0, 3.0), "line_1": packed(0.0, 1.0)}})
    assert start.rms["supply_a"].t_s == pytest.approx((0.0, 1.0))
