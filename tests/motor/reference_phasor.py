"""Independent phasor model of the feeder-study compressor motor, for cross-checks only.

Imports nothing of the package. Equations and defaults as coded in an open-source feeder
simulator after Lesieutre, Kosterev, Undrill, *Phasor modeling approach for single phase A/C
motors*, IEEE PES GM 2008. Per unit of 3500 VA, 240 V, 60 Hz; main is d there, auxiliary q:

    I_ds = (V - j (X_m/X_r) psi_dr) / (R_ds + j X'_d)
    I_qs = (V - j n (X_m/X_r) psi_qr) / (R_qs + j X'_q + j X_c)
    I_f = (I_ds - j n I_qs)/2,  I_b = (I_ds + j n I_qs)/2
    psi_f = X_m I_f / (sat + j (w_s - w_r) T'_o),  psi_b = X_m I_b / (sat + j (w_s + w_r) T'_o)
    psi_dr = psi_f + psi_b,  psi_qr = j psi_f - j psi_b
    T = 2 (X_m/X_r) [Im(I_f psi_f*) - Im(I_b psi_b*)]
    sat = 1 + A (psi - b)^2 above b, psi = sqrt(|psi_f|^2 + |psi_b|^2)
"""

import math
from dataclasses import dataclass

import numpy as np

VA, VOLTS, HZ = 3500.0, 240.0, 60.0
AMPS = VA / VOLTS
NM = VA / (2.0 * math.pi * HZ)
R_DS, R_QS, X_M, X_R, X_D, X_Q = 0.0365, 0.0729, 2.28, 2.33, 0.1033, 0.1489
RATIO, T_O, KNEE, GAIN = 1.22, 0.1212, 0.7212, 5.6
X_C_RUN, X_C_START = -2.779, -0.7


@dataclass(frozen=True)
class State:
    """Currents and torque per unit."""

    i_main: complex
    i_aux: complex
    torque: float
    psi: float

    @property
    def i_line(self) -> complex:
        return self.i_main + self.i_aux


def linear(volts: float, speed: float, x_c: float, sat: float = 1.0) -> State:
    """Solution at a held speed (per unit) and a given ``sat``."""
    w, k = 2.0 * math.pi * HZ, X_M / X_R
    forward = X_M / (sat + 1j * (1.0 - speed) * w * T_O)
    backward = X_M / (sat + 1j * (1.0 + speed) * w * T_O)
    both, between = 0.5 * (forward + backward), 0.5 * (forward - backward)
    matrix = np.array(
        [
            [R_DS + 1j * X_D + 1j * k * both, RATIO * k * between],
            [-RATIO * k * between, R_QS + 1j * (X_Q + x_c) + 1j * RATIO**2 * k * both],
        ]
    )
    i_ds, i_qs = np.linalg.solve(matrix, [volts, volts])
    i_f, i_b = 0.5 * (i_ds - 1j * RATIO * i_qs), 0.5 * (i_ds + 1j * RATIO * i_qs)
    psi_f, psi_b = forward * i_f, backward * i_b
    pull = (i_f * psi_f.conjugate()).imag - (i_b * psi_b.conjugate()).imag
    return State(i_ds, i_qs, float(2.0 * k * pull), math.hypot(abs(psi_f), abs(psi_b)))


def saturated(volts: float, speed: float, x_c: float) -> State:
    """Solution with ``sat`` agreeing with the flux, by damped repetition."""
    sat = 1.0
    for _ in range(500):
        state = linear(volts, speed, x_c, sat)
        wanted = 1.0 + GAIN * max(0.0, state.psi - KNEE) ** 2
        if abs(wanted - sat) < 1e-12:
            return state
        sat += 0.3 * (wanted - sat)
    raise AssertionError("no agreement between flux and saturation")


def running_speed(volts: float, torque: float, x_c: float) -> float:
    """Speed (per unit) at which the torque is carried, by bisection near synchronous speed."""
    slow, fast = 0.93, 0.999
    for _ in range(60):
        middle = 0.5 * (slow + fast)
        if saturated(volts, middle, x_c).torque > torque:
            slow = middle
        else:
            fast = middle
    return slow
