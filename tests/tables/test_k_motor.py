"""Check values of motors and windings, each with its source beside it.

"Computed" marks a value worked out from the named source's data rather than printed there;
"from memory" a printed source that was not at hand. The 3.5 kW motor is that of Fitzgerald,
Kingsley, Umans, *Electric Machinery*, 6th ed., Example 9.5; the feeder compressor that of an
open-source feeder simulator after Lesieutre, Kosterev, Undrill, IEEE PES GM 2008; the 1/4 hp
motor that of Krause, Wasynczuk, Sudhoff, *Analysis of Electric Machinery*.
"""

import cmath
import math
from functools import cache

import pytest
from pytest import approx

from tests.motor import reference_phasor as feeder
from tests.motor.build import line_of, machine
from trainer.motor import fields, phasor, psc
from trainer.motor.fields import FieldOhms
from trainer.motor.machines import machine as named
from trainer.motor.psc import Line

W60 = 2.0 * math.pi * 60.0
BOOK = named("textbook-3500w")
FULL_SPEED = 3500.0 * 2.0 * math.pi / 60.0
FEEDER = named("feeder-compressor")
QUARTER = named("capacitor-start-quarter-hp")


def size(value):
    return float(abs(value))


def degrees(value):
    return math.degrees(cmath.phase(complex(value)))


def book_running():
    return psc.solve(BOOK, line_of("textbook-3500w"), FULL_SPEED)


def book_powers():
    point = book_running()
    return phasor.operating_point(
        BOOK, 60.0, FULL_SPEED, complex(point.v_main), complex(point.v_aux)
    )


def book_locked(total_uf):
    return psc.locked(BOOK, line_of("textbook-3500w", start_f=(total_uf - 35.0) * 1e-6))


# --- K01-K06: Fitzgerald, Kingsley, Umans Example 9.5, printed --------------------------------
def test_k01_main_current():
    i = book_running().i_main
    assert (size(i), degrees(i)) == (approx(15.9, rel=5e-3), approx(-37.6, abs=0.2))


def test_k02_auxiliary_current():
    assert size(book_running().i_aux) == approx(5.20, rel=5e-3)


def test_k03_line_current():
    i = book_running().i_line
    assert (size(i), degrees(i)) == (approx(18.5, rel=5e-3), approx(-22.7, abs=0.2))


def test_k04_capacitor_volts():
    assert size(book_running().v_capacitor) == approx(394.0, rel=5e-3)


def test_k05_torque():
    assert float(book_running().torque_nm) == approx(9.75, rel=5e-3)


def test_k06_shaft_power_input_and_efficiency():
    # the book takes 40 W friction and windage from the shaft, 105 W iron loss from the line
    powers = book_powers()
    shaft, taken = powers.converted_w - 40.0, powers.input_w + 105.0
    assert (shaft, taken, shaft / taken) == approx((3532.0, 4041.0, 0.874), rel=5e-3)


# --- K07-K10: the same motor, computed ---------------------------------------------------------
def test_k07_locked_line_current():
    point = psc.locked(BOOK, line_of("textbook-3500w"))
    assert (size(point.i_line), size(point.i_main)) == approx((76.1, 79.0), rel=5e-3)


@pytest.mark.parametrize(("total_uf", "torque"), [(35, 0.596), (123, 4.03), (170, 7.70)])
def test_k08_start_torque(total_uf, torque):
    assert float(book_locked(total_uf).torque_nm) == approx(torque, rel=1e-2)


def test_k09_start_winding_volts_with_start_capacitor():
    line = line_of("textbook-3500w", start_f=135e-6)
    assert size(psc.locked(BOOK, line).v_aux) == approx(223.0, rel=1e-2)
    assert size(psc.at_slip(BOOK, line, 0.2).v_aux) == approx(313.0, rel=1e-2)


def test_k10_start_winding_volts_running():
    line = line_of("textbook-3500w")
    no_load = psc.at_slip(BOOK, line, psc.running_slip(BOOK, line, 1e-6))
    assert size(book_running().v_aux) == approx(346.0, rel=1e-2)
    assert size(no_load.v_aux) == approx(384.0, rel=1e-2)


# --- K13-K16: Fitzgerald Examples 9.1 to 9.3 ---------------------------------------------------
FITZGERALD = FieldOhms(2.02, 2.79, 4.12, 2.12, 66.8)
FOUR_POLE_SYNC = 60.0 * math.pi


def test_k13_main_alone_current_and_power_factor():
    run = fields.main_alone(FITZGERALD, 110.0, 0.05, FOUR_POLE_SYNC)
    assert size(run.current_a) == approx(3.605, rel=5e-3)
    assert math.cos(cmath.phase(run.current_a)) == approx(0.621, rel=5e-3)


def test_k14_main_alone_output():
    run = fields.main_alone(FITZGERALD, 110.0, 0.05, FOUR_POLE_SYNC)
    shaft = run.converted_w - (24.0 + 13.0)
    found = (shaft, shaft / (0.95 * FOUR_POLE_SYNC), shaft / run.input_w)
    assert found == approx((147.0, 0.823, 0.60), rel=1e-2)


def test_k15_ninety_degree_capacitor():
    found = fields.ninety_degree_capacitor(4.5 + 3.7j, 9.5 + 3.5j, 60.0)
    assert found == approx(176.2e-6, rel=5e-3)


def test_k16_unbalanced_two_phase():
    # Example 9.3: alike windings on 230 and 210 V at 80 degrees. Fields of both windings:
    # P_gf = 2 |I_f|^2 R_f with full field ohms, hence 4 |I_f|^2 Re(half field ohms).
    ohms, slip, a = FieldOhms(0.534, 2.45, 0.956, 2.96, 70.1), 0.05, 1.0
    even = machine(0.534, 2.45, 0.956, 2.96, 70.1, ra=0.534, xa=2.45, ratio=a, poles=4)
    speed = (1.0 - slip) * FOUR_POLE_SYNC
    v_aux = 210.0 * cmath.exp(1j * math.radians(80.0))
    point = phasor.operating_point(even, 60.0, speed, 230.0, v_aux)
    i_f = 0.5 * (point.i_main - 1j * a * point.i_aux)
    i_b = 0.5 * (point.i_main + 1j * a * point.i_aux)
    p_f = 4.0 * abs(i_f) ** 2 * fields.field_impedance(ohms, slip).real
    p_b = 4.0 * abs(i_b) ** 2 * fields.field_impedance(ohms, 2.0 - slip).real
    assert p_f == approx(4149.0, rel=5e-3)
    assert p_b == approx(15.0, abs=0.5)  # printed to two digits
    assert point.converted_w == approx(3928.0, rel=5e-3)
    assert i_f == approx(9.3 - 6.3j, abs=0.06)


# --- K17-K20: Guru and Hiziroglu, Electric Machinery and Transformers, ch. 10 ------------------
GURU = machine(
    34.14, 35.9, 23.25, 29.32, 248.59, ra=149.78, xa=1.73**2 * 35.9, ratio=1.73, poles=6, hz=50.0
)
GURU_LINE = Line(230.0, 50.0, 4e-6)
GURU_SYNC = 2.0 * math.pi * 50.0 / 3.0


def test_k17_guru_line_current_and_input():
    i = complex(psc.at_slip(GURU, GURU_LINE, 0.06).i_line)
    assert (size(i), degrees(i)) == approx((1.207, -23.48), rel=1e-3)
    assert 230.0 * i.real == approx(254.56, rel=1e-3)


def test_k18_guru_capacitor_volts_torque_efficiency():
    point = psc.at_slip(GURU, GURU_LINE, 0.06)
    shaft = 0.94 * GURU_SYNC * float(point.torque_nm) - (19.88 + 1.9)
    taken = 230.0 * complex(point.i_line).real
    assert size(point.v_capacitor) == approx(444.7, rel=2e-3)
    assert shaft / (0.94 * GURU_SYNC) == approx(1.488, rel=2e-3)
    assert shaft / taken == approx(0.575, rel=2e-3)


def test_k19_guru_start_torque():
    assert float(psc.locked(GURU, GURU_LINE).torque_nm) == approx(0.52, rel=1e-2)


def test_k20_guru_main_alone():
    ohms = FieldOhms(2.5, 1.25, 3.75, 1.25, 65.0)
    run = fields.main_alone(ohms, 120.0, 0.05, FOUR_POLE_SYNC)
    shaft = run.converted_w - (25.0 + 2.0)
    found = (shaft / (0.95 * FOUR_POLE_SYNC), shaft / run.input_w)
    assert found == approx((1.295, 0.6586), rel=2e-3)


# --- K21-K22: McPherson, ch. 6 -----------------------------------------------------------------
def test_k21_mcpherson_locked_with_capacitor():
    # 12 + j6.5 ohm is the auxiliary stator alone, X_c 20 ohm, a 1.6: printed 5.36 A and 4.15 N m
    # come with the rotor branch a^2 (2 Z_f) on top of it
    branch = 2.0 * fields.field_impedance(FieldOhms(1.9, 2.6, 3.6, 2.6, 56.0), 1.0)
    m = machine(1.9, 2.6, 3.6, 2.6, 56.0, ra=12.0, xa=6.5, ratio=1.6)
    point = psc.locked(m, Line(115.0, 60.0, 1.0 / (W60 * 20.0)))
    found = [size(x) for x in (point.i_main, point.i_aux, point.i_line)]
    assert found == approx([15.55, 5.36, 18.56], rel=3e-3)
    assert float(point.torque_nm) == approx(4.15, rel=3e-3)
    by_hand = fields.locked_torque(
        branch.real, 1.6, complex(point.i_main), complex(point.i_aux), FOUR_POLE_SYNC
    )
    assert by_hand == approx(float(point.torque_nm), rel=1e-9)


def test_k22_mcpherson_main_alone():
    run = fields.main_alone(FieldOhms(1.9, 2.6, 3.6, 2.6, 56.0), 115.0, 0.05, FOUR_POLE_SYNC)
    found = (size(run.current_a), run.input_w, run.converted_w - 25.0)
    assert found == approx((4.344, 299.0, 194.8), rel=1e-3)


# --- K23-K25: Chapman, Electric Machinery Fundamentals, ch. 9: data printed, results computed ---
def test_k23_chapman_problem_9_1():
    ohms = FieldOhms(2.00, 2.56, 2.80, 2.56, 60.5)
    run = fields.main_alone(ohms, 120.0, 0.05, FOUR_POLE_SYNC)
    found = (size(run.current_a), run.input_w, run.torque_nm)
    assert found == approx((4.862, 403.5, 1.724), rel=2e-3)


@pytest.mark.parametrize(("volts", "torque"), [(190, 13.99), (208, 16.77), (230, 20.50)])
def test_k24_chapman_problem_9_6(volts, torque):
    ohms = FieldOhms(1.30, 2.01, 1.73, 2.01, 105.0)
    run = fields.main_alone(ohms, volts, 0.05, 2.0 * math.pi * 50.0 / 3.0)
    assert run.torque_nm == approx(torque, rel=2e-3)


def test_k25_chapman_example_9_1_exact():
    # data from memory; the book prints 4.66 A and 2.06 N m from a Z_f that is not its formula's
    ohms = FieldOhms(1.52, 2.10, 3.13, 1.56, 58.2)
    run = fields.main_alone(ohms, 110.0, 0.05, 40.0 * math.pi)
    assert (size(run.current_a), run.torque_nm) == approx((4.449, 2.110), rel=2e-3)


# --- K26-K27: 1/4 hp motor of Krause, computed; auxiliary winding from memory ------------------
def test_k26_quarter_horsepower_main_alone():
    point = psc.at_slip(QUARTER, Line(110.0, 60.0, 0.0), 0.05)
    assert (size(point.i_line), float(point.torque_nm)) == approx((3.605, 1.030), rel=2e-3)


def test_k27_quarter_horsepower_locked_with_start_branch():
    line = Line(110.0, 60.0, 1.0 / (W60 * 14.5), run_esr_ohms=3.0)
    point = psc.locked(QUARTER, line)
    assert (size(point.i_line), float(point.torque_nm)) == approx((17.49, 4.00), rel=5e-3)


# --- K29-K31: feeder compressor, computed ------------------------------------------------------
@pytest.mark.parametrize(
    ("x_c", "amps", "torque"), [(2.779, 104.2, 0.226), (0.7, 95.4, 1.259)], ids=["run", "start"]
)
def test_k29_feeder_compressor_locked(x_c, amps, torque):
    farads = feeder.AMPS / (W60 * x_c * feeder.VOLTS)
    point = psc.locked(FEEDER, Line(240.0, 60.0, farads))
    assert size(point.i_line) == approx(amps, rel=1e-2)
    assert float(point.torque_nm) / feeder.NM == approx(torque, rel=1e-2)


@cache
def feeder_running():
    line = line_of("feeder-compressor")
    return psc.at_slip(FEEDER, line, psc.running_slip(FEEDER, line, 1.0448 * feeder.NM))


def test_k30_feeder_compressor_running():
    point = feeder_running()
    assert size(point.i_line) == approx(16.3, rel=1e-2)
    assert float(point.speed_rad_s) / W60 == approx(0.9696, rel=1e-2)


def test_k31_feeder_compressor_stall_volts():
    # inside 0.45 to 0.65 per unit of an open-source feeder library's motor model
    stall = psc.stall_volts(FEEDER, line_of("feeder-compressor"), 1.0448 * feeder.NM) / 240.0
    assert stall == approx(0.603, abs=0.01)
    assert 0.45 < stall < 0.65


# --- K35-K37: what must hold for every motor ---------------------------------------------------
@pytest.mark.parametrize("params", [BOOK, QUARTER, named("anchor")])
def test_k35_one_winding_does_not_pull_from_rest(params):
    point = psc.locked(params, Line(230.0, 60.0, 0.0))
    assert abs(float(point.torque_nm)) < 1e-9


@pytest.mark.parametrize("slip", [0.02, 0.3, 0.7])
@pytest.mark.parametrize("params", [BOOK, QUARTER, named("anchor")])
def test_k36_one_winding_pulls_alike_in_both_directions(params, slip):
    line = Line(230.0, 60.0, 0.0)
    ahead = float(psc.at_slip(params, line, slip).torque_nm)
    back = float(psc.at_slip(params, line, 2.0 - slip).torque_nm)
    assert abs(ahead + back) < 1e-9
    assert abs(ahead) > 0.1


def test_k37_power_balance():
    # computed from Fitzgerald Example 9.5 at 3500 r/min
    powers = book_powers()
    parts = (powers.stator_copper_w, powers.rotor_copper_w, powers.converted_w)
    assert parts == approx((237.2, 126.6, 3572.1), rel=1e-3)
    assert powers.input_w == approx(3935.8, rel=1e-3)
    point = book_running()
    taken = 230.0 * complex(point.i_line).real
    assert taken == approx(sum(parts), rel=1e-9)
