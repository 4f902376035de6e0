"""What compressor motors draw and why they stand, against what is commonly believed.

Misbeliefs are common practice, no source, unless a source stands beside one.
"""

from __future__ import annotations

import math

import pytest

from tests.session.readings import CALL, called, clamp, idle, isolated, meter, ohms, speed
from trainer.instruments.table import read
from trainer.unit.changes import alter, lift
from trainer.unit.state import Unit
from trainer.unit.world import advance, remembering

K1, K3 = "larkspur-row", "old-quarry"


def test_a_soft_starter_gives_less_torque() -> None:
    """Believed: it starts harder. Torque goes with the square of volts; without a boost of its
    own the shaft is behind that of a direct start 0.3 s after the call."""
    soft = remembering(alter(idle("weavers-loft"), "sx", boost=None))
    assert speed(advance(soft, 300, CALL).unit) < 0.5 * speed(called(K1, 300))


def test_running_amps_follow_the_pressures_not_the_plate() -> None:
    """Believed: RLA is what it should draw. (Trade article: a maximum over 1.56.) 14.1 A is
    printed on this invented unit; just started, with pressures near equal, it draws half."""
    just, warm = clamp(called("pell-street", 3000), "4"), clamp(called("pell-street", 120_000), "4")
    assert just < 0.6 * 14.1
    assert just + 5.0 < warm < 14.1


def test_locked_rotor_amps_sag_with_the_supply() -> None:
    """Believed: LRA is what the clamp must show. It is printed for 230 V; amps of a standing
    motor go with the volts that are there."""
    unit = called(K1, 300, "F42", "F50")
    volts = meter(unit, "comp.C", "comp.R")
    assert clamp(unit, "4") < 75.0
    assert clamp(unit, "4") == pytest.approx(80.0 * volts / 230.0, rel=0.03)


def test_a_hum_is_often_a_wire() -> None:
    """Believed: it hums, so the compressor is bad. Here one wire of the can is off."""
    assert speed(called(K1, 500, "F06")) == 0.0
    unit = isolated(idle(K1, "F06"), "comp.C", "comp.S", "comp.R")
    main, aux, both = (
        ohms(unit, f"comp.{a}", f"comp.{b}") for a, b in (("C", "R"), ("C", "S"), ("R", "S"))
    )
    # R-S is the sum (trade articles); each of the three readings has 0.2 ohm of leads in it
    assert both == pytest.approx(main + aux - 0.2, abs=0.02)
    assert ohms(unit, "comp.C", "chassis") == math.inf


def cooling(ms: int) -> Unit:
    """A unit whose protector opened on a locked rotor, so long after it was isolated."""
    off = [("indoor", "uncall"), ("disconnect", "open")]
    unit = advance(called(K1, 20_000, "F42"), ms, off).unit
    return remembering(lift(unit, "comp.C"))


def test_an_open_common_may_be_a_protector_that_waits() -> None:
    """Believed: C-R and C-S open means burnt out. (Trade articles: if R-S reads, the protector
    is open and can take hours.)"""
    hot, cold = cooling(5000), cooling(600_000)
    assert ohms(hot, "comp.C", "comp.R") == ohms(hot, "comp.C", "comp.S") == math.inf
    assert 2.0 < ohms(hot, "comp.R", "comp.S") < 4.0
    assert ohms(cold, "comp.C", "comp.R") < 1.0


def test_a_scroll_runs_backwards_after_a_short_dip() -> None:
    """Believed: a single-phase compressor cannot. (Makers' bulletins on scrolls: after a dip
    shorter than half a second, gas drives it back and the power keeps it so.)"""
    out = advance(called(K1, 120_000), 300, [("disconnect", "open")]).unit
    back = advance(out, 1500, [("disconnect", "close")]).unit
    assert speed(back) < -0.9 * 377.0
    # a piston cannot be driven back
    out = advance(called(K3, 60_000), 300, [("disconnect", "open")]).unit
    assert speed(advance(out, 1500, [("disconnect", "close")]).unit) > -1.0


def test_a_breaker_reset_on_a_ground_fault_meets_the_fault() -> None:
    """Believed: reset it and watch. (A trade article: insulation first.) A winding on the shell
    sends tens of amps down the equipment ground, and the tester reads next to nothing."""
    assert clamp(called(K1, 500, "F41"), "3") > 30.0
    leads = {"red": "comp.C", "black": "chassis"}
    bad, good = (
        read("insulation", isolated(unit, "comp.C", "comp.S", "comp.R"), leads, "500 V").value
        for unit in (idle(K1, "F41"), idle(K1))
    )
    # 1 megohm is suspect, a healthy one is over 100 (common practice, no source)
    assert bad is not None and bad < 0.01
    assert good is not None and good > 100.0
    tripped = [e.name for e in advance(called(K1, 500, "F41"), 120_000).events
               if e.kind == "tripped"]  # fmt: skip
    assert tripped == ["breaker~heat2"]
