"""What isolating a unit is, against what is commonly believed; electrical truths on a bench.

Misbeliefs are common practice, no source, unless a source stands beside one.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.session.jobs import charged, do, kinds, of_kind, on
from tests.session.readings import called, idle, meter
from trainer.instruments.shown import Health
from trainer.instruments.table import read
from trainer.unit.changes import land, lift
from trainer.unit.world import advance, remembering, trapped_v

K1, K3 = "larkspur-row", "old-quarry"


def test_a_pull_out_that_is_out_leaves_the_24_volts_on() -> None:
    """Believed: the pull-out is out, so the cabinet is dead."""
    unit = advance(called(K1, 3000), 1000, [("disconnect", "open")]).unit
    assert meter(unit, "contactor.L1", "contactor.L2") == 0.0
    # a 24 V secondary with 40 VA behind it, hardly loaded: up to a tenth above its mark
    assert 24.0 < meter(unit, "contactor.A1", "contactor.A2") < 28.0
    # the line side of an open switch: half of 120/240 V to ground
    assert meter(unit, "disconnect.L1", "chassis") == pytest.approx(120.0, abs=1.0)


def test_a_bypassed_pull_out_isolates_nothing() -> None:
    """Believed: a handle that is out has opened both conductors, whoever wired it."""
    unit = remembering(land(idle(K1), "1", "a", "disconnect.L1"))
    unit = advance(unit, 1000, [("disconnect", "open")]).unit
    assert meter(unit, "contactor.L1", "chassis") == pytest.approx(120.0, abs=1.0)


def test_no_volts_between_loads_is_not_dead_behind_one_pole() -> None:
    """Believed: 0 V from T1 to T2 means dead. (Trade articles on single-pole contactors.)

    Both stand at the leg that is not switched, T1 through the windings.
    """
    unit = idle("gable-end")
    assert meter(unit, "contactor.T1", "contactor.T2") < 1.0
    for terminal in ("contactor.T1", "contactor.T2"):
        assert meter(unit, terminal, "chassis") == pytest.approx(120.0, abs=1.0)


def test_a_quiet_pen_says_nothing_of_a_charge() -> None:
    """Believed: a pen that stays quiet proves dead. (Safety handbooks say it does not.)"""
    unit = lift(idle(K1), "can.H")
    held = {**unit.electrics.capacitor_v, "can~H": 300.0}
    unit = replace(unit, electrics=replace(unit.electrics, capacitor_v=held))
    unit = advance(unit, 1000, [("disconnect", "open")]).unit
    assert read("pen", unit, {"tip": "can.H"}, "on").text == "stays quiet"
    assert meter(unit, "can.C", "can.H", "V dc") > 290.0


def test_one_look_with_a_broken_lead_shows_nothing_on_240_volts() -> None:
    """Believed: live-dead-live is for more than 600 V. (29 CFR 1910.333 words it so, from
    memory; NFPA 70E asks it before and after every test, from memory.)"""
    unit, leads = idle(K1), {"red": "contactor.L1", "black": "contactor.L2"}
    broken = read("meter", unit, leads, "V ac", Health(lead_open=True))
    assert broken.value is not None and broken.value < 5.0
    assert meter(unit, "contactor.L1", "contactor.L2") == pytest.approx(240.0, abs=2.0)


def test_alternating_volts_of_nothing_are_not_an_empty_capacitor() -> None:
    """Believed: zero on the ac range is empty. A charge that stays is direct."""
    unit = advance(charged(380.0), 1000, [("disconnect", "open")]).unit
    assert meter(unit, "can.C", "can.H", "V ac") < 0.5
    assert meter(unit, "can.C", "can.H", "V dc") == pytest.approx(380.0, rel=0.01)


def test_a_blade_gives_amps_in_thousands_and_a_resistor_in_hundredths() -> None:
    """Believed: short it with a screwdriver. (20 kohm wire-wound: a trade page.)"""
    bench = on(charged(380.0))
    for act, what in (("open", {"part": "disconnect"}), ("take off", {"cover": "control-panel"})):
        do(bench, act, **what)
    assert "arc" not in kinds(do(bench, "discharge", a="can.C", b="can.H", seconds=5.0))
    bench = on(charged(380.0))
    do(bench, "take off", cover="control-panel")
    arc = of_kind(do(bench, "short", a="can.C", b="can.H"), "arc")
    # 380 V over 10 mohm of blade and 0.15 ohm in the can; through 20 kohm it is 19 mA
    assert 2000.0 < arc["peak_a"] < 2500.0


def test_a_minute_does_not_empty_a_capacitor_without_a_bleed() -> None:
    """Believed: it bleeds itself, so wait a minute. (NEC 460.6: 50 V in a minute, from memory,
    and it leaves out capacitors of listed equipment, NEC 460.1, from memory.)"""
    run = advance(charged(380.0), 60_000, [("disconnect", "open")]).unit
    assert abs(trapped_v(run)["can~H"]) > 370.0
    unit = lift(idle(K3), "pr.1")
    held = {**unit.electrics.capacitor_v, "sc": 300.0}
    unit = replace(unit, electrics=replace(unit.electrics, capacitor_v=held))
    # 98 uF over a bleed of 15 kohm: 1.5 s, forty of them in a minute
    assert abs(trapped_v(advance(unit, 60_000, [("disconnect", "open")]).unit)["sc"]) < 1.0


def test_a_24_volt_lead_against_the_cabinet_blows_the_transformer_fuse() -> None:
    """Believed: 24 V is harmless, so work it hot. Where the secondary is grounded, Y that lies
    on the sheet shorts it."""
    assert idle(K1, "F56").electrics.closed["indoor~fuse"]
    assert not called(K1, 3000, "F56").electrics.closed["indoor~fuse"]


def test_a_call_while_hands_are_in_it_pulls_the_contactor_in() -> None:
    """Believed: 24 V can do nothing. It joins line to load under the hands."""
    before, after = idle(K1), called(K1, 500)
    assert meter(before, "contactor.T1", "chassis") < 5.0
    assert meter(after, "contactor.T1", "chassis") > 110.0
