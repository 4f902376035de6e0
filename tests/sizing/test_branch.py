"""Branch figures of a plate: what is worked and what is marked."""

from pytest import approx

from tests.sizing.plates import plate
from trainer.sizing import branch

#: Invented unit with a fan.
UNIT = {"rla": "16.7 A", "lra": "79 A", "fan_fla": "1.2 A", "ohms": None}


def figures(**more):
    return branch.figures(plate(**{**UNIT, **more}))


def test_a_unit_with_a_fan():
    # NEC 2023 440.33, 440.22(B)(1), 440.12(B)(2) (from memory), 110.14(C)(1)(a), Table 310.16
    found = figures()
    assert found["minimum_circuit_ampacity"].value == approx(22.075)
    assert found["conductor"].value == "10 AWG"
    assert found["largest_breaker"].value == 30.0
    assert found["largest_breaker_if_it_will_not_start"].value == 35.0
    assert found["disconnect"].value == approx(20.585)


def test_a_marking_of_the_unit_comes_first():
    found = figures(
        marked={"minimum_circuit_ampacity": "31 A", "largest_breaker": "25 A"},
    )
    assert (found["minimum_circuit_ampacity"].value, found["largest_breaker"].value) == (31.0, 25.0)
    assert found["conductor"].value == "8 AWG"
    assert "22.1 A" in found["minimum_circuit_ampacity"].note
    assert "30 A" in found["largest_breaker"].note
    # NEC 2023 440.22(C) (from memory): a marked maximum is not exceeded
    assert found["largest_breaker_if_it_will_not_start"].value is None


def test_the_lower_nameplate_voltage_sets_the_lowest():
    # 10 % under 208 V and under 230 V
    assert figures(lowest_volts="208 V")["lowest_volts"].value == approx(187.2)
    assert figures()["lowest_volts"].value == approx(207.0)
