"""The plain closed circuit: published motors, curves, equilibrium and supply impedance."""

import cmath
import math

import numpy as np
import pytest
from pytest import approx

from tests.motor import reference_phasor as feeder
from tests.motor.build import line_of
from trainer.motor import psc
from trainer.motor.load import mean_torque
from trainer.motor.machines import entry, machine_load
from trainer.motor.machines import machine as named

ANCHOR = named("anchor")
BOOK = named("textbook-3500w")
QUARTER = named("capacitor-start-quarter-hp")


def amps(value):
    return float(abs(value))


# --- 3.5 kW motor of Fitzgerald, Kingsley, Umans Example 9.5: values computed from its data ----
# total uF, locked main, aux, line A, torque N m, V(S-C)
BOOK_LOCKED = [
    (35, 79.0, 3.37, 76.1, 0.60, 30.3),
    (123, 79.0, 15.6, 68.4, 4.03, 140.8),
    (170, 79.0, 24.8, 67.8, 7.70, 223.3),
    (197, 79.0, 30.5, 70.6, 10.4, 275.0),
]


@pytest.mark.parametrize(("uf", "main", "aux", "line", "torque", "v_aux"), BOOK_LOCKED)
def test_locked_with_start_capacitors(uf, main, aux, line, torque, v_aux):
    point = psc.locked(BOOK, line_of("textbook-3500w", start_f=(uf - 35) * 1e-6))
    found = (amps(point.i_main), amps(point.i_aux), amps(point.i_line), amps(point.v_aux))
    assert found == approx((main, aux, line, v_aux), rel=5e-3)
    assert float(point.torque_nm) == approx(torque, rel=8e-3)


# total uF, {slip: V(S-C)}, {slip: N m}
BOOK_CURVES = [
    (35, {0.5: 47, 0.25: 116, 0.2: 145, 0.15: 184, 0.1: 238}, {0.5: 6.85, 0.2: 15.8, 0.1: 18.5}),
    (123, {0.5: 131, 0.25: 199, 0.2: 239, 0.15: 301, 0.1: 401}, {0.5: 11.2, 0.2: 22.8, 0.1: 28.2}),
    (170, {0.5: 207, 0.25: 271, 0.2: 313, 0.15: 382, 0.1: 497}, {0.5: 15.6, 0.2: 27.7, 0.1: 32.2}),
]


@pytest.mark.parametrize(("uf", "volts", "torques"), BOOK_CURVES)
def test_start_winding_volts_and_torque_over_slip(uf, volts, torques):
    line = line_of("textbook-3500w", start_f=(uf - 35) * 1e-6)
    for slip, expected in volts.items():
        assert amps(psc.at_slip(BOOK, line, slip).v_aux) == approx(expected, rel=6e-3)
    for slip, expected in torques.items():
        assert float(psc.at_slip(BOOK, line, slip).torque_nm) == approx(expected, rel=6e-3)


def test_breakdown_and_stall_of_the_textbook_motor():
    line = line_of("textbook-3500w")
    peak = psc.breakdown(BOOK, line)
    assert (peak.torque_nm, peak.slip) == approx((18.5, 0.11), rel=1e-2)
    assert psc.stall_volts(BOOK, line, 7.1) == approx(142.0, rel=5e-3)


def test_strongest_start_capacitor_of_the_textbook_motor():
    # 17.6 N m at 307 uF in all
    totals = np.arange(270e-6, 345e-6, 1e-6)
    pull = [
        float(psc.locked(BOOK, line_of("textbook-3500w", run_f=0.0, start_f=c)).torque_nm)
        for c in totals
    ]
    assert max(pull) == approx(17.6, rel=3e-3)
    assert totals[int(np.argmax(pull))] == approx(307e-6, abs=2e-6)


def test_locked_impedance_at_the_line():
    z = 230.0 / complex(psc.locked(BOOK, line_of("textbook-3500w")).i_line)
    assert z == approx(1.270 + 2.744j, rel=1e-3)
    assert math.cos(cmath.phase(z)) == approx(0.42, abs=2e-3)


# --- 1/4 hp capacitor-start motor of Krause, Wasynczuk, Sudhoff: values computed from its data --
def quarter_line(**more):
    w = 2.0 * math.pi * 60.0
    return psc.Line(110.0, 60.0, 0.0, start_f=1.0 / (w * 14.5), start_esr_ohms=3.0, **more)


def test_quarter_horsepower_locked():
    point = psc.locked(QUARTER, quarter_line())
    found = {"main": point.i_main, "aux": point.i_aux, "line": point.i_line}
    expected = {"main": (14.17, -40.8), "aux": (6.29, 27.6), "line": (17.49, -21.3)}
    for name, (size, angle) in expected.items():
        assert amps(found[name]) == approx(size, rel=1e-3)
        assert math.degrees(cmath.phase(complex(found[name]))) == approx(angle, abs=0.1)
    assert (amps(point.v_aux), float(point.torque_nm)) == approx((88.3, 4.00), rel=2e-3)


def test_quarter_horsepower_at_the_switch():
    before = psc.at_slip(QUARTER, quarter_line(), 0.25)
    after = psc.at_slip(QUARTER, psc.Line(110.0, 60.0, 0.0), 0.25)
    assert (float(before.torque_nm), amps(before.v_aux)) == approx((4.06, 148.8), rel=2e-3)
    assert (float(after.torque_nm), amps(after.v_aux)) == approx((2.61, 67.6), rel=2e-3)
    assert amps(after.i_aux) == 0.0


# --- anchor motor (invented): figures of the exercises -----------------------------------------
ANCHOR_VOLTS = [  # start uF added, V(S-C) at 0, .4, .6, .7, .8, .85, .9, .95 of synchronous speed
    (0, [19, 33, 63, 90, 134, 167, 210, 264]),
    (98, [85, 81, 103, 133, 192, 241, 314, 421]),
]


@pytest.mark.parametrize(("start_uf", "volts"), ANCHOR_VOLTS)
def test_anchor_start_winding_volts(start_uf, volts):
    sync = ANCHOR.synchronous_rad_s(60.0)
    speeds = sync * np.array([0.0, 0.4, 0.6, 0.7, 0.8, 0.85, 0.9, 0.95])
    point = psc.solve(ANCHOR, line_of("anchor", start_f=start_uf * 1e-6), speeds)
    assert np.abs(point.v_aux) == approx(volts, abs=0.6)


def test_anchor_torque_rises_peaks_and_falls_with_start_capacitance():
    start_uf = [0, 43, 64, 88, 108, 135, 162, 189, 227, 270, 324, 400, 500, 600]
    expected = [0.6, 1.5, 2.1, 3.0, 3.8, 5.1, 6.6, 8.4, 11, 15, 19, 24, 24, 21]
    found = [
        float(psc.locked(ANCHOR, line_of("anchor", start_f=c * 1e-6)).torque_nm) for c in start_uf
    ]
    assert found == approx(expected, rel=0.07)


def test_anchor_running():
    line = line_of("anchor")
    slip = psc.running_slip(ANCHOR, line, 7.2)
    point = psc.at_slip(ANCHOR, line, slip)
    assert 1.0 - slip == approx(0.979, abs=1e-3)
    assert (amps(point.i_line), amps(point.i_aux)) == approx((13.9, 4.8), rel=1e-2)
    assert (amps(point.v_aux), amps(point.v_capacitor)) == approx((296, 365), rel=3e-3)


def test_anchor_reaches_the_common_pickup_between_75_and_85_per_cent():
    # pickup near 180 V for 230 V units: common practice, no source
    sync, line = ANCHOR.synchronous_rad_s(60.0), line_of("anchor", start_f=98e-6)
    low, high = psc.solve(ANCHOR, line, sync * np.array([0.75, 0.85])).v_aux
    assert abs(low) < 180.0 < abs(high)


def test_anchor_with_the_start_capacitor_left_in():
    line = line_of("anchor", start_f=98e-6)
    point = psc.at_slip(ANCHOR, line, psc.running_slip(ANCHOR, line, 7.2))
    found = [amps(v) for v in (point.i_line, point.i_aux, point.v_aux, point.v_capacitor)]
    assert found == approx([35, 28, 518, 550], rel=2e-2)


# --- feeder-study compressor motor against its own equations ----------------------------------
@pytest.mark.parametrize("x_c", [feeder.X_C_RUN, feeder.X_C_START])
@pytest.mark.parametrize("speed", [0.0, 0.5, 0.8, 0.97])
def test_feeder_compressor_without_saturation(x_c, speed):
    reference = feeder.linear(1.0, speed, x_c)
    farads = -1.0 / (2.0 * math.pi * 60.0 * x_c * feeder.VOLTS / feeder.AMPS)
    straight = psc.saturation.straightened(named("feeder-compressor"), 1.0)
    line = psc.Line(feeder.VOLTS, 60.0, farads)
    point = psc.solve(straight, line, speed * 2.0 * math.pi * 60.0)
    assert complex(point.i_main) / feeder.AMPS == approx(reference.i_main, rel=2e-4)
    assert complex(point.i_aux) / feeder.AMPS == approx(reference.i_aux, rel=2e-4)
    assert float(point.torque_nm) / feeder.NM == approx(reference.torque, rel=5e-4)


def test_feeder_compressor_running_saturated():
    # The package saturates the magnetising flux, the reference the rotor flux: at the same load
    # that leaves 1 % in main amps.
    speed = feeder.running_speed(1.0, 1.0448, feeder.X_C_RUN)
    reference = feeder.saturated(1.0, speed, feeder.X_C_RUN)
    m, line = named("feeder-compressor"), line_of("feeder-compressor")
    slip = psc.running_slip(m, line, 1.0448 * feeder.NM)
    point = psc.at_slip(m, line, slip)
    assert 1.0 - slip == approx(speed, abs=5e-4)
    assert amps(point.i_main) / feeder.AMPS == approx(abs(reference.i_main), rel=1.5e-2)
    assert amps(point.i_aux) / feeder.AMPS == approx(abs(reference.i_aux), rel=2e-3)
    assert amps(point.i_line) / feeder.AMPS == approx(abs(reference.i_line), rel=5e-3)


# --- behaviour of the solver itself -----------------------------------------------------------
def test_currents_meet_and_volts_close():
    line = line_of("anchor", start_f=98e-6, source_ohms=0.05 + 0.04j, run_esr_ohms=0.1)
    point = psc.at_slip(ANCHOR, line, 0.3)
    i_line, v_main = complex(point.i_line), complex(point.v_main)
    assert i_line == approx(complex(point.i_main) + complex(point.i_aux), rel=1e-12)
    assert v_main + (0.05 + 0.04j) * i_line == approx(230.0, rel=1e-12)
    assert complex(point.v_capacitor) == approx(v_main - complex(point.v_aux), rel=1e-12)
    through = line.capacitor_admittance() * complex(point.v_capacitor)
    assert through == approx(complex(point.i_aux), rel=1e-10)


def test_equilibrium_carries_the_load_and_is_stable():
    line, load = line_of("anchor"), machine_load("anchor")
    sync = ANCHOR.synchronous_rad_s(60.0)
    slip = psc.running_slip(ANCHOR, line, lambda w: mean_torque(load, w, sync))
    here = float(psc.at_slip(ANCHOR, line, slip).torque_nm)
    assert here == approx(mean_torque(load, sync * (1.0 - slip), sync), rel=1e-8)
    assert float(psc.at_slip(ANCHOR, line, slip + 0.001).torque_nm) > here


def test_no_equilibrium_above_breakdown():
    line = line_of("anchor")
    peak = psc.breakdown(ANCHOR, line).torque_nm
    assert psc.running_slip(ANCHOR, line, 1.01 * peak) is None
    assert psc.running_slip(ANCHOR, line, 0.99 * peak) is not None


def test_slip_at_amps_draws_those_amps():
    line = line_of("anchor")
    slip = psc.slip_at_amps(ANCHOR, line, 13.9)
    assert amps(psc.at_slip(ANCHOR, line, slip).i_line) == approx(13.9, rel=1e-9)
    assert psc.slip_at_amps(ANCHOR, line, 200.0) is None


def test_arrays_give_what_single_speeds_give_also_when_saturated():
    m, line = named("feeder-compressor"), line_of("feeder-compressor")
    together = psc.solve(m, line, [100.0, 365.0])
    assert together.torque_nm[1] == psc.solve(m, line, 365.0).torque_nm


def test_stall_volts_of_saturated_iron_is_where_breakdown_meets_the_load():
    m, line = named("feeder-compressor"), line_of("feeder-compressor")
    volts = psc.stall_volts(m, line, 9.7)
    at_stall = psc.breakdown(m, psc.Line(volts, 60.0, entry("feeder-compressor").run_capacitor))
    assert at_stall.torque_nm == approx(9.7, rel=1e-4)
