"""Which instants of a start a plot names, and how much time it shows."""

from pytest import approx

from trainer.cli.start_marks import LEAST_S, MOST_NAMES, marks, named, origin, window
from trainer.starts.run import run_file


def texts(name):
    return [m.text for m in marks(run_file(name))]


def test_an_ordinary_start():
    assert texts("potential-relay") == ["energised", "90 % speed", "start capacitor out"]


def test_a_trip_of_both_poles_is_told_once():
    assert texts("line-short") == ["breaker trips"]


def test_power_that_goes_and_comes():
    assert texts("scroll-dip") == ["energised", "90 % speed", "power off", "power on again"]


def test_a_chatter_is_cut_short():
    found = named(marks(run_file("early-open-and-stall")))
    assert len(found) == MOST_NAMES
    assert found[-1].text.endswith("more")
    assert any(m.bad for m in found)


def test_the_window_holds_what_happened():
    report = run_file("late-disengage")
    start, end = window(report)
    assert start < 0.0 < report.evidence.opened_s < end < 1.0
    assert window(run_file("over-torque"))[1] >= LEAST_S


def test_without_power_the_whole_record_is_shown():
    report = run_file("leg-lost")
    assert origin(report) == 0.0
    assert window(report) == (0.0, approx(3.2, abs=1e-3))
