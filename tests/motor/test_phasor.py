"""Steady state of the two-winding machine: the checks that must hold for any machine."""

import math

import numpy as np
import pytest
from pytest import approx

from tests.motor.build import line_of, machine
from trainer.motor import fields, phasor, psc
from trainer.motor.machines import machine as named

HZ = 60.0
ANCHOR = named("anchor")
SYNC = ANCHOR.synchronous_rad_s(HZ)
V_MAIN, V_AUX = 230.0 + 0j, 250.0 * np.exp(1.1j)


def test_admittance_times_volts_is_current():
    y = phasor.winding_admittance(ANCHOR, HZ, 0.9 * SYNC)
    point = phasor.operating_point(ANCHOR, HZ, 0.9 * SYNC, V_MAIN, V_AUX)
    assert y @ [V_MAIN, V_AUX] == approx([point.i_main, point.i_aux], rel=1e-12)


def test_speeds_may_come_as_an_array():
    speeds = np.array([0.0, 100.0, 350.0])
    together = phasor.winding_admittance(ANCHOR, HZ, speeds)
    one_by_one = [phasor.winding_admittance(ANCHOR, HZ, s) for s in speeds]
    assert np.allclose(together, one_by_one, rtol=1e-12)


@pytest.mark.parametrize("ratio_of_sync", [-0.5, 0.0, 0.5, 0.97, 1.0, 1.05])
def test_power_in_is_heat_plus_shaft_power(ratio_of_sync):
    point = phasor.operating_point(ANCHOR, HZ, ratio_of_sync * SYNC, V_MAIN, V_AUX)
    taken = (V_MAIN * point.i_main.conjugate() + V_AUX * point.i_aux.conjugate()).real
    assert taken == approx(point.input_w, rel=1e-10)


def test_iron_loss_adds_to_line_and_to_heat_but_not_to_torque():
    lossy = machine(0.55, 1.25, 0.7, 1.35, 32.0, ra=2.2, xa=2.3, ratio=1.35, core_ohms=500.0)
    bare = machine(0.55, 1.25, 0.7, 1.35, 32.0, ra=2.2, xa=2.3, ratio=1.35)
    with_iron = phasor.operating_point(lossy, HZ, 180.0, V_MAIN, V_AUX)
    without = phasor.operating_point(bare, HZ, 180.0, V_MAIN, V_AUX)
    assert with_iron.torque_nm == without.torque_nm
    assert with_iron.core_w == approx(230.0**2 / 500.0)
    assert with_iron.i_main - without.i_main == approx(0.46)
    y = phasor.winding_admittance(lossy, HZ, 180.0)
    assert y @ [V_MAIN, V_AUX] == approx([with_iron.i_main, with_iron.i_aux], rel=1e-12)


def test_hot_windings_draw_less_when_locked():
    cold = phasor.operating_point(ANCHOR, HZ, 0.0, V_MAIN, V_AUX)
    hot = phasor.operating_point(ANCHOR, HZ, 0.0, V_MAIN, V_AUX, temps=(125.0, 125.0))
    assert abs(hot.i_main) < abs(cold.i_main)
    assert phasor.stator_ohms(ANCHOR, (125.0, 25.0)) == approx((0.55 * 1.3854, 2.2), rel=1e-4)


def test_current_scales_with_volts_and_torque_with_their_square():
    full = phasor.operating_point(ANCHOR, HZ, 0.9 * SYNC, V_MAIN, V_AUX)
    less = phasor.operating_point(ANCHOR, HZ, 0.9 * SYNC, 0.9 * V_MAIN, 0.9 * V_AUX)
    assert less.i_main == approx(0.9 * full.i_main, rel=1e-12)
    assert less.torque_nm == approx(0.81 * full.torque_nm, rel=1e-12)


def test_a_capacitor_in_the_auxiliary_pulls_forwards_from_rest():
    assert psc.locked(ANCHOR, line_of("anchor")).torque_nm > 0.0


@pytest.mark.parametrize(("main", "aux"), [(-1, 1), (1, -1)])
def test_turning_either_winding_round_reverses_the_pull(main, aux):
    point = psc.locked(ANCHOR, line_of("anchor"))
    v_m, v_a = complex(point.v_main), complex(point.v_aux)
    pull = phasor.torque_avg(ANCHOR, HZ, 0.0, v_m, v_a)
    assert phasor.torque_avg(ANCHOR, HZ, 0.0, main * v_m, aux * v_a) == approx(-pull, rel=1e-12)


def test_swapping_direction_mirrors_the_machine():
    ahead = phasor.torque_avg(ANCHOR, HZ, 0.8 * SYNC, V_MAIN, V_AUX)
    back = phasor.torque_avg(ANCHOR, HZ, -0.8 * SYNC, V_MAIN, -V_AUX)
    assert back == approx(-ahead, rel=1e-10)


def test_balanced_windings_give_a_steady_pull():
    # Windings alike but for turns: V_aux = j a V_main leaves the forward field alone, and then
    # T = P_gf / w_s.
    a = 1.3
    even = machine(0.5, 1.2, 0.7, 1.3, 30.0, ra=a * a * 0.5, xa=a * a * 1.2, ratio=a, poles=2)
    point = phasor.operating_point(even, HZ, 0.95 * SYNC, 230.0, 1j * a * 230.0)
    gap = (
        2.0
        * 2.0
        * abs(point.i_main) ** 2
        * fields.field_impedance(fields.FieldOhms(0.5, 1.2, 0.7, 1.3, 30.0), 0.05).real
    )
    assert point.pulsation_nm < 1e-9 * point.torque_nm
    assert point.torque_nm == approx(gap / SYNC, rel=1e-9)


def test_one_winding_alone_pulsates_at_least_as_much_as_it_pulls():
    point = psc.solve(ANCHOR, line_of("anchor", run_f=0.0), 0.95 * SYNC)
    assert point.pulsation_nm > point.torque_nm > 0.0


def test_no_load_speed_of_one_winding_is_below_synchronous():
    # At s = 0 the backward field still brakes: Z_f = jX_m/2 and T = -P_gb / w_s.
    ohms = fields.FieldOhms(0.55, 1.25, 0.70, 1.35, 32.0)
    drf = fields.main_alone(ohms, 230.0, 0.0, SYNC)
    assert fields.field_impedance(ohms, 0.0) == 16j
    assert drf.torque_nm < 0.0
    dq = psc.solve(ANCHOR, line_of("anchor", run_f=0.0), SYNC)
    assert dq.torque_nm == approx(drf.torque_nm, rel=1e-9)


@pytest.mark.parametrize("slip", [0.01, 0.05, 0.3, 1.0, 1.6])
def test_dq_and_revolving_fields_agree_on_two_windings(slip):
    # Any winding ratio and leakage, here those of the anchor motor (invented).
    z_aux = complex(2.2, 2.278125) + 1.0 / (2j * math.pi * HZ * 35e-6)
    ohms = fields.FieldOhms(0.55, 1.25, 0.70, 1.35, 32.0)
    drf = fields.two_windings(ohms, 1.35, z_aux, 230.0, slip, SYNC)
    dq = psc.at_slip(ANCHOR, line_of("anchor"), slip)
    assert complex(dq.i_main) == approx(drf.i_main, rel=1e-9)
    assert complex(dq.i_aux) == approx(drf.i_aux, rel=1e-9)
    assert float(dq.torque_nm) == approx(drf.torque_nm, rel=1e-9)


def test_rotor_heat_is_slip_power_of_both_fields():
    z_aux = complex(2.2, 2.278125) + 1.0 / (2j * math.pi * HZ * 35e-6)
    ohms = fields.FieldOhms(0.55, 1.25, 0.70, 1.35, 32.0)
    drf = fields.two_windings(ohms, 1.35, z_aux, 230.0, 0.04, SYNC)
    dq = psc.at_slip(ANCHOR, line_of("anchor"), 0.04)
    point = phasor.operating_point(ANCHOR, HZ, 0.96 * SYNC, complex(dq.v_main), complex(dq.v_aux))
    heat = 0.04 * drf.forward_gap_w + 1.96 * drf.backward_gap_w
    assert point.rotor_copper_w == approx(heat, rel=1e-9)
