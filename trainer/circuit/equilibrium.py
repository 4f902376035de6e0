"""Speeds at which every machine of a steady circuit carries its load.

Each machine goes from its starting speed the way its net torque drives it, slowly and with the
other machines held, to the first speed where motor torque and load meet; machines that share a
supply are taken in turn until none moves. Where no such speed comes before rest it stalls.
Quasi-static: inertia carries nothing through a dip. Knows phasors, and loads as functions only.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from trainer.circuit.phasor import PreparedPhasor
from trainer.motor.phasor import OperatingPoint

#: Torque the shaft must overcome at a speed [rad/s], signed against positive rotation [N m];
#: at rest the torque that breaks it away, in either direction.
Load = Callable[[float], float]
Array = NDArray[np.float64]

#: Steps of the torque curve on which a crossing is looked for, from rest to synchronous speed.
CURVE_STEPS = 150
#: No machine is followed beyond this multiple of synchronous speed.
FASTEST = 1.5
#: Machines are taken in turn at most so often.
MOST_ROUNDS = 60
#: Settled when a whole round moves no machine by more than this part of synchronous speed.
SETTLED = 1e-9
#: A step from the present speed no larger than this part of synchronous is tried first.
NEAR = 0.02
#: Windings and rotor that lose less have no power. Invented, far below any working loss. [W]
POWERED_W = 1e-3


@dataclass(frozen=True)
class Equilibrium:
    """Speeds [rad/s] by machine; ``stalls`` are powered and at rest, ``dead`` have no power."""

    speeds: dict[str, float]
    stalls: tuple[str, ...]
    dead: tuple[str, ...]
    settled: bool


@dataclass(frozen=True)
class _Shaft:
    """One machine turned so that its motion counts positive; ``sign`` turns it back."""

    prepared: PreparedPhasor
    name: str
    load: Load
    others: Mapping[str, float]
    sync: float
    sign: float

    def net(self, speed: float) -> float:
        """Torque left to speed the shaft up [N m]; at rest after breaking away."""
        held = {**self.others, self.name: self.sign * speed}
        return self.sign * self.prepared.at(held).torque(self.name) - self.resists(speed)

    def nets(self, speeds: Array) -> Array:
        torque = self.prepared.torque_curve(self.name, self.sign * speeds, self.others)
        left: Array = self.sign * torque - [self.resists(float(w)) for w in speeds]
        return left

    def resists(self, speed: float) -> float:
        at = self.load(self.sign * speed)
        return abs(at) if speed == 0.0 else self.sign * at


def equilibrium(
    prepared: PreparedPhasor,
    loads: Mapping[str, Load],
    start: Mapping[str, float] | None = None,
) -> Equilibrium:
    """Torque balance of every machine, from ``start`` (default: just under synchronous speed).

    A machine without a load in ``loads`` turns freely.
    """
    sync = {m.name: m.params.synchronous_rad_s(prepared.hz) for m in prepared.machines}
    speeds = {n: float((start or {}).get(n, 0.98 * w)) for n, w in sync.items()}
    settled = not sync
    for _ in range(MOST_ROUNDS):
        before = dict(speeds)
        for name, w in sync.items():
            speeds[name] = _settle(prepared, name, loads.get(name, _free), speeds, w)
        settled = all(abs(speeds[n] - before[n]) <= SETTLED * w for n, w in sync.items())
        if settled or len(sync) == 1:
            return _report(prepared, speeds, True)
    return _report(prepared, speeds, settled)


def _free(_: float) -> float:
    return 0.0


def _report(prepared: PreparedPhasor, speeds: dict[str, float], settled: bool) -> Equilibrium:
    points = prepared.at(speeds).machines
    dead = tuple(n for n, p in points.items() if not _powered(p))
    stalls = tuple(n for n, w in speeds.items() if w == 0.0 and n not in dead)
    return Equilibrium(speeds, stalls, dead, settled)


def _powered(point: OperatingPoint) -> bool:
    return point.stator_copper_w + point.rotor_copper_w > POWERED_W


def _settle(
    prepared: PreparedPhasor, name: str, load: Load, speeds: Mapping[str, float], sync: float
) -> float:
    """Where one machine comes to balance from its present speed, the others held [rad/s]."""
    now = speeds[name]
    sign = -1.0 if now < 0.0 else 1.0
    shaft = _Shaft(prepared, name, load, speeds, sync, sign)
    if now != 0.0:
        near = _nearby(shaft, abs(now))
        if near is not None:
            return sign * near
        if not _powered(prepared.at(speeds).machines[name]):
            return 0.0 if shaft.resists(abs(now)) > 0.0 else now
        found = _follow(shaft, abs(now))
        if found > 0.0:
            return sign * found
    return _from_rest(shaft)


def _from_rest(shaft: _Shaft) -> float:
    """From standstill in whichever direction breaks away; 0 when neither does."""
    at_rest = shaft.prepared.at({**shaft.others, shaft.name: 0.0}).torque(shaft.name)
    for sign in (1.0, -1.0):
        turned = _Shaft(shaft.prepared, shaft.name, shaft.load, shaft.others, shaft.sync, sign)
        if sign * at_rest > turned.resists(0.0):
            return sign * _follow(turned, 0.0)
    return 0.0


def _nearby(shaft: _Shaft, now: float) -> float | None:
    """The stable balance close to the present speed by secant steps, or None if not sure of it."""
    old, f_old = now, shaft.net(now)
    new = now + math.copysign(1e-4 * shaft.sync, f_old)
    for _ in range(12):
        if abs(new - now) > NEAR * shaft.sync or new <= 0.0:
            return None
        f_new = shaft.net(new)
        slope = (f_new - f_old) / (new - old)
        if not slope < 0.0:
            return None
        old, f_old, new = new, f_new, new - f_new / slope
        if abs(new - old) <= 1e-11 * shaft.sync:
            return new
    return None


def _follow(shaft: _Shaft, now: float) -> float:
    """Along the torque curve the way net torque drives, to the first crossing (0: to rest)."""
    rising = shaft.net(now) > 0.0
    end = FASTEST * shaft.sync if rising else 0.0
    count = max(2, int(CURVE_STEPS * abs(end - now) / shaft.sync) + 2)
    speeds = np.linspace(now, end, count)
    if not rising:
        speeds = speeds[:-1]
    nets = shaft.nets(speeds)
    past = np.nonzero(nets <= 0.0 if rising else nets >= 0.0)[0]
    past = past[past > 0]
    if len(past) == 0:
        return end
    k = int(past[0])
    return _cross(shaft, float(speeds[k - 1]), float(speeds[k]))


def _cross(shaft: _Shaft, a: float, b: float) -> float:
    """Speed between two where net torque changes sign."""
    fa, fb = shaft.net(a), shaft.net(b)
    if fa == 0.0 or fb == 0.0 or fa * fb > 0.0:
        return a if fa == 0.0 else b
    return float(brentq(shaft.net, a, b, xtol=1e-11 * shaft.sync, rtol=1e-14))
