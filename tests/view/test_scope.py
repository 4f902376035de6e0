"""The scope's screen: volts a division keep a peak on it, and what it draws is what was sent."""

import pytest

from trainer.view.frames import frame
from trainer.view.shapes import Line, every
from trainer.view.sheets.scope import DOWN, INKS, division, read
from trainer.view.shots import shots


@pytest.mark.parametrize(
    ("peak", "wanted"), [(0.0, 0.1), (3.9, 1.0), (170.0, 50.0), (195.0, 50.0), (197.0, 100.0)]
)
def test_a_peak_stays_on_the_screen_at_a_round_scale(peak, wanted):
    # 8 divisions, half of them upwards, 2 % kept free: 4 x 50 V / 1.02 = 196 V
    assert division(peak) == pytest.approx(wanted)
    assert division(peak) * DOWN / 2.0 >= peak


def test_lines_begin_at_nought_and_are_in_volts():
    packed = {
        "t_s": {"scale": 0.5, "points": [2, 3, 4]},
        "can.H": {"scale": 10.0, "points": [0, 7, -7]},
    }
    assert read(packed) == {"can.H": [(0.0, 0.0), (0.5, 70.0), (1.0, -70.0)]}
    assert read({}) == {}


def test_both_tips_are_drawn_within_the_screen():
    found = frame(shots()["sheet-scope"]())
    rows = [
        s
        for s in every(found.shapes)
        if isinstance(s, Line) and s.colour in INKS and len(s.points) > 50
    ]
    assert [r.colour for r in rows] == list(INKS)
    for row in rows:
        assert all(0.0 <= y <= 168.0 for _, y in row.points)
        assert len({round(y) for _, y in row.points}) > 20
