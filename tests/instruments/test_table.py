"""Instruments on the first unit: exact readings of what the circuit holds, and their misuse."""

import numpy as np
import pytest
from pytest import approx

from tests.session.jobs import charged, plain
from trainer.base.errors import TrainerError
from trainer.instruments import clamp
from trainer.instruments.shown import Health
from trainer.instruments.table import read

UNIT = plain()
LINE = {"red": "disconnect.L1", "black": "disconnect.L2"}
CAN = {"red": "can.C", "black": "can.H"}


def value(instrument, leads, setting, unit=UNIT, health=None):
    return read(instrument, unit, leads, setting, health or Health()).value


def test_the_meter_reads_the_service():
    # 240 V between the legs, 120 V each to ground: the service as drawn, nothing running
    assert value("meter", LINE, "V ac") == approx(240.0, abs=0.5)
    assert value("meter", {**LINE, "black": "chassis"}, "V ac") == approx(120.0, abs=0.5)
    assert value("meter", LINE, "V dc") == approx(0.0, abs=0.1)


def test_a_trapped_charge_shows_on_dc_and_not_on_ac():
    unit = charged(100.0)
    assert abs(value("meter", CAN, "V dc", unit)) == approx(100.0, abs=0.2)
    assert value("meter", CAN, "V ac", unit) == approx(0.0, abs=0.2)


def test_microfarads_with_the_lead_lifted():
    # HERM section of 35 uF by the catalogue (invented), alone
    assert value("meter", CAN, "farads", charged(0.0)) == approx(35e-6, rel=0.01)


def test_microfarads_in_circuit_are_a_trap():
    # the windings lie across the can: no ramp, over range
    assert read("meter", UNIT, CAN, "farads").text == "OL"


def test_ohms_on_a_live_circuit_hurt_the_meter_and_stay_so():
    shown = read("meter", UNIT, LINE, "ohms")
    assert (shown.text, shown.harm) == ("----", "ohms burnt")
    winding = {"red": "comp.C", "black": "comp.R"}
    assert value("meter", winding, "ohms") == approx(0.55 + 0.2, abs=0.3)  # copper and leads
    assert read("meter", UNIT, winding, "ohms", Health(ohms_burnt=True)).text == "OL"


@pytest.mark.parametrize("health", [Health(battery="flat"), Health(destroyed=True)])
def test_a_dark_display(health):
    assert read("meter", UNIT, LINE, "V ac", health).value is None


def test_a_broken_lead_reads_near_nothing_on_a_live_line():
    assert value("meter", LINE, "V ac", health=Health(lead_open=True)) < 5.0


def test_the_tester_lights_by_steps_and_needs_no_battery():
    shown = read("tester", UNIT, LINE, "on", Health(battery="flat"))
    assert shown.text == "lamps to 230 V ac"
    assert read("tester", charged(300.0), CAN, "on").text == "lamps to 230 V dc"


def test_the_pen_answers_to_alternating_volts_only():
    assert value("pen", {"tip": "disconnect.L1"}, "on") == 1.0
    assert value("pen", {"tip": "contactor.T1"}, "on") == 0.0
    assert value("pen", {"tip": "can.H"}, "on", charged(380.0)) == 0.0
    near = read("pen", UNIT, {"tip": "lug.1"}, "on", near=("disconnect.L1",))
    assert near.value == 1.0


def test_inrush_is_the_rms_of_the_first_tenth_of_a_second():
    # 80 A rms for 0.3 s after 0.05 s of nothing
    t = np.linspace(0.0, 0.5, 20001)
    amps = np.where(t > 0.05, 80.0 * np.sqrt(2.0) * np.sin(2 * np.pi * 60.0 * (t - 0.05)), 0.0)
    assert clamp.inrush(t, amps, Health()).value == approx(80.0, rel=0.01)
    assert clamp.inrush(t, 0.0 * t, Health()).value is None


def test_the_insulation_tester_refuses_live_points():
    assert read("insulation", UNIT, LINE, "500 V").value is None
    shell = {"red": "comp.C", "black": "chassis"}
    assert value("insulation", shell, "500 V") > 100.0


def test_what_is_not_there():
    with pytest.raises(TrainerError):
        read("meter", UNIT, LINE, "K ac")
    with pytest.raises(TrainerError):
        read("lamp", UNIT, LINE, "on")
    assert read("meter", UNIT, {"red": "can.C"}, "V ac").text == "----"
