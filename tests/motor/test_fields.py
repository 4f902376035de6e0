"""Worked examples of textbooks: main winding alone, split phase and starting capacitors.

Each row names its book. Where a print is a known slip of its own arithmetic the exact value
stands and the print is mentioned.
"""

import cmath
import math

import pytest
from pytest import approx

from tests.motor.build import machine
from trainer.motor import fields, psc
from trainer.motor.fields import FieldOhms
from trainer.motor.psc import Line

# volts, hz, poles, (R1, X1, R2, X2, Xm), rotational loss W, slip, what the book gives, tolerance
MAIN_ALONE = {
    "Fitzgerald 6th ed. Example 9.2": (
        110, 60, 4, (2.02, 2.79, 4.12, 2.12, 66.8), 37, 0.05,
        {"amps": 3.605, "pf": 0.6208, "shaft_w": 147.4, "shaft_nm": 0.8233, "eff": 0.599}, 1e-3,
    ),
    # data from memory; the book's own Z_f is not the value of its formula, so its print
    # (4.66 A, 325 W, 195 W, 1.64 N m) is not asserted
    "Chapman, Electric Machinery Fundamentals, Example 9-1, exact": (
        110, 60, 6, (1.52, 2.10, 3.13, 1.56, 58.2), 51, 0.05,
        {"amps": 4.449, "pf": 0.665, "input_w": 325.4, "gap_w": 265.2, "converted_w": 251.9,
         "gap_nm": 2.110, "shaft_w": 200.9, "shaft_nm": 1.683, "eff": 0.617}, 1e-3,
    ),
    "Chapman Problem 9-1": (
        120, 60, 4, (2.00, 2.56, 2.80, 2.56, 60.5), 51, 0.05,
        {"amps": 4.862, "pf": 0.692, "input_w": 403.5, "gap_w": 325.0, "converted_w": 308.7,
         "gap_nm": 1.724, "shaft_w": 257.7, "shaft_nm": 1.439, "eff": 0.639}, 1e-3,
    ),
    "Chapman Problem 9-2": (
        120, 60, 4, (2.00, 2.56, 2.80, 2.56, 60.5), 51, 0.025,
        {"amps": 3.874, "pf": 0.486, "input_w": 226.0, "gap_w": 176.4, "converted_w": 172.0,
         "gap_nm": 0.936, "shaft_w": 121.0, "shaft_nm": 0.659, "eff": 0.535}, 1e-3,
    ),
    "Chapman Problem 9-5": (
        220, 50, 6, (1.30, 2.01, 1.73, 2.01, 105.0), 291, 0.05,
        {"amps": 11.58, "angle": -27.8, "input_w": 2253, "gap_nm": 18.76, "shaft_w": 1575}, 1e-3,
    ),
    "Guru and Hiziroglu Example 10.2": (
        120, 60, 4, (2.5, 1.25, 3.75, 1.25, 65.0), 27, 0.05,
        {"shaft_nm": 1.295, "eff": 0.6586}, 1e-3,
    ),
    "McPherson Example 6.1": (
        115, 60, 4, (1.9, 2.6, 3.6, 2.6, 56.0), 25, 0.05,
        {"amps": 4.344, "input_w": 299.0, "gap_w": 231.35, "gap_nm": 1.2274, "shaft_w": 194.8,
         "eff": 0.6515}, 1e-3,
    ),
    "Salam Example 11.2": (
        220, 50, 4, (6.0, 10.0, 6.0, 10.0, 150.0), 0, 0.03,
        {"amps": 2.94, "angle": -56.2, "shaft_w": 275.8}, 2e-3,
    ),
}  # fmt: skip


def sync_of(hz, poles):
    return 4.0 * math.pi * hz / poles


def figures(volts, hz, poles, ohms, lost, slip):
    """Everything a book may ask of one winding at one slip."""
    sync = sync_of(hz, poles)
    run = fields.main_alone(FieldOhms(*ohms), volts, slip, sync)
    shaft = run.converted_w - lost
    return {
        "amps": abs(run.current_a),
        "angle": math.degrees(cmath.phase(run.current_a)),
        "pf": math.cos(cmath.phase(run.current_a)),
        "input_w": run.input_w,
        "gap_w": run.forward_gap_w - run.backward_gap_w,
        "gap_nm": run.torque_nm,
        "converted_w": run.converted_w,
        "shaft_w": shaft,
        "shaft_nm": shaft / (sync * (1.0 - slip)),
        "eff": shaft / run.input_w,
    }


@pytest.mark.parametrize("book", MAIN_ALONE)
def test_main_winding_alone(book):
    *given, expected, tol = MAIN_ALONE[book]
    found = figures(*given)
    assert {name: found[name] for name in expected} == approx(expected, rel=tol)


@pytest.mark.parametrize("book", MAIN_ALONE)
def test_dq_agrees_with_main_winding_alone(book):
    volts, hz, poles, ohms, _, slip, _, _ = MAIN_ALONE[book]
    by_fields = fields.main_alone(FieldOhms(*ohms), volts, slip, sync_of(hz, poles))
    by_dq = psc.at_slip(machine(*ohms, poles=poles, hz=hz), Line(volts, hz, run_f=0.0), slip)
    assert complex(by_dq.i_line) == approx(by_fields.current_a, rel=1e-9)
    assert float(by_dq.torque_nm) == approx(by_fields.torque_nm, rel=1e-9)


def test_input_is_heat_and_conversion():
    ohms = FieldOhms(2.02, 2.79, 4.12, 2.12, 66.8)
    run = fields.main_alone(ohms, 110.0, 0.05, 60.0 * math.pi)
    stator = abs(run.current_a) ** 2 * 2.02
    assert run.input_w == approx(stator + run.rotor_copper_w + run.converted_w, rel=1e-12)


NINETY = [
    # Z_main, Z_aux, hz, uF, source
    (4.5 + 3.7j, 9.5 + 3.5j, 60, 176.2, "Fitzgerald Example 9.1"),
    (4.5 + 3.7j, 9.5 + 3.5j, 50, 211.4, "the same at 50 Hz"),
    (2.0 + 3.5j, 9.15 + 8.40j, 60, 194.6, "Hubert Example 6.2 (1281 in one print is a slip)"),
    (2.0 + 20.0j, 25.0 + 5.0j, 50, 424.4, "Kulshreshtha Example 17.3"),
    (4.0 + 3.5j, 5.0 + 3.0j, 50, 365.0, "Salam Example 11.4"),
]


@pytest.mark.parametrize(("z_main", "z_aux", "hz", "microfarads", "book"), NINETY)
def test_ninety_degree_capacitor(z_main, z_aux, hz, microfarads, book):
    found = fields.ninety_degree_capacitor(z_main, z_aux, hz)
    assert found * 1e6 == approx(microfarads, rel=1e-3), book
    with_it = z_aux + 1.0 / (2j * math.pi * hz * found)
    assert cmath.phase(z_main / with_it) == approx(math.pi / 2, abs=1e-12)


def test_most_torque_capacitor():
    # Sen, Principles of Electric Machines, Example 7.4: 405 uF
    found = fields.most_torque_capacitor(1.5 + 4.0j, 3.0 + 6.0j, 60.0)
    assert found * 1e6 == approx(405.3, rel=1e-3)


@pytest.mark.parametrize("share", [0.9, 1.1])
def test_no_other_capacitor_pulls_harder(share):
    z_main, z_aux = 1.5 + 4.0j, 3.0 + 6.0j

    def pull(farads):
        i_aux = 120.0 / (z_aux + 1.0 / (2j * math.pi * 60.0 * farads))
        return fields.locked_torque(1.0, 1.0, 120.0 / z_main, i_aux, 60.0 * math.pi)

    best = fields.most_torque_capacitor(z_main, z_aux, 60.0)
    assert pull(share * best) < pull(best)


def test_hubert_split_phase():
    # Hubert Example 6.1: 29.8 at -60.3, 9.66 at -42.6 degrees, factor 87.4; with 5.25 ohm more
    # in the auxiliary 107.1
    i_main, i_aux = 120.0 / (2 + 3.5j), 120.0 / (9.15 + 8.40j)
    assert (abs(i_main), abs(i_aux)) == approx((29.8, 9.66), rel=2e-3)
    assert fields.split_phase_torque_factor(i_main, i_aux) == approx(87.4, rel=2e-3)
    more = 120.0 / (14.40 + 8.40j)
    assert fields.split_phase_torque_factor(i_main, more) == approx(107.1, rel=2e-3)


def test_sen_capacitor_run():
    # Sen Example 7.5: I_m 24.5 at -54, I_a 1.42 at +87.4 degrees with 30 uF; torque exact
    # 0.318 N m (the printed .382 mixes degrees and radians)
    m = machine(1.5, 2.0, 1.5, 2.0, 48.0, ra=2.5, xa=2.0, ratio=1.0)
    point = psc.locked(m, Line(120.0, 60.0, 30e-6))
    i_m, i_a = complex(point.i_main), complex(point.i_aux)
    assert abs(i_m) == approx(24.5, rel=2e-3)
    assert math.degrees(cmath.phase(i_m)) == approx(-54.0, abs=0.3)
    assert abs(i_a) == approx(1.42, rel=5e-3)
    assert math.degrees(cmath.phase(i_a)) == approx(87.4, abs=0.2)
    assert float(point.torque_nm) == approx(0.318, rel=5e-3)


def test_kulshreshtha_line_current():
    # Kulshreshtha Example 17.2: 32.72 at -45 degrees
    line = 230.0 / (5 + 12j) + 230.0 / (12 + 5j)
    assert abs(line) == approx(32.72, rel=1e-3)
    assert math.degrees(cmath.phase(line)) == approx(-45.0, abs=0.1)


def test_umans_form_is_the_same_machine():
    # Fitzgerald Example 9.5 by its own inductances and matrix: torque 9.75 N m and
    # I_aux 5.20 at -150.8 degrees in its sign convention
    h = fields.UmansHenries(0.58, 3.37, 80.6e-3, 196e-3, 0.588e-3, 0.909e-3, 4.7e-6, 37.6e-6)
    w, slip = 2.0 * math.pi * 60.0, 1.0 - 3500.0 / 3600.0
    a1, a2, a3 = fields.umans_flux(h, 60.0, slip)
    z11, z12 = h.r_main + 1j * w * a1, 1j * w * a2
    z22 = h.r_aux + 1j * w * a3 + 1.0 / (1j * w * 35e-6)
    det = z11 * z22 + z12 * z12
    i_main, i_aux = 230.0 * (z22 + z12) / det, 230.0 * (z12 - z11) / det
    assert abs(i_main) == approx(15.9, rel=5e-3)
    assert math.degrees(cmath.phase(i_aux)) == approx(-150.8, abs=0.1)
    assert fields.umans_torque(h, 60.0, slip, 1, i_main, i_aux) == approx(9.75, rel=1e-3)


def test_capacitance_under_load_inverts_reactance():
    assert fields.capacitance_under_load(1.0, 1.0 / (2 * math.pi * 60 * 45e-6), 60) == approx(45e-6)
