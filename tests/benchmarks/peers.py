"""What the kernel is measured against: one motor on the line, solved in other ways.

The motor is the two-pole 230 V machine of Fitzgerald/Kingsley/Umans, Electric Machinery 6th ed.,
Example 9.5, with its 35 uF run capacitor and 2 N m on the shaft (invented).
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit

from tests.circuit.build import FITZGERALD_9_5, Bench
from tests.circuit.starts import Start, channels, constant, wired
from tests.motor import reference_dq as ref
from trainer.circuit.transient import Transient

VOLTS, HZ, RUN_F, LOAD_NM = 230.0, 60.0, 35e-6, 2.0


def bench() -> Bench:
    return wired(Start(FITZGERALD_9_5, VOLTS, constant(LOAD_NM), RUN_F, 1e-3))


def general(until_s: float) -> Transient:
    """The general kernel, ready to run; two channels."""
    made = bench()
    wanted = [c for c in channels(made) if c.name in ("line_a", "speed")]
    return Transient(made.elements, wanted, winding_heat=False)


def solve_ivp(until_s: float, method: str, rtol: float) -> ref.Trace:
    """The same equations in scipy, by an independent module."""
    motor = ref.Motor(
        r_qs=0.58, x_lqs=2.653, x_mq=27.73, r_qr=0.5885, x_lqr=0.0, r_ds=3.37, x_lds=7.614,
        ratio=1.5459, pole_pairs=1, inertia=0.00197,
    )  # fmt: skip
    run = ref.Run(
        VOLTS, run=ref.Branch(RUN_F, 1e-3), load_nm=LOAD_NM, until_s=until_s, rtol=rtol,
        method=method, source_ohms=1e-3,
    )  # fmt: skip
    return ref.simulate(motor, run)


@njit(cache=False)
def hand_reduced(steps: int, h: float, out: np.ndarray) -> float:  # pragma: no cover
    """Four fluxes, one capacitor and a shaft written out by hand, classical fourth order."""
    w = 2.0 * math.pi * 60.0
    a = 1.5459
    r_q, r_d, rr_q = 0.58, 3.37, 0.5885
    rr_d = a * a * rr_q
    m_q = 27.73 / w
    m_d = a * a * m_q
    s_q, s_d = 2.653 / w + m_q, 7.614 / w + m_d
    det_q, det_d = s_q * m_q - m_q * m_q, s_d * m_d - m_d * m_d
    y = np.zeros(6)
    k = np.zeros((4, 6))
    z = np.zeros(6)
    peak = 0.0
    for n in range(steps):
        for stage in range(4):
            f = 0.0 if stage == 0 else (1.0 if stage == 3 else 0.5)
            for j in range(6):
                z[j] = y[j] + f * h * k[max(stage - 1, 0), j]
            i_q = (m_q * z[0] - m_q * z[2]) / det_q
            i_qr = (s_q * z[2] - m_q * z[0]) / det_q
            i_d = (m_d * z[1] - m_d * z[3]) / det_d
            i_dr = (s_d * z[3] - m_d * z[1]) / det_d
            v = 230.0 * math.sqrt(2.0) * math.sin(w * (n + f) * h)
            torque = a * z[2] * i_dr - z[3] * i_qr / a
            k[stage, 0] = v - r_q * i_q
            k[stage, 1] = v - r_d * i_d - z[4]
            k[stage, 2] = z[5] * z[3] / a - rr_q * i_qr
            k[stage, 3] = -a * z[5] * z[2] - rr_d * i_dr
            k[stage, 4] = i_d / 35e-6
            net = torque - math.copysign(2.0, z[5]) if z[5] != 0.0 else 0.0
            if z[5] == 0.0 and abs(torque) > 2.0:
                net = torque - math.copysign(2.0, torque)
            k[stage, 5] = net / 0.00197
        before = y[5]
        for j in range(6):
            y[j] += h / 6.0 * (k[0, j] + 2.0 * k[1, j] + 2.0 * k[2, j] + k[3, j])
        if before * y[5] < 0.0:
            y[5] = 0.0
        i_q = (m_q * y[0] - m_q * y[2]) / det_q
        i_d = (m_d * y[1] - m_d * y[3]) / det_d
        out[n] = i_q + i_d
        peak = max(peak, abs(out[n]))
    return peak
