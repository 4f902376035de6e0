"""Every planted condition shows at least one signature in a reading of the circuit.

"table" beside a range is a trade table of fault signatures (general practice, or computed there on
the anchor motor, no published source); other numbers are worked out in the comment.
"""

import math
from functools import cache

import pytest

from tests.unit.units import amps, ohms, plain, volts
from trainer.base.errors import TrainerError
from trainer.unit.changes import lift
from trainer.unit.faults import FAULTS, plant
from trainer.unit.state import Unit
from trainer.unit.world import advance, remembering

K1, K3, K4, K6, K7, K8, K9 = (
    "larkspur-row", "old-quarry", "ferry-steps", "gable-end", "signal-house",
    "mill-race", "weavers-loft",
)  # fmt: skip


def idle(fault: str, layout: str) -> Unit:
    return remembering(plant(plain(layout), fault))


@cache
def called(fault: str, layout: str) -> Unit:
    """Half a second after a call."""
    return advance(idle(fault, layout), 500, [("indoor", "call")]).unit


def speed(unit: Unit, name: str = "comp") -> float:
    return unit.electrics.machines[name].speed_rad_s


def line(unit: Unit) -> float:
    return amps(unit, "wire:1")


LIVE = [
    # table: L = S about 27 A; the protector in common carries about 1 A; the fan adds its own
    ("F01", K1, lambda u: amps(u, "wire:7"), 0.5, 1.5),
    ("F01", K1, lambda u: amps(u, "wire:4"), 24.0, 30.0),
    ("F02", K1, lambda u: volts(u, "comp.S", "comp.C"), 230.0, 250.0),  # table: V(S-C) = line
    ("F03", K1, line, 76.0, 88.0),  # table: 82 A
    ("F03", K1, lambda u: amps(u, "wire:7"), 0.0, 0.1),  # table: S 0
    ("F04", K1, line, 76.0, 88.0),  # table: 81 A
    ("F05", K1, lambda u: speed(u, "fan"), 0.0, 5.0),  # table: fan hums
    ("F06", K1, lambda u: amps(u, "wire:7"), 0.0, 0.5),  # table: S near 0
    # 100 uF straight across 230 V is 8.7 A (table); 98 uF at about 227 V: w C V = 8.4 A
    ("F07", K3, lambda u: amps(u, "wire:11"), 8.0, 8.8),
    ("F09", K3, line, 30.0, 110.0),  # table: 35 A at load, against 14; still pulling up here
    ("F10", K3, speed, -1.0, 1.0),  # table: hums like no boost
    ("F11", K3, speed, -1.0, 1.0),  # table: hum
    ("F11", K3, lambda u: amps(u, "wire:11"), 0.0, 1.0),  # table: K < 1 A at rest
    ("F13", K9, lambda u: float(u.conductors["8"].a.on == "sx.OUT"), 1.0, 1.0),
    ("F14", K9, speed, -1.0, 1.0),  # table: silence
    ("F21", K1, lambda u: amps(u, "wire:7"), 0.0, 0.05),  # table: no auxiliary current
    ("F23", K1, lambda u: volts(u, "can.C", "can.H"), 0.0, 5.0),  # table: V(cap) 0
    ("F24", K1, lambda u: amps(u, "wire:10"), 0.0, 0.1),  # table: F low
    ("F25", K3, speed, -1.0, 1.0),  # standing pressure and no boost
    ("F27", K3, lambda u: amps(u, "wire:11"), 0.0, 0.1),  # table: K 0
    ("F28", K3, lambda u: amps(u, "wire:11"), 10.0, 30.0),  # table: K 20-28 A at speed
    ("F29", K3, lambda u: amps(u, "wire:11"), 10.0, 30.0),  # table: K 20 A and more
    ("F33", K4, lambda u: volts(u, "pt.a", "pt.b"), 0.0, 5.0),  # table: bridges the capacitor
    ("F34", K1, lambda u: volts(u, "contactor.A1", "contactor.A2"), 22.0, 29.0),  # table: 24 V
    ("F37", K1, lambda u: volts(u, "contactor.A1", "contactor.A2"), 10.0, 18.0),  # table
    ("F38", K1, lambda u: amps(u, "wire:7"), 0.0, 0.01),  # table: S 0
    ("F39", K1, lambda u: amps(u, "wire:5"), 0.0, 0.01),  # run lead carries nothing
    ("F40", K1, lambda u: amps(u, "wire:4"), 0.0, 0.01),  # common open
    ("F42", K1, line, 72.0, 84.0),  # table: LRA, 79 A on the anchor motor
    ("F43", K1, lambda u: speed(u, "fan"), 0.0, 0.1),
    ("F44", K7, lambda u: volts(u, "hp.1", "hp.2"), 22.0, 29.0),  # table: 24 V across HP
    ("F45", K7, lambda u: volts(u, "lp.1", "lp.2"), 22.0, 29.0),  # table: 24 V across LP
    ("F46", K7, lambda u: volts(u, "td.OUT", "td.COM"), 0.0, 1.0),  # table: IN 24, OUT 0
    # about 10 A through 0.14 ohm of a half-seated spade: table 1 to 10 V across the joint
    ("F49", K1, lambda u: volts(u, "wire:5.b", "comp.R"), 1.0, 10.0),
    ("F52", K1, lambda u: volts(u, "contactor.T1", "contactor.T2"), 264.0, 275.0),  # > 110 % of 240
    ("F55", K1, speed, -377.0 * 1.02, -300.0),  # table: it runs backwards
]  # fmt: skip


@pytest.mark.parametrize(("fault", "layout", "shown", "least", "most"), LIVE)
def test_signature_after_a_call(fault, layout, shown, least, most):
    value = shown(called(fault, layout))
    assert least <= value <= most, f"{fault} {FAULTS[fault].name}: {value:.4g}"


def coil_ohms(u: Unit) -> float:
    return ohms(u, "contactor.A1", "contactor.A2")


DEAD = [
    ("F31", K4, "pt.b", lambda u: ohms(u, "pt.a", "pt.b"), 1e6, math.inf),  # table: infinite
    ("F32", K4, "pt.b", lambda u: ohms(u, "pt.a", "pt.b"), 1e3, 1e5),  # table: kilohms hot
    ("F27", K3, "pr.1", lambda u: ohms(u, "pr.1", "pr.2"), 1e6, math.inf),  # table: 1-2 infinite
    ("F29", K3, "pr.5", lambda u: ohms(u, "pr.5", "pr.2"), 1e6, math.inf),  # table: 5-2 infinite
    ("F28", K3, "pr.1", lambda u: ohms(u, "pr.1", "pr.2"), 0.0, 1.0),
    ("F34", K1, "contactor.A1 contactor.A2", coil_ohms, 1e6, math.inf),
    ("F38", K1, "comp.S", lambda u: ohms(u, "comp.C", "comp.S"), 1e6, math.inf),  # table: infinite
    ("F39", K1, "comp.R", lambda u: ohms(u, "comp.C", "comp.R"), 1e6, math.inf),  # table: infinite
    ("F40", K1, "comp.C", lambda u: ohms(u, "comp.C", "comp.R"), 1e6, math.inf),  # table: infinite
    ("F40", K1, "comp.C", lambda u: ohms(u, "comp.R", "comp.S"), 2.0, 4.0),  # table: R-S reads
    ("F41", K1, "comp.R", lambda u: ohms(u, "comp.R", "chassis"), 0.0, 5.0),  # table: near 0
    ("F48", K8, "rv.1", lambda u: ohms(u, "rv.1", "rv.2"), 1e6, math.inf),  # table: infinite
    ("F20", K1, "", lambda u: ohms(u, "disconnect.PE", "chassis"), 1e5, math.inf),  # table: open
    ("F60", K1, "comp.C", lambda u: ohms(u, "comp.C", "chassis"), 1e4, 2e4),  # 15 kohm planted
]  # fmt: skip


@pytest.mark.parametrize(("fault", "layout", "off", "shown", "least", "most"), DEAD)
def test_signature_dead_with_a_lead_off(fault, layout, off, shown, least, most):
    unit = advance(idle(fault, layout), 1000, [("disconnect", "open")]).unit
    for terminal in off.split():
        unit = lift(unit, terminal)
    value = shown(unit)
    assert least <= value <= most, f"{fault} {FAULTS[fault].name}: {value:.4g}"


def test_a_welded_contactor_runs_without_a_call():
    # T1-T2 line volts, coil 0 V (table)
    unit = idle("F35", K1)
    assert volts(unit, "contactor.T1", "contactor.T2") == pytest.approx(240.0, rel=0.15)
    assert volts(unit, "contactor.A1", "contactor.A2") < 1.0


def test_a_lost_leg():
    # L1 to ground 120 V, L2 none once the contactor has joined nothing (table)
    unit = idle("F51", K1)
    assert volts(unit, "contactor.L1", "chassis") == pytest.approx(120.0, rel=0.02)
    assert volts(unit, "contactor.L2", "chassis") < 10.0


def test_a_heater_dead_after_the_retrofit():
    # 50 W at 240 V is 0.21 A; across one leg and an open pole nothing flows (table: 0 A)
    assert amps(plain(K6), "cch") == pytest.approx(50.0 / 240.0, rel=0.03)
    assert amps(idle("F19", K6), "cch") < 1e-3


def test_y_on_the_chassis_blows_the_fuse():
    # table: fuse open, low ohms from Y to ground; the secondary is grounded here
    later = advance(idle("F56", K1), 3000, [("indoor", "call")])
    assert not later.unit.electrics.closed["indoor~fuse"]
    assert volts(later.unit, "indoor.R", "chassis") < 1.0
    assert ohms(later.unit, "indoor.Y", "chassis") < 2.0


def test_line_volts_reach_the_thermostat():
    # table: 120 to 240 V in Class 2; Y sits on leg A through a touch of 50 mohm
    unit = called("F16", K1)
    assert volts(unit, "indoor.Y", "chassis") == pytest.approx(120.0, rel=0.05)


def test_a_strand_across_the_fan_capacitor():
    # FAN joined to HERM through 20 mohm; healthy, the two differ by tens of volts or more
    assert volts(called("F57", K1), "can.H", "can.F") < 1.0
    healthy = advance(plain(K1), 500, [("indoor", "call")]).unit
    assert volts(healthy, "can.H", "can.F") > 10.0


def test_a_joint_under_two_conductors_drops_volts():
    # not held at all: 0.1 ohm, some 5 A and more
    tag_end = "wire:4.a"
    assert volts(called("F58", K1), tag_end, "contactor.T1") > 0.3


def test_leakage_flows_in_the_equipment_ground():
    # 120 V through 15 kohm is 8 mA, above the 4 to 6 mA of a class A GFCI (UL 943, from memory)
    assert amps(called("F60", K1), "wire:3") == pytest.approx(0.008, rel=0.2)


def test_a_pitted_pole_drops_volts_and_a_good_one_does_not():
    # table: 2 to 20 V against less than 0.2
    assert volts(called("F36", K1), "contactor.L1", "contactor.T1") > 2.0
    healthy = advance(plain(K1), 500, [("indoor", "call")]).unit
    assert volts(healthy, "contactor.L1", "contactor.T1") < 0.2


def test_a_weak_can_lowers_the_start_winding_volts():
    # table: V(S-C) 283 against 296 with -25 %
    healthy = advance(plain(K1), 60_000, [("indoor", "call")]).unit
    weak = advance(idle("F22", K1), 60_000, [("indoor", "call")]).unit
    assert volts(weak, "comp.S", "comp.C") < volts(healthy, "comp.S", "comp.C") - 5.0


def test_a_low_relay_class_opens_earlier():
    def opens(unit):
        events = advance(unit, 1000, [("indoor", "call")]).events
        return min(e.t_s for e in events if (e.kind, e.name) == ("opened", "pr~contact"))

    assert opens(idle("F30", K3)) < opens(plain(K3))


def started_on_the_alternate(unit: Unit):
    unit = advance(unit, 1000, [("transfer", "alternate")]).unit
    return advance(unit, 500, [("indoor", "call")])


def test_a_generator_too_small_for_a_start_gives_up():
    later = started_on_the_alternate(idle("F53", "weir-cottage"))
    assert [e for e in later.events if e.kind == "gave_up"]


def test_an_inverter_too_small_keeps_the_shaft_from_turning_up():
    assert speed(started_on_the_alternate(idle("F54", "weir-cottage")).unit) < 100.0
    assert speed(started_on_the_alternate(plain("weir-cottage")).unit) > 300.0


def test_low_start_volts_dip():
    def dip(unit):
        later = advance(unit, 60, [("indoor", "call")]).unit
        return 1.0 - volts(later, "contactor.T1", "contactor.T2") / volts(
            unit, "breaker.1i", "breaker.2i"
        )

    assert dip(idle("F50", K1)) > 0.12 > dip(plain(K1))


def test_a_sensor_off_is_open():
    unit = advance(idle("F47", K8), 1000, [("disconnect", "open")]).unit
    # 1 Mohm of the board's own input is left
    assert ohms(unit, "dfb.d1", "dfb.d2") > 0.9e6


def test_o_and_y_swapped_moves_the_valve_with_the_wrong_call():
    # table: valve coil volts track Y
    unit = idle("F17", K8)
    assert volts(unit, "dfb.O", "dfb.C") < 1.0
    assert volts(called("F17", K8), "dfb.O", "dfb.C") > 20.0


def test_a_bypassed_fan_contact_keeps_the_fan_in_defrost():
    unit = advance(called("F18", K8), 1000, [("dfb", "defrost")]).unit
    healthy = advance(plain(K8), 500, [("indoor", "call")]).unit
    stopped = advance(healthy, 1000, [("dfb", "defrost")]).unit
    assert amps(unit, "wire:12") > 0.5 > amps(stopped, "wire:12")


def test_a_relay_coil_held_by_line_through_the_start_capacitor():
    # table: V(5-2) is line instead of V(S-C)
    unit = called("F08", K3)
    assert volts(unit, "pr.5", "pr.2") == pytest.approx(240.0, rel=0.1)
    assert volts(unit, "comp.S", "comp.C") > 290.0


def test_a_shorted_start_capacitor_makes_the_relay_buzz():
    # table: the relay opens at once, re-closes and buzzes
    events = advance(idle("F26", K3), 500, [("indoor", "call")]).events
    assert sum(e.kind == "dropped_out" and e.name == "pr" for e in events) >= 3


def test_a_thermistor_across_the_start_winding_gives_no_boost_at_rest():
    # table: it sees under 20 V at rest
    unit = advance(idle("F12", K4), 40, [("indoor", "call")]).unit
    assert volts(unit, "pt.a", "pt.b") < 40.0


def test_every_fault_is_in_the_table():
    assert set(FAULTS) == {f"F{n:02d}" for n in range(1, 61)}


def test_a_fault_needs_its_part():
    with pytest.raises(TrainerError, match="has no potential relay"):
        plant(plain(K1), "F09")
    with pytest.raises(TrainerError, match="no fault"):
        plant(plain(K1), "F99")


def test_planting_changes_no_other_unit():
    unit = plain(K1)
    before = dict(unit.conductors), dict(unit.parts)
    plant(unit, "F01")
    assert (dict(unit.conductors), dict(unit.parts)) == before
