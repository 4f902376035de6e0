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

from scipy.optimize import brentq

from trainer.motor.params import MotorParams
from trainer.motor.phasor import Complex

#: k is found this closely.
SETTLED = 1e-10
#: No iron is searched beyond this k; flux of ordinary volts never gets near it.
MOST = 1e6


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

    ``solve(linear)`` returns the four currents of a linear machine in that circuit. More
    saturation, less flux: the law crosses flux(k) once.
    """
    if params.sat_gain <= 0.0:
        return params

    def excess(k: float) -> float:
        linear = straightened(params, k)
        return factor(params, mutual_flux(linear, solve(linear))) - k

    at_one = excess(1.0)
    if at_one <= 0.0:
        return straightened(params, 1.0)
    high = 1.0 + at_one  # enough unless a capacitor in resonance raises the flux
    while excess(high) > 0.0 and high < MOST:
        high *= 2.0
    return straightened(params, float(brentq(excess, 1.0, high, xtol=SETTLED)))
