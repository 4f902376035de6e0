"""Saturation of the magnetising path in steady state: an equivalent linear inductance.

The instantaneous law belongs to the parameters: magnetising current grows by
k = 1 + sat_gain * max(0, flux/sat_knee_wb - 1)^2 over the straight line, flux being the length
of the magnetising flux-linkage vector (lambda_mq, lambda_md / a). A phasor cannot hold that;
here k is taken once per cycle, at the root mean square of that length, as phasor models of
compressor motors do (Lesieutre, Kosterev, Undrill, *Phasor modeling approach for single phase
A/C motors*, IEEE PES GM 2008, as coded in an open-source feeder simulator). Harmonics of the
magnetising current are left out. Exact for a round field, a few percent off for a pulsating one.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from trainer.motor.params import MotorParams
from trainer.motor.phasor import Complex

#: Successive values of k agree within this when settled.
SETTLED = 1e-10


def mutual_flux(params: MotorParams, i: Complex) -> float:
    """Length of the magnetising flux vector, rms over a cycle [Wb]; peak of a round field.

    ``i`` = [I_main, I_aux, I'_qr, I'_dr] rms. sqrt(|L_m (I_q + I_qr)|^2 + |a L_m (I_d + I_dr)|^2).
    """
    along_q = params.l_mutual * abs(i[0] + i[2])
    along_d = params.ratio * params.l_mutual * abs(i[1] + i[3])
    return math.hypot(float(along_q), float(along_d))


def factor(params: MotorParams, flux_wb: float) -> float:
    """k: how many times the straight-line magnetising current this flux needs."""
    return 1.0 + params.sat_gain * max(0.0, flux_wb / params.sat_knee_wb - 1.0) ** 2


def straightened(params: MotorParams, k: float) -> MotorParams:
    """The linear machine whose magnetising inductance is L_m / k."""
    return replace(params, l_mutual=params.l_mutual / k, sat_gain=0.0)


def settle(params: MotorParams, solve: Callable[[MotorParams], Complex]) -> MotorParams:
    """Linear machine equivalent to ``params`` in the circuit that ``solve`` stands for.

    ``solve(linear)`` returns the four currents of a linear machine in that circuit. The
    crossing of flux(k) with the law is found by bisection: more saturation, less flux.
    """
    if params.sat_gain <= 0.0:
        return params
    low, high = 1.0, 2.0
    while _excess(params, solve, high) > 0.0 and high < 1e3:
        low, high = high, 2.0 * high
    while high - low > SETTLED * high:
        middle = 0.5 * (low + high)
        if _excess(params, solve, middle) > 0.0:
            low = middle
        else:
            high = middle
    return straightened(params, 0.5 * (low + high))


def _excess(params: MotorParams, solve: Callable[[MotorParams], Complex], k: float) -> float:
    linear = straightened(params, k)
    return factor(params, mutual_flux(linear, solve(linear))) - k
