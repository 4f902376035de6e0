"""What start relays, thermistors and start gear do, against what is commonly believed.

Misbeliefs are common practice, no source, unless a source stands beside one.
"""

from __future__ import annotations

import math

import pytest

from tests.session.readings import called, clamp, idle, isolated, ohms, speed
from trainer.unit.changes import lift
from trainer.unit.world import advance, remembering

K1, K3, K4, K5 = "larkspur-row", "old-quarry", "ferry-steps", "tannery-cold"


def test_the_contact_of_a_potential_relay_is_closed_at_rest() -> None:
    """Believed: start relays are open at rest. (Trade articles: 1-2 closed, coil 1 to 10 kohm.)"""
    assert ohms(isolated(idle(K3), "pr.1"), "pr.1", "pr.2") < 1.0
    assert 1e3 < ohms(isolated(idle(K3), "pr.5"), "pr.5", "pr.2") < 10e3


def test_the_contact_of_a_current_relay_is_open_at_rest() -> None:
    """Believed: both relays are alike. (Trade articles: coil near 0 ohm, contact open.)"""
    unit = isolated(idle(K5), "cr.S", "cr.M")
    assert ohms(unit, "cr.L", "cr.S") == math.inf
    assert ohms(unit, "cr.L", "cr.M") < 1.0


@pytest.mark.parametrize("tie", ["pr.4", "pr.6"])
def test_tie_points_of_a_relay_are_joined_to_nothing(tie: str) -> None:
    """Believed: 4 and 6 do something. (Trade articles: no connection inside.)"""
    unit = isolated(idle(K3))
    others = ["pr.5", "pr.2", "pr.1", "pr.6" if tie == "pr.4" else "pr.4"]
    assert [ohms(unit, tie, other) for other in others] == [math.inf] * 4


def test_two_is_common_to_coil_and_contact() -> None:
    """Believed: 5, 2 and 1 in any order, it is a coil and a contact. With 5 and 2 exchanged the
    start capacitor lies across the line: w C V of 98 uF at 227 V is 8.4 A, and no turn."""
    unit = called(K3, 500, "F07")
    assert clamp(unit, "11") == pytest.approx(8.4, rel=0.02)
    assert speed(unit) == 0.0


def test_a_hot_thermistor_is_no_failed_one() -> None:
    """Believed: it will not start again, so it is bad. (Service notes: about 3 min to cool.)"""
    assert ohms(isolated(idle(K4), "pt.b"), "pt.a", "pt.b") == pytest.approx(25.0, rel=0.02)
    run = called(K4, 5000)
    off = [("indoor", "uncall"), ("disconnect", "open")]
    soon, later = (advance(run, ms, off).unit for ms in (2000, 180_000))
    assert ohms(remembering(lift(soon, "pt.b")), "pt.a", "pt.b") > 1000.0
    assert ohms(remembering(lift(later, "pt.b")), "pt.a", "pt.b") == pytest.approx(25.0, rel=0.05)


def test_start_gear_hides_a_weak_run_capacitor() -> None:
    """Believed: a start kit cures a weak unit. It starts, and runs on with too many amps."""
    weak, right = called(K3, 60_000, "F22"), called(K3, 60_000)
    assert speed(weak) > 0.97 * 377.0  # two poles at 60 Hz: 377 rad/s
    assert clamp(weak, "4") > clamp(right, "4") + 0.5
    assert clamp(weak, "7") < 0.8 * clamp(right, "7")  # 26 uF of 35


def test_a_scroll_starts_without_start_gear() -> None:
    """Believed: every compressor wants a hard start. (A maker's bulletin of scrolls: a check
    valve lets the set equalise.) A piston against standing pressure does want one."""
    assert speed(called(K1, 500)) > 0.9 * 377.0
    assert speed(called(K3, 500, "F25")) == 0.0
    assert speed(called(K3, 500)) > 0.9 * 377.0
