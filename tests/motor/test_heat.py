"""Copper with temperature."""

from pytest import approx

from trainer.motor.heat import copper_factor, copper_ohms


def test_same_temperature_changes_nothing():
    assert copper_factor(40.0, 40.0) == 1.0


def test_warming_and_cooling_undo_each_other():
    assert copper_ohms(copper_ohms(0.55, 25.0, 110.0), 110.0, 25.0) == approx(0.55, rel=1e-12)


def test_hundred_kelvin_add_about_four_tenths():
    # (234.5 + 125) / (234.5 + 25), constant from IEC 60034-1, from memory
    assert copper_factor(25.0, 125.0) == approx(1.3854, abs=1e-4)
