"""Compiled: one step of the circuit and its machines, trapezoidal or a damped half-step.

Trapezoidal on v = R i + d(flux)/dt per branch; a backward-Euler half-step has the same
companion conductances (R + 2L/h, R + h/2C), so both use one port matrix. Speed voltages of
the machines are extrapolated from three points: h/12 (23 s0 - 16 s(-1) + 5 s(-2)).
Machine equations: Krause form, stationary frame (source in motor/params.py).
Array names and columns: layout.py.
"""

from __future__ import annotations

import math

from numba import njit

from trainer.circuit import layout as lay
from trainer.circuit.kernel_machine import machine_damping, machine_history, machine_update
from trainer.circuit.kernel_options import INNER, MERGED


@njit(**MERGED)
def emf(src, y, q, dt):
    """Source volts ``dt`` after the present step; an inverter folds back above its limit."""
    amp = src[q, lay.SRC_AMP]
    turns = src[q, lay.SRC_PHASE] + src[q, lay.SRC_HZ] * dt
    volts = amp * math.sin(2.0 * math.pi * turns)
    fold = src[q, lay.SRC_FOLD]
    if fold > 0.0:
        amps = y[int(src[q, lay.SRC_SENSE])]
        excess = abs(amps) - src[q, lay.SRC_LIMIT]
        if excess > 0.0:
            volts -= math.copysign(min(fold * excess, abs(amp) + abs(volts)), amps)
    return volts


@njit(**MERGED)
def histories(dims, pi, pf, src, hist, y, out, dt, half):
    """History currents of inductive and capacitive ports; new source volts go to ``out``."""
    p, n_l, n_c = dims[lay.D_P], dims[lay.D_L], dims[lay.D_C]
    e0 = 2 * p
    for j in range(n_l):
        volts = 0.0
        if pi[j, lay.PI_SOURCE] >= 0:
            volts = pf[j, lay.PF_SCALE] * emf(src, y, pi[j, lay.PI_SOURCE], dt)
        out[e0 + j] = volts
        back = pf[j, lay.PF_BACK]
        if half:
            hist[j] = pf[j, lay.PF_G] * (volts + back * y[p + j])
        else:
            hist[j] = pf[j, lay.PF_G] * (
                volts + y[j] + y[e0 + j] + (back - pf[j, lay.PF_OHMS]) * y[p + j]
            )
    for q in range(n_l, n_l + n_c):
        vc = y[e0 + q]
        if not half:
            vc += pf[q, lay.PF_BACK] * y[p + q]
        hist[q] = -pf[q, lay.PF_G] * vc


@njit(**MERGED)
def ports(pf, hist, mt, out, state):
    """Volts and amps of every port from the history currents: v = -Z ih, i = g v + ih."""
    p = hist.shape[0]
    for j in range(p):
        out[j] = 0.0
    for j in range(p):
        f = hist[j]
        for i in range(p):
            out[i] -= f * mt[state, j, i]
    for j in range(p):
        out[p + j] = pf[j, lay.PF_G] * out[j] + hist[j]


@njit(**INNER)
def observe(dims, hist, mt, ci, cf, out, state):
    """Contact amps, probe readings and sums of them, from the history currents in ``hist``."""
    p = dims[lay.D_P]
    first = dims[lay.D_FIRST]
    n = dims[lay.D_S] + dims[lay.D_Q]
    # views, so that the compiler sees plain counting and works on several columns at once
    seen = out[first : first + n]
    rows = mt[state, :, p:]
    for i in range(n):
        seen[i] = 0.0
    for j in range(p):
        f = hist[j]
        for i in range(n):
            seen[i] -= f * rows[j, i]
    for q in range(cf.shape[0]):
        total = 0.0
        for t in range(4):
            if ci[q, t] >= 0:
                total += cf[q, t] * out[ci[q, t]]
        out[first + n + q] = total


@njit(**MERGED)
def accounts(dims, pf, hist, heat_s, acc, y, out, state, h, half, weight):
    """Book source energy, port losses and the damping loss of a half-step."""
    p, n_l, n_c = dims[lay.D_P], dims[lay.D_L], dims[lay.D_C]
    e0 = 2 * p
    w = weight * h
    source = 0.0
    for j in range(n_l):
        source += out[e0 + j] * out[p + j]
    acc[lay.EN_SOURCE] += w * source
    for j in range(n_l + n_c):
        pf[j, lay.PF_HEAT] += w * pf[j, lay.PF_OHMS] * out[p + j] ** 2
    for j in range(p):
        f = weight * hist[j]
        for i in range(p):
            heat_s[state, j, i] += f * hist[i]
    if half:
        lost = 0.0
        for j in range(n_l):
            lost += 0.5 * pf[j, lay.PF_HENRIES] * (out[p + j] - y[p + j]) ** 2
        for q in range(n_l, n_l + n_c):
            lost += 0.5 * pf[q, lay.PF_FARADS] * (out[e0 + q] - y[e0 + q]) ** 2
        acc[lay.EN_DAMPING] += 2.0 * weight * lost


@njit(**INNER)
def advance(
    dims, pi, pf, mach, shape, slow, scr, src, hist, mt, heat_s, acc, y, out, state, h, dt, half,
    weight,
):  # fmt: skip
    """One step from ``y`` to ``out``; ``dt`` is the new instant relative to the source phase."""
    p, n_l, n_c, n_m = dims[lay.D_P], dims[lay.D_L], dims[lay.D_C], dims[lay.D_M]
    histories(dims, pi, pf, src, hist, y, out, dt, half)
    for m in range(n_m):
        p0 = n_l + n_c + 2 * m
        b = dims[lay.D_MACHINE] + m * lay.MS_SIZE
        machine_history(mach, scr, hist, y, m, p0, b, h, half)
    ports(pf, hist, mt, out, state)
    for m in range(n_m):
        p0 = n_l + n_c + 2 * m
        b = dims[lay.D_MACHINE] + m * lay.MS_SIZE
        machine_update(mach, shape, slow, scr, pf, acc, y, out, m, p0, b, h, half, weight)
        if half:
            acc[lay.EN_DAMPING] += 2.0 * weight * machine_damping(mach, y, out, m, b)
    e0 = 2 * p
    for q in range(n_l, n_l + n_c):
        if half:
            out[e0 + q] = y[e0 + q] + pf[q, lay.PF_BACK] * out[p + q]
        else:
            out[e0 + q] = y[e0 + q] + pf[q, lay.PF_BACK] * (out[p + q] + y[p + q])
    accounts(dims, pf, hist, heat_s, acc, y, out, state, h, half, weight)
