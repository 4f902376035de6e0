"""The scope's screen: volts a division keep a peak on it, and what it draws is what was sent."""

from itertools import pairwise

import pytest

from tests.view.hands import Hands
from trainer.view.frames import frame
from trainer.view.shapes import Line, every
from trainer.view.sheets.cursors import between, volts_at
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


# cursors


@pytest.fixture(scope="module")
def scoped():
    return shots()["sheet-scope"]()


@pytest.fixture
def hands(scoped):
    found = Hands()
    found.app = scoped
    return found


def rising(row):
    """Times at which a line rises through nought."""
    return [
        t0 - v0 * (t1 - t0) / (v1 - v0) for (t0, v0), (t1, v1) in pairwise(row) if v0 < 0.0 <= v1
    ]


def test_cursors_a_cycle_apart_read_the_frequency_of_the_supply(hands):
    event = next(e for e in reversed(hands.app.job.events) if e.kind == "trace")
    row = read(event.data["lines"])["contactor.T1"]
    span, (first, second, *_) = row[-1][0], rising(row)
    for n, t in enumerate((first, second)):
        hands.send(("cursor", n))
        hands.send(("cursor at", t / span))
    said = hands.frame.node("scope.between").label
    assert "60.0 Hz" in said  # the service's own 60 Hz; 400 points of 100 ms are 0.25 ms apart
    assert "contactor.T1: 0.0 V and 0.0 V" in said


def test_volts_between_points_are_in_proportion():
    row = [(0.0, 0.0), (1.0, 10.0), (2.0, -10.0)]
    found = between({"a": row}, 2.0, (0.25, 0.75))
    assert found.at_s == (0.5, 1.5) and found.volts["a"] == pytest.approx((5.0, 0.0))
    assert found.hz == pytest.approx(1.0)
    assert between({"a": row}, 2.0, (0.5, 0.5)).hz is None
    assert volts_at(row, -1.0) == 0.0 and volts_at(row, 9.0) == -10.0


def test_a_click_on_the_screen_sets_the_cursor_that_is_chosen(hands):
    screen = hands.frame.node("scope.screen").rect
    hands.click("scope.screen")
    assert hands.app.job.cursor == 0
    assert hands.app.job.cursors[0] == pytest.approx(0.5, abs=2.0 / screen.w)
    hands.click("scope.cursor.2")
    at = screen.x + 0.9 * screen.w, screen.centre[1]
    hands.down(at)
    hands.up(at)
    assert hands.app.job.cursors == pytest.approx((0.5, 0.9), abs=2.0 / screen.w)
    hands.click("scope.cursor.none")
    assert hands.app.job.cursor == -1 and hands.frame.node("scope.between") is None


def test_keys_move_the_cursor_as_finely_as_a_click(hands):
    hands.focus_on("scope.cursor.1")
    hands.key("return")
    assert hands.app.focus == "scope.screen"
    before = hands.app.job.cursors[0]
    hands.key("right")
    assert hands.app.job.cursors[0] == pytest.approx(before + 0.002)
    hands.key("pagedown")
    assert hands.app.job.cursors[0] == pytest.approx(before + 0.002 - 0.02)
    hands.key("home")
    hands.key("left")
    assert hands.app.job.cursors[0] == 0.0


def test_a_scope_that_drew_nothing_has_no_cursors():
    assert frame(shots()["sheet-scope-empty"]()).node("scope.screen") is None
