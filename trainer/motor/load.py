"""Torque of a compressor on its shaft: work of a cycle, its course over a turn, inertia.

Pascals, cubic metres, newton metres, radians. Fills ``LoadParams.shape``: evenly spaced samples
of gas torque over one turn divided by its mean, the first at angle zero. Knows no motor
circuit. Clearance volume, valve losses and leakage are left out: torque is that of an ideal
suction, polytropic compression and discharge.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from trainer.motor.params import LoadParams

Real = NDArray[np.float64]

#: Samples of a shape over one turn.
SAMPLES = 64


def indicated_work(
    suction_pa: float, discharge_pa: float, displacement_m3: float, exponent: float
) -> float:
    """Work on the gas in one suction-compression-discharge cycle [J].

    W = n/(n-1) P_s V_d [(P_d/P_s)^((n-1)/n) - 1]; n > 1, no clearance volume. Absolute
    pressures. Source: standard polytropic compressor work, from memory.
    """
    power = (exponent - 1.0) / exponent
    return suction_pa * displacement_m3 / power * ((discharge_pa / suction_pa) ** power - 1.0)


def mean_gas_torque(
    suction_pa: float, discharge_pa: float, displacement_m3: float, exponent: float
) -> float:
    """Mean torque of one compression a turn [N m]: W / (2 pi)."""
    return indicated_work(suction_pa, discharge_pa, displacement_m3, exponent) / (2.0 * math.pi)


def cylinder_pressure(
    volume_ratio: Real, suction_pa: float, discharge_pa: float, exponent: float
) -> Real:
    """Pressure while a trapped charge shrinks to ``volume_ratio`` of its start [Pa].

    p = P_s ratio^-n until it reaches P_d, constant from there (discharge valve open).
    """
    trapped = suction_pa * np.maximum(volume_ratio, 1e-12) ** -exponent
    return np.asarray(np.minimum(trapped, discharge_pa), dtype=float)


def slider_crank_torque(
    theta: Real,
    suction_pa: float,
    discharge_pa: float,
    displacement_m3: float,
    exponent: float,
    rod_ratio: float = 0.2,
    shell_pa: float | None = None,
) -> Real:
    """Torque one reciprocating cylinder asks of the shaft at ``theta`` after top dead centre.

    T = -(p - p_shell) A r sin(theta) [1 + lambda cos(theta)/sqrt(1 - lambda^2 sin^2(theta))],
    positive resisting, A r = V_d/2, lambda = crank radius / rod length (0.2: invented). Suction
    at P_s from 0 to pi, then compression and discharge. ``shell_pa`` is the gas under the
    piston (default P_s: suction in the shell); it does not alter the mean. Source: slider-crank
    kinematics, from memory.
    """
    turn = np.mod(theta, 2.0 * math.pi)
    root = np.sqrt(1.0 - (rod_ratio * np.sin(turn)) ** 2)
    lever = 0.5 * displacement_m3 * np.sin(turn) * (1.0 + rod_ratio * np.cos(turn) / root)
    drop = (1.0 - np.cos(turn)) + (1.0 - root) / rod_ratio  # piston travel over crank radius
    pressed: Real = cylinder_pressure(0.5 * drop, suction_pa, discharge_pa, exponent)
    pressure = np.where(turn <= math.pi, suction_pa, pressed)
    under = suction_pa if shell_pa is None else shell_pa
    return np.asarray(-(pressure - under) * lever, dtype=float)


def rolling_piston_torque(
    theta: Real,
    suction_pa: float,
    discharge_pa: float,
    displacement_m3: float,
    exponent: float,
) -> Real:
    """Torque a rolling-piston (rotary) compressor asks of the shaft, contact ``theta`` past vane.

    T = (p - P_s) V_d (1 - cos(theta))/(2 pi), the trapped volume being
    V_d [1 - (theta - sin(theta))/(2 pi)]: thin vane, small eccentricity. Derived from the
    crescent e (1 - cos) between roller and cylinder.
    """
    turn = np.mod(theta, 2.0 * math.pi)
    ratio = 1.0 - (turn - np.sin(turn)) / (2.0 * math.pi)
    pressure = cylinder_pressure(ratio, suction_pa, discharge_pa, exponent)
    lever = displacement_m3 * (1.0 - np.cos(turn)) / (2.0 * math.pi)
    return np.asarray((pressure - suction_pa) * lever, dtype=float)


def normalised(torque: Real) -> tuple[float, ...]:
    """Samples of torque divided by their mean."""
    return tuple(float(t) for t in torque / np.mean(torque))


def angles(samples: int = SAMPLES) -> Real:
    """Even angles over one turn [rad], beginning at zero."""
    return np.asarray(np.arange(samples) * (2.0 * math.pi / samples), dtype=float)


def reciprocating_shape(
    suction_pa: float = 10e5,
    discharge_pa: float = 27e5,
    exponent: float = 1.2,
    cylinders: int = 1,
    rod_ratio: float = 0.2,
    samples: int = SAMPLES,
) -> tuple[float, ...]:
    """Shape of evenly spaced reciprocating cylinders; pressures default to a hot day, invented."""
    total = np.zeros(samples)
    for number in range(cylinders):
        theta = angles(samples) + number * 2.0 * math.pi / cylinders
        total += slider_crank_torque(theta, suction_pa, discharge_pa, 1e-6, exponent, rod_ratio)
    return normalised(total)


def rotary_shape(
    suction_pa: float = 10e5,
    discharge_pa: float = 27e5,
    exponent: float = 1.2,
    samples: int = SAMPLES,
) -> tuple[float, ...]:
    """Shape of one rolling piston; pressures default to a hot day, invented."""
    return normalised(
        rolling_piston_torque(angles(samples), suction_pa, discharge_pa, 1e-6, exponent)
    )


def scroll_shape(ripple: float = 0.05, samples: int = SAMPLES) -> tuple[float, ...]:
    """Shape of a scroll: 1 + ripple cos(8 theta). Source: an open-source circuit simulator's
    compressor load; peak over mean 1.02 to 1.1 from memory."""
    return normalised(1.0 + ripple * np.cos(8.0 * angles(samples)))


def inertia_from_h(h_s: float, base_va: float, sync_rad_s: float) -> float:
    """Moment of inertia [kg m2] from the inertia constant: J = 2 H S / w_sync^2."""
    return 2.0 * h_s * base_va / sync_rad_s**2


def lift_factor(load: LoadParams, speed_ratio: float, lift: float | None = None) -> float:
    """Gas torque over ``run_nm``: (1-lift) (at_rest + (at_speed - at_rest) r^2) + lift."""
    parted = load.lift if lift is None else lift
    equalised = load.at_rest + (load.at_speed - load.at_rest) * speed_ratio**2
    return (1.0 - parted) * equalised + parted


def mean_torque(
    load: LoadParams, speed_rad_s: float, sync_rad_s: float, lift: float | None = None
) -> float:
    """Torque the load takes over a turn at steady forward speed [N m], friction included."""
    ratio = speed_rad_s / sync_rad_s
    gas = load.run_nm * lift_factor(load, abs(ratio), lift)
    return gas + load.fan_nm * ratio * ratio + load.coulomb_nm + load.viscous_nms * speed_rad_s
