"""Values that no unit on this bench can have are named at their place."""

import pytest
from pydantic import ValidationError

from trainer.base.errors import FieldFaults
from trainer.parts import PARTS
from trainer.parts.capacitors import RunCapacitor, StartCapacitor
from trainer.parts.motors import Compressor
from trainer.parts.plausible import BOUNDS
from trainer.parts.supply import SplitPhaseService


def misfits(kind, **spec):
    with pytest.raises(ValidationError) as caught:
        kind(**spec)
    faults = caught.value.errors()[0]["ctx"]["error"]
    assert isinstance(faults, FieldFaults)
    return [(m.path, m.what) for m in faults.misfits]


def test_farads_for_microfarads():
    assert misfits(RunCapacitor, capacitance="35 F") == [
        (("capacitance",), "35000000 µF is beyond anything on this bench")
    ]


def test_several_at_once():
    paths = [p for p, _ in misfits(SplitPhaseService, volts="1e300 V", hz="1e9 Hz")]
    assert paths == [("volts",), ("hz",)]


def test_values_that_may_be_empty_are_looked_at_too():
    assert misfits(StartCapacitor, capacitance="98 uF", bleed="1e-300 ohm")[0][0] == ("bleed",)


def test_records_inside_records():
    inline = {
        "volts": "230 V", "frequency": "60 Hz", "poles": 2, "run_capacitor": "35 uF",
        "main": {"resistance": "1e-200 ohm", "leakage": "1 ohm"},
        "aux": {"resistance": "2 ohm", "leakage": "2 ohm"},
        "rotor": {"resistance": "0.7 ohm", "leakage": "1 ohm"},
        "magnetising": "32 ohm", "ratio": 1.35, "inertia": "0.002 kg.m2",
        "load": {"kind": "scroll", "run": "7 N.m"},
    }  # fmt: skip
    found = misfits(Compressor, parameters=inline)
    assert [path for path, _ in found] == [("main", "resistance")]


def test_zero_is_zero():
    assert SplitPhaseService(utility="0 %", length="0 ft").length == 0.0


def test_bounds_are_in_order():
    assert all(least < most for least, most in BOUNDS.values())


@pytest.mark.parametrize("kind", PARTS)
def test_every_default_is_within_bounds(kind):
    least = {
        "breaker": {"rating": "20 A"}, "fuse": {"rating": "20 A"},
        "resistive_load": {"power": "60 W"}, "compressor": {"machine": "anchor"},
        "run_capacitor": {"capacitance": "35 uF"}, "start_capacitor": {"capacitance": "98 uF"},
        "dual_capacitor": {"herm": "35 uF", "fan": "5 uF"},
        "current_relay": {"pickup": "20 A", "dropout": "12 A"},
        "timed_starter": {"capacitance": "88 uF"},
    }  # fmt: skip
    assert PARTS[kind](**least.get(kind, {}))
