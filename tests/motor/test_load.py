"""Compressor torque over a turn, its work, and inertia."""

import math

import numpy as np
import pytest
from pytest import approx

from trainer.motor import load
from trainer.motor.params import LoadParams

HOT_DAY = (10e5, 27e5, 30e-6, 1.2)
FINE = load.angles(20000)


@pytest.mark.parametrize("course", [load.slider_crank_torque, load.rolling_piston_torque])
def test_mean_over_a_turn_is_the_indicated_work(course):
    mean = float(np.mean(course(FINE, *HOT_DAY)))
    assert mean == approx(load.mean_gas_torque(*HOT_DAY), rel=1e-5)


@pytest.mark.parametrize("rod_ratio", [0.05, 0.2, 0.33])
@pytest.mark.parametrize("shell_pa", [10e5, 27e5])
def test_rod_length_and_shell_pressure_leave_the_mean(rod_ratio, shell_pa):
    torque = load.slider_crank_torque(FINE, *HOT_DAY, rod_ratio=rod_ratio, shell_pa=shell_pa)
    assert float(np.mean(torque)) == approx(load.mean_gas_torque(*HOT_DAY), rel=1e-5)


def test_slider_crank_asks_nothing_while_it_sucks_in():
    torque = load.slider_crank_torque(FINE, *HOT_DAY)
    sucking = math.pi >= FINE
    assert np.max(np.abs(torque[sucking])) < 1e-9
    assert np.min(torque[~sucking]) >= -1e-12


def test_long_rod_torque_at_quarter_turn_is_pressure_times_area_times_radius():
    # lambda -> 0, 270 degrees after top dead centre: volume half gone, p = P_s 2^n, A r = V_d/2
    torque = float(load.slider_crank_torque(np.array([1.5 * math.pi]), *HOT_DAY, rod_ratio=1e-9)[0])
    assert torque == approx((10e5 * 2.0**1.2 - 10e5) * 15e-6, rel=1e-6)


def test_pressure_follows_the_polytrope_and_stops_at_discharge():
    pressure = load.cylinder_pressure(np.array([1.0, 0.5, 0.1]), 10e5, 27e5, 1.2)
    assert pressure == approx([10e5, 10e5 * 2**1.2, 27e5])


def test_more_compression_chambers_smooth_the_turn():
    # ripple falls from one piston over two and a rolling piston to a scroll (1.02 to 1.1 from
    # memory)
    peaks = [
        max(load.reciprocating_shape()),
        max(load.rotary_shape()),
        max(load.reciprocating_shape(cylinders=2)),
        max(load.scroll_shape()),
    ]
    assert peaks == sorted(peaks, reverse=True)
    assert peaks[-1] == approx(1.05)


@pytest.mark.parametrize(
    "shape", [load.reciprocating_shape(), load.rotary_shape(), load.scroll_shape()]
)
def test_shapes_have_mean_one(shape):
    assert len(shape) == load.SAMPLES
    assert sum(shape) / len(shape) == approx(1.0, rel=1e-12)


def test_equalised_and_parted_pressures():
    params = LoadParams(run_nm=8.0, at_rest=0.1, at_speed=0.4)
    assert load.lift_factor(params, 0.0) == approx(0.1)
    assert load.lift_factor(params, 1.0) == approx(0.4)
    assert load.lift_factor(params, 0.5, lift=1.0) == approx(1.0)


def test_mean_torque_adds_friction_and_fan():
    params = LoadParams(run_nm=8.0, lift=1.0, coulomb_nm=0.2, viscous_nms=0.001, fan_nm=2.0)
    assert load.mean_torque(params, 180.0, 360.0) == approx(8.0 + 2.0 * 0.25 + 0.2 + 0.18)
