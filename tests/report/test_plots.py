"""Plots: what was recorded is what is drawn, and no name lies over another."""

import re

import pytest

from tests.report.made import finding, mark, start_data, started
from trainer.report.startplot import drawn, table, window
from trainer.report.starts import Levels, Start, chosen, start_of, starts_of
from trainer.report.svg import rows_for, steps, wide
from trainer.report.timeline import drawn as strip
from trainer.report.timeline import rows_of


def start(**more):
    return start_of(8, 80_000, start_data(**more))


def courses(text, css):
    return [
        [tuple(map(float, pair.split(","))) for pair in points.split()]
        for points in re.findall(rf'<polyline points="([^"]+)" class="{css}', text)
    ]


def texts(text):
    return re.findall(r"<text [^>]*>([^<]*)</text>", text)


@pytest.mark.parametrize("width", [760.0, 380.0])
def test_four_panels_with_the_reference_behind(width):
    text = drawn(start(), start(outcome="clean", speed=370.0), width)
    assert len(courses(text, "own")) == 5 and len(courses(text, "ghost")) == 5
    assert any("Speed" in t for t in texts(text))
    own, ghost = text.index('class="own thin'), text.index('class="ghost thin')
    assert ghost < own


def test_nothing_is_drawn_outside():
    for width in (760.0, 380.0):
        text = drawn(start(outcome="clean", speed=370.0), None, width)
        high = float(re.search(r"viewBox=\"0 0 \d+ (\d+)", text)[1])
        for line in courses(text, "own"):
            assert all(0 <= x <= width and 0 <= y <= high for x, y in line)


def test_a_wave_keeps_its_size():
    # the peak of the made start is 131 A; the axis is linear
    text = drawn(start(), None)
    ys = [y for _, y in courses(text, "own thin")[0]]
    other = [y for _, y in courses(drawn(start(peak=65.5), start()), "own thin")[0]]
    assert (max(other) - min(other)) / (max(ys) - min(ys)) == pytest.approx(0.5, abs=0.02)


def test_both_levels_of_the_relay_are_named():
    found = Start(**{**vars(start()), "levels": Levels("relay", 205.0, 72.0)})
    names = texts(drawn(found, None))
    assert "pickup 205 V" in names and "drop-out 72 V" in names
    assert ("Relay fitted then: pickup and drop-out", "205 V and 72 V", "") in table(found, None)


def test_levels_that_nearly_meet_are_told_apart():
    found = Start(**{**vars(start()), "levels": Levels("relay", 205.0, 200.0)})
    text = drawn(found, None)
    ys = [float(y) for y in re.findall(r'y="([\d.]+)" text-anchor="\w+" class="level-tag"', text)]
    assert abs(ys[0] - ys[1]) >= 14.0


def test_a_start_without_lines_draws_nothing():
    data = {"course": {"outcome": "trips", "peak_a": 40.0, "to_speed_ms": None}}
    assert drawn(start_of(3, 0, data), None) == ""


def test_the_window_shows_the_last_event():
    found = start(outcome="clean", speed=370.0)
    assert found.figures["disengage_s"] < window(found, None) <= 0.6


def test_the_first_bad_start_is_shown():
    rows = [start(outcome="clean", speed=370.0), start(), start(outcome="tripped")]
    assert chosen(rows).outcome == "stalled"
    assert chosen(rows[:1]).outcome == "clean" and chosen([]) is None


@pytest.mark.parametrize(
    ("low", "high", "most", "wanted"),
    [(0, 10, 5, [0, 2, 4, 6, 8, 10]), (-130, 130, 3, [-100, 0, 100]), (0, 0, 3, [0])],
)
def test_steps_are_round(low, high, most, wanted):
    assert steps(low, high, most) == pytest.approx(wanted)


def test_no_name_lies_over_another():
    names = [(x, "a name of some length") for x in (10.0, 12.0, 60.0, 300.0, 690.0)]
    placed = rows_for(names, 760.0)
    spans = [(row, left, left + wide(w)) for (row, left), (_, w) in zip(placed, names)]
    for n, (row, a, b) in enumerate(spans):
        assert b <= 760.0
        assert all(r != row or b <= c or d <= a for r, c, d in spans[:n] + spans[n + 1 :])


def test_the_strip_has_a_shape_for_each_row():
    events = started().events
    rows = rows_of(mark([finding()]), events)
    text = strip(rows, events[-1].at_ms)
    assert len(re.findall("<polygon", text)) == len(rows)
    assert all(row.words.split()[0] in text for row in rows)


def test_a_start_of_an_attempt_is_read_back():
    found = starts_of(started().events)
    assert [s.seq for s in found] == [8]
    assert max(found[0].waves["supply_a"].values) == pytest.approx(131.0, rel=1e-2)
