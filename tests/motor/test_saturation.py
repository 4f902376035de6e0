"""Saturated iron in steady state."""

import numpy as np
from pytest import approx

from tests.motor.build import line_of, machine
from trainer.motor import phasor, psc, saturation
from trainer.motor.machines import machine as named

SATURATED = machine(
    0.55, 1.25, 0.7, 1.35, 32.0, ra=2.2, xa=2.28, ratio=1.35, poles=2, sat_gain=3.0, sat_knee_wb=0.6
)


def test_no_saturation_below_the_knee():
    assert saturation.factor(SATURATED, 0.59) == 1.0
    assert saturation.factor(SATURATED, 0.9) == approx(1.0 + 3.0 * 0.5**2)


def test_flux_of_a_round_field_is_its_peak():
    # main alone carrying 1 A rms, auxiliary 1/a a quarter turn off: both axes sqrt(2) L_m peak
    a = SATURATED.ratio
    i = np.array([1.0, 1j / a, 0.0, 0.0])
    assert saturation.mutual_flux(SATURATED, i) == approx(np.sqrt(2.0) * SATURATED.l_mutual)


def test_settled_machine_agrees_with_its_own_flux():
    line = line_of("anchor")

    def winding_currents(linear):
        point = psc.solve(linear, line, 370.0)
        return phasor.currents(linear, 60.0, 370.0, point.v_main, point.v_aux)

    settled = saturation.settle(SATURATED, winding_currents)
    flux = saturation.mutual_flux(settled, winding_currents(settled))
    k = SATURATED.l_mutual / settled.l_mutual
    assert k > 1.05
    assert saturation.factor(SATURATED, flux) == approx(k, rel=1e-8)


def test_straight_iron_is_left_alone():
    anchor = named("anchor")
    assert saturation.settle(anchor, lambda m: np.zeros(4, complex)) is anchor


def test_saturation_draws_more_at_no_load_and_little_more_when_locked():
    straight = saturation.straightened(SATURATED, 1.0)
    line = line_of("anchor")
    running = [abs(psc.at_slip(m, line, 0.003).i_main) for m in (SATURATED, straight)]
    locked = [abs(psc.locked(m, line).i_main) for m in (SATURATED, straight)]
    assert running[0] > 1.1 * running[1]
    assert locked[0] == approx(locked[1], rel=1e-3)
