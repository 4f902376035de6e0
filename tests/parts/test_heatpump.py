"""Defrost control and its sensor."""

import math

import pytest

from tests.parts.bench import bench, node
from trainer.circuit.dead import Dead, ohms
from trainer.parts.heatpump import CoilSensor, DefrostControl

PAIRS = ("Y-CO", "O-RV", "R-RV", "R-W", "f1-f2")


def made(**spec) -> set[str]:
    e = bench({"d": DefrostControl(board="100 kohm", **spec)})
    joined = set()
    for pair in PAIRS:
        a, b = (node(e, f"d.{t}") for t in pair.split("-"))
        if ohms(Dead(e), a, b).value < 1.0:
            joined.add(pair)
    return joined


def test_ordinary_running():
    assert made() == {"Y-CO", "O-RV", "f1-f2"}


def test_in_defrost_the_valve_turns_the_fan_stops_and_aux_heat_is_called():
    assert made(defrosting=True) == {"Y-CO", "R-RV", "R-W"}


def test_welded_fan_contact_blows_cold_air():
    assert made(defrosting=True, fan_contact_welded=True) >= {"f1-f2"}


def test_test_pins_go_in_and_out():
    verbs = DefrostControl().hand("d")
    assert dict(verbs["defrost"]) == {
        "d~O-RV": False, "d~R-RV": True, "d~R-W": True, "d~f1-f2": False,
    }  # fmt: skip
    assert dict(verbs["end_defrost"]) == {k: not v for k, v in verbs["defrost"]}


@pytest.mark.parametrize(
    ("celsius", "kohm"),
    # R = 10k exp(3950 (1/T - 1/298.15)) worked by hand
    [(25.0, 10.0), (0.0, 33.6), (-10.0, 58.3), (50.0, 3.59)],
)
def test_sensor_table(celsius, kohm):
    assert CoilSensor().ohms(celsius) / 1e3 == pytest.approx(kohm, rel=5e-3)


def test_sensor_on_a_meter():
    e = bench({"s": CoilSensor(temperature="0 degC")})
    assert ohms(Dead(e), node(e, "s.1"), node(e, "s.2")).value == pytest.approx(33.6e3, rel=0.01)
    assert not math.isinf(CoilSensor().ohms(-40.0))
