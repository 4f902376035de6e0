"""The plain closed circuit: line, source impedance, motor with run and start capacitor.

Common to one leg; run to the other; the capacitors between run and start. Phasors at a held
speed, rms. Serves the nameplate fit, sizing and the tests; any other wiring belongs to the
general circuit, which must agree with this one on this circuit.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import brentq, minimize_scalar

from trainer.motor import phasor, saturation
from trainer.motor.params import MotorParams
from trainer.motor.phasor import Complex, Temps

Real = NDArray[np.float64]

#: Slips at which a torque curve is first looked at, finer near synchronous speed.
_SLIPS: Real = np.concatenate([np.geomspace(2e-4, 0.3, 220), np.linspace(0.302, 1.0, 140)])
#: Driven a little past synchronous speed, where an unloaded two-winding motor may settle.
_PAST: Real = np.array([-0.02, -0.005, -0.001, 0.0])


@dataclass(frozen=True)
class Line:
    """Supply behind ``source_ohms`` [ohm, complex] and what stands in the start lead."""

    volts: float
    hz: float
    run_f: float
    start_f: float = 0.0
    source_ohms: complex = 0j
    run_esr_ohms: float = 0.0
    start_esr_ohms: float = 0.0

    def capacitor_admittance(self) -> complex:
        """Run and start capacitor in parallel, each with its series resistance [S]."""
        w = 2.0 * math.pi * self.hz
        return _branch(self.run_f, self.run_esr_ohms, w) + _branch(
            self.start_f, self.start_esr_ohms, w
        )


def _branch(farads: float, esr: float, w: float) -> complex:
    return 1.0 / complex(esr, -1.0 / (w * farads)) if farads > 0.0 else 0j


@dataclass(frozen=True)
class Point:
    """State at one speed, or arrays over speeds. ``v_aux`` is volts from start to common."""

    speed_rad_s: Real
    i_line: Complex
    i_main: Complex
    i_aux: Complex
    v_main: Complex
    v_aux: Complex
    v_capacitor: Complex
    torque_nm: Real
    pulsation_nm: Real


def solve(params: MotorParams, line: Line, speed_rad_s: ArrayLike, temps: Temps = None) -> Point:
    """Steady state at held speed(s). Saturated iron is settled for each speed by itself."""
    speed = np.asarray(speed_rad_s, dtype=float)
    if params.sat_gain <= 0.0:
        return _solve_linear(params, line, speed, temps)
    if speed.ndim == 0:
        return _solve_linear(_settled(params, line, speed, temps), line, speed, temps)
    return _stack([solve(params, line, one, temps) for one in speed])


def _settled(params: MotorParams, line: Line, speed: Real, temps: Temps) -> MotorParams:
    def winding_currents(linear: MotorParams) -> Complex:
        point = _solve_linear(linear, line, speed, temps)
        return phasor.currents(linear, line.hz, speed, point.v_main, point.v_aux, temps)

    return saturation.settle(params, winding_currents)


def _solve_linear(params: MotorParams, line: Line, speed: Real, temps: Temps) -> Point:
    # With V_a = k V_m the whole motor and its capacitors are one admittance on the line.
    inverse = phasor.inverted(params, line.hz, speed, temps)
    y = phasor.admittance_of(params, inverse)
    y_c = line.capacitor_admittance()
    k = (y_c - y[..., 1, 0]) / (y[..., 1, 1] + y_c)
    i_aux_per_v = y_c * (1.0 - k)
    y_total = y[..., 0, 0] + y[..., 0, 1] * k + i_aux_per_v
    v_main = line.volts / (1.0 + line.source_ohms * y_total)
    v_aux = k * v_main
    i = phasor.currents_of(inverse, v_main, v_aux)
    return Point(
        speed_rad_s=speed,
        i_line=y_total * v_main,
        i_main=(y[..., 0, 0] + y[..., 0, 1] * k) * v_main,
        i_aux=i_aux_per_v * v_main,
        v_main=v_main,
        v_aux=v_aux,
        v_capacitor=v_main - v_aux,
        torque_nm=phasor.torque_of(params, i),
        pulsation_nm=phasor.pulsation_of(params, i),
    )


def _stack(points: list[Point]) -> Point:
    names = Point.__dataclass_fields__
    return Point(**{name: np.array([getattr(p, name) for p in points]) for name in names})


def torque_curve(
    params: MotorParams, line: Line, slips: ArrayLike = _SLIPS, temps: Temps = None
) -> tuple[Real, Point]:
    """Slips and the state at each: torque, line amps, V(S-C) over speed."""
    slip = np.asarray(slips, dtype=float)
    speed = params.synchronous_rad_s(line.hz) * (1.0 - slip)
    return slip, solve(params, line, speed, temps)


def locked(params: MotorParams, line: Line, temps: Temps = None) -> Point:
    """Rotor standing still."""
    return solve(params, line, 0.0, temps)


@dataclass(frozen=True)
class Breakdown:
    """Greatest torque on the running side and the slip it needs."""

    torque_nm: float
    slip: float


def breakdown(params: MotorParams, line: Line, temps: Temps = None) -> Breakdown:
    """Greatest mean torque between synchronous speed and standstill."""
    slips, point = torque_curve(params, line, temps=temps)
    at = int(np.argmax(point.torque_nm))
    low, high = slips[max(at - 1, 0)], slips[min(at + 1, len(slips) - 1)]
    sync = params.synchronous_rad_s(line.hz)

    def falling_short(slip: float) -> float:
        return -float(solve(params, line, sync * (1.0 - slip), temps).torque_nm)

    best = minimize_scalar(falling_short, bounds=(low, high), method="bounded")
    return Breakdown(-float(best.fun), float(best.x))


def running_slip(
    params: MotorParams,
    line: Line,
    load_nm: float | Callable[[float], float],
    temps: Temps = None,
) -> float | None:
    """Slip of the stable equilibrium nearest synchronous speed; None when there is none.

    ``load_nm`` is a constant torque or a function of the shaft speed [rad/s]. Stable: the
    motor's torque rises past the load's as the shaft slows.
    """
    sync = params.synchronous_rad_s(line.hz)

    def load(speed: float) -> float:
        return load_nm(speed) if callable(load_nm) else load_nm

    def surplus(slip: float) -> float:
        speed = sync * (1.0 - slip)
        return float(solve(params, line, speed, temps).torque_nm) - load(speed)

    slips, point = torque_curve(params, line, np.concatenate([_PAST, _SLIPS]), temps)
    over = point.torque_nm - np.array([load(float(w)) for w in point.speed_rad_s])
    return _first_rise(slips, over, surplus)


def slip_at_amps(params: MotorParams, line: Line, amps: float, temps: Temps = None) -> float | None:
    """Slip at which the line draws ``amps`` on the running side; None when it never does.

    The first slip from synchronous speed at which rising line current passes ``amps``.
    """
    sync = params.synchronous_rad_s(line.hz)

    def excess(slip: float) -> float:
        return abs(complex(solve(params, line, sync * (1.0 - slip), temps).i_line)) - amps

    slips, point = torque_curve(params, line, temps=temps)
    return _first_rise(slips, np.abs(point.i_line) - amps, excess)


def _first_rise(slips: Real, values: Real, exact: Callable[[float], float]) -> float | None:
    rises = np.nonzero((values[:-1] < 0.0) & (values[1:] >= 0.0))[0]
    if len(rises) == 0:
        return None
    at = int(rises[0])
    return float(brentq(exact, slips[at], slips[at + 1], xtol=1e-12))


def at_slip(params: MotorParams, line: Line, slip: float, temps: Temps = None) -> Point:
    """State at one slip."""
    return solve(params, line, params.synchronous_rad_s(line.hz) * (1.0 - slip), temps)


def stall_volts(params: MotorParams, line: Line, load_nm: float, temps: Temps = None) -> float:
    """Line volts below which a running motor can no longer carry a constant torque.

    The voltage at which breakdown torque equals the load. Linear iron: V * sqrt(T_L / T_max).
    """
    if params.sat_gain <= 0.0:
        return line.volts * math.sqrt(load_nm / breakdown(params, line, temps).torque_nm)

    def surplus(volts: float) -> float:
        return breakdown(params, replace(line, volts=volts), temps).torque_nm - load_nm

    return float(brentq(surplus, 0.05 * line.volts, 2.0 * line.volts, xtol=1e-3))
