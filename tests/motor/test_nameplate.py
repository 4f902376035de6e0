"""Nameplates that cannot be one motor are refused with the reason."""

from dataclasses import replace

import pytest
from pytest import approx

from trainer.base.errors import Faults
from trainer.motor.nameplate import Nameplate, check

#: Plate of the anchor motor (invented).
PLATE = Nameplate(230.0, 60.0, 2, rla_a=13.9, lra_a=79.0, run_f=35e-6)


def faults_of(**changes):
    with pytest.raises(Faults) as caught:
        check(replace(PLATE, **changes))
    return {fault.where: fault for fault in caught.value.faults}


def test_an_ordinary_plate_passes():
    check(PLATE)
    check(replace(PLATE, common_run_ohms=0.55, common_start_ohms=2.2, run_start_ohms=2.75))


def test_locked_amps_below_rated():
    fault = faults_of(lra_a=10.0)["lra_a"]
    assert fault.what == "LRA 10 A is not above RLA 13.9 A"


def test_locked_amps_of_no_motor():
    assert "no such motor" in faults_of(lra_a=400.0)["lra_a"].what


@pytest.mark.parametrize("poles", [0, 1, 3, 5, 7, -2])
def test_odd_poles(poles):
    assert "pairs" in faults_of(poles=poles)["poles"].what


def test_series_resistance_must_add_up():
    fault = faults_of(common_run_ohms=0.55, common_start_ohms=2.2, run_start_ohms=3.9)
    assert fault["run_start_ohms"].what == "R-S 3.9 ohm is not C-R plus C-S, 2.75 ohm"


def test_a_meter_and_its_leads_are_forgiven():
    check(replace(PLATE, common_run_ohms=0.6, common_start_ohms=2.3, run_start_ohms=2.8))


def test_one_resistance_alone_is_not_enough():
    assert "one resistance" in faults_of(common_run_ohms=0.55)["common_run_ohms"].what


def test_series_below_a_single_winding():
    fault = faults_of(common_start_ohms=2.2, run_start_ohms=1.9)
    assert "not above" in fault["run_start_ohms"].what


def test_run_winding_too_high_for_the_locked_amps():
    # 230 V / 79 A = 2.91 ohm in all
    fault = faults_of(common_run_ohms=2.9, common_start_ohms=4.0)
    assert "below LRA" in fault["common_run_ohms"].what


def test_capacitor_that_would_draw_the_rated_amps_itself():
    # 230 V x 377 rad/s x 324 uF = 28 A
    assert "28.1 A" in faults_of(run_f=324e-6)["run_f"].what


def test_capacitor_of_a_fan():
    assert "nothing beside RLA" in faults_of(run_f=5e-6)["run_f"].what


def test_impossible_numbers_are_named_all_at_once():
    faults = faults_of(volts=-230.0, hz=float("nan"), rla_a=0.0, run_f=float("inf"), poles=3)
    assert set(faults) == {"volts", "hz", "rla_a", "run_f", "poles"}


@pytest.mark.parametrize(
    ("run", "start", "both"), [(0.55, 2.2, None), (0.55, None, 2.75), (None, 2.2, 2.75)]
)
def test_any_two_readings_give_both_windings(run, start, both):
    plate = replace(PLATE, common_run_ohms=run, common_start_ohms=start, run_start_ohms=both)
    assert plate.windings() == approx((0.55, 2.2))


def test_balanced_ratio_really_balances():
    # X_c I / V = 1 + a^2: with a = 2 and V = 230, I = 10 A wants X_c = 115 ohm
    farads = 1.0 / (2.0 * 3.141592653589793 * 60.0 * 115.0)
    assert Nameplate(230.0, 60.0, 2, 10.0, 60.0, farads).balanced_ratio == approx(2.0)
