"""Time moved on a unit: a start, a stop, the decay of charge, and what is remembered."""

import math
import time

import pytest

from tests.unit.units import amps, ohms, plain, volts
from trainer.base.errors import TrainerError
from trainer.circuit.meter import HAND_METER
from trainer.unit.changes import alter
from trainer.unit.circuit import Link
from trainer.unit.state import electrics_from_plain, electrics_to_plain
from trainer.unit.world import advance, left, move, remembering, trapped_v


@pytest.fixture(scope="module")
def running():
    unit = plain()
    return advance(unit, 3000, [("indoor", "call")])


def test_a_call_starts_the_unit(running):
    kinds = [(e.kind, e.name) for e in running.events]
    assert ("picked_up", "contactor") in kinds and ("closed", "contactor~1") in kinds
    speed = running.unit.electrics.machines["comp"].speed_rad_s
    assert speed > 0.9 * 2.0 * math.pi * 60.0  # two poles, 60 Hz: 377 rad/s synchronous
    assert running.unit.settled and running.unit.at_ms == 3000


def test_a_steady_hour_is_not_stepped_through(running):
    later = advance(running.unit, 3_600_000)
    assert {s.mode for s in later.stretches} == {"running"}
    assert later.unit.electrics.machines["comp"].main_c > 30.0  # it has warmed from 25 degC


def test_readings_of_a_running_unit(running):
    assert volts(running.unit, "contactor.T1", "contactor.T2") == pytest.approx(240.0, rel=0.05)
    assert 3.0 < amps(running.unit, "wire:7") < 6.5  # the start lead, invented unit


def test_a_winding_reads_its_copper_and_the_leads():
    # main of the anchor machine 0.55 ohm and the meter's leads; iron loss lies across it, 1.5 %
    shown = ohms(plain(), "comp.C", "comp.R") - HAND_METER.lead_ohms
    assert shown == pytest.approx(0.55, rel=0.03)


def test_an_opened_disconnect_leaves_its_line_side_live(running):
    off = move(running.unit, "disconnect", "open", 60_000).unit
    assert volts(off, "disconnect.L1", "disconnect.L2") == pytest.approx(240.0, rel=0.02)
    assert volts(off, "contactor.L1", "contactor.L2") < 0.5
    assert volts(off, "contactor.A1", "contactor.A2") > 20.0  # the 24 V is another supply
    assert abs(trapped_v(off)["can~H"]) < 1e-3  # a wired run capacitor empties in its windings


def test_trapped_charge_decays_exactly():
    unit = plain("larkspur-row")
    lifted = unit.with_conductor(unit.conductors["7"].with_end("a", on=None))
    lifted = lifted.with_part("can", lifted.parts["can"].model_copy(update={
        "set": {"herm_charge": "300 V"}}))  # fmt: skip
    # nothing but insulation discharges it: 35 uF against more than 100 Mohm, an hour or more
    assert trapped_v(advance(lifted, 1000).unit)["can~H"] == pytest.approx(300.0, rel=1e-3)
    # a 20 kohm tool: 300 exp(-t / RC), RC = 0.7 s
    tool = Link("tool", "can.C", "can.H", 20e3)
    after = advance(lifted, 1400, extra=(tool,)).unit
    assert trapped_v(after)["can~H"] == pytest.approx(300.0 * math.exp(-2.0), rel=2e-3)


def test_idle_time_is_cheap():
    unit = advance(plain(), 1000).unit
    began = time.perf_counter()
    for _ in range(5):
        unit = advance(unit, 60_000).unit
    assert (time.perf_counter() - began) / 5 < 0.15
    assert unit.at_ms == 301_000


def test_a_loose_end_can_be_live():
    unit = plain()
    loose = unit.with_conductor(unit.conductors["1"].with_end("b", on=None))
    assert volts(loose, "wire:1.b", "chassis") == pytest.approx(120.0, rel=0.02)
    assert volts(loose, "contactor.L1", "chassis") < 1.0


def test_what_is_remembered_survives_a_log(running):
    plain_data = electrics_to_plain(running.unit.electrics)
    assert electrics_from_plain(plain_data) == running.unit.electrics


def test_a_part_without_a_handle_refuses_in_a_sentence():
    with pytest.raises(TrainerError, match="cannot be told to"):
        move(plain(), "can", "open")
    with pytest.raises(TrainerError, match="backwards"):
        advance(plain(), -1)


def test_left_says_what_an_instrument_needs(running):
    state = left(running.unit)
    assert state.closed["contactor~1"] and state.speeds["comp"] > 300.0


def test_a_device_gone_leaves_the_others_their_contacts():
    """The protector is a device that acts before the contactor's coil; without it all others
    move up one place, and what holds a contact open must move with its owner."""
    unit = plain()
    assert unit.electrics.closed["contactor~1"] is False
    without = remembering(alter(unit, "comp", overload=None))
    assert without.electrics.holders == tuple(
        name for name in unit.electrics.holders if name != "comp~overload"
    )
    called = advance(without, 200, [("indoor", "call")]).unit
    assert called.electrics.closed["contactor~1"]
