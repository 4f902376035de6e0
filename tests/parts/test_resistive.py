"""Crankcase heater and plain loads."""

import math

import pytest

from tests.parts.bench import bench, line, node
from trainer.circuit.dead import Dead, ohms
from trainer.circuit.phasor import solve
from trainer.parts.resistive import CrankcaseHeater, ResistiveLoad


def test_heater_takes_its_watts():
    e = bench({"h": CrankcaseHeater(power="70 W")})
    line(e, "h.1", "h.2", 240.0)
    assert solve(e).power("h") == pytest.approx(70.0, rel=1e-3)


def test_heater_with_an_open_thermostat_is_cold():
    e = bench({"h": CrankcaseHeater(thermostat=True, closed=False)})
    assert math.isinf(ohms(Dead(e), node(e, "h.1"), node(e, "h.2")).value)
    assert CrankcaseHeater(thermostat=True).hand("h")["open"] == (("h~contact", False),)
    assert CrankcaseHeater().hand("h") == {}


def test_lamp_ohms():
    # 120 V, 60 W: 240 ohm
    e = bench({"r": ResistiveLoad(power="60 W")})
    assert ohms(Dead(e), node(e, "r.1"), node(e, "r.2")).value == pytest.approx(240.2, abs=0.2)
