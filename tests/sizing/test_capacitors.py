"""Capacitors beyond the published rows: bleeding, life, heat."""

import pytest
from pytest import approx

from trainer.base.errors import TrainerError
from trainer.sizing import capacitors


def test_nothing_to_bleed_below_50_volts():
    assert capacitors.bleed_s(100e-6, 15e3, 50.0) == 0.0
    assert capacitors.bleed_s(100e-6, 15e3, 20.0) == 0.0
    with pytest.raises(TrainerError, match="no bleeding"):
        capacitors.largest_bleed(100e-6, 50.0)


def test_the_largest_bleed_just_makes_it():
    # NEC 2023 460.6: 50 V after 60 s
    ohms = capacitors.largest_bleed(108e-6, 466.7).number
    assert capacitors.volts_left(108e-6, ohms, 466.7, 60.0) == approx(50.0)


def test_ten_kelvin_halve_the_life():
    # life law (from memory)
    assert capacitors.film_life_h(10000.0, 1.0, cooler_k=-10.0) == approx(5000.0)
    assert capacitors.film_life_h(10000.0, 1.0, cooler_k=10.0) == approx(20000.0)


def test_class_change_of_one_capacitor():
    # the same capacitor as 400 V class A (30,000 h) and 450 V class B (10,000 h): k = 9.3
    assert capacitors.life_exponent(3.0, 450 / 400) == approx(9.3, abs=0.05)


def test_capacitance_under_load():
    # C = I/(2 pi f V): 3.5 A, 390 V, 60 Hz is 23.8 uF
    assert capacitors.under_load_f(3.5, 390.0, 60.0) == approx(23.8e-6, rel=0.005)


def test_esr_of_a_start_capacitor():
    # power factor of at most 10 % (from memory): 2.5 ohm at 108 uF, 60 Hz
    esr = capacitors.esr_from_loss(108e-6, 60.0, 0.10)
    assert esr == approx(2.47, abs=0.02)
    assert capacitors.heat_w(10.0, esr) == approx(100.0 * esr)
