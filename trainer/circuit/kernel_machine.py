"""Compiled: the two-winding machine and its shaft within one step.

Each winding is a constant conductance and a history current at its port; rotor circuits are
eliminated axis by axis. Equations: Krause form, stationary frame (source in motor/params.py).
"""

from __future__ import annotations

import math

from numba import njit

from trainer.circuit import layout as lay
from trainer.circuit.kernel_options import INNER, MERGED

SIXTH = 1.0 / 6.0
PER_TURN = 0.5 / math.pi


@njit(**INNER)
def refresh(dims, mach, pf, h):
    """Derived constants of every machine at the temperatures its windings were last taken at."""
    h2 = 0.5 * h
    for m in range(dims[lay.D_M]):
        p0 = dims[lay.D_L] + dims[lay.D_C] + 2 * m
        alpha, at = mach[m, lay.MC_ALPHA], mach[m, lay.MC_OHMS_AT]
        r_q = mach[m, lay.MC_R_MAIN] * (1.0 + alpha * (mach[m, lay.MC_LAST_MAIN_C] - at))
        r_d = mach[m, lay.MC_R_AUX] * (1.0 + alpha * (mach[m, lay.MC_LAST_AUX_C] - at))
        lm_q, lm_d = mach[m, lay.MC_LM_MAIN], mach[m, lay.MC_LM_AUX]
        lr_q = mach[m, lay.MC_LR_MAIN] + h2 * mach[m, lay.MC_RR_MAIN]
        lr_d = mach[m, lay.MC_LR_AUX] + h2 * mach[m, lay.MC_RR_AUX]
        den_q = mach[m, lay.MC_LS_MAIN] + h2 * r_q - lm_q * lm_q / lr_q
        den_d = mach[m, lay.MC_LS_AUX] + h2 * r_d - lm_d * lm_d / lr_d
        mach[m, lay.MC_RQ], mach[m, lay.MC_RD] = r_q, r_d
        mach[m, lay.MC_ILRQ], mach[m, lay.MC_ILRD] = 1.0 / lr_q, 1.0 / lr_d
        mach[m, lay.MC_PULLQ], mach[m, lay.MC_PULLD] = lm_q / lr_q, lm_d / lr_d
        mach[m, lay.MC_IDENQ], mach[m, lay.MC_IDEND] = 1.0 / den_q, 1.0 / den_d
        det_q = mach[m, lay.MC_LS_MAIN] * mach[m, lay.MC_LR_MAIN] - lm_q * lm_q
        det_d = mach[m, lay.MC_LS_AUX] * mach[m, lay.MC_LR_AUX] - lm_d * lm_d
        mach[m, lay.MC_YSQ] = mach[m, lay.MC_LS_MAIN] / det_q
        mach[m, lay.MC_YSD] = mach[m, lay.MC_LS_AUX] / det_d
        mach[m, lay.MC_YMQ], mach[m, lay.MC_YMD] = lm_q / det_q, lm_d / det_d
        mach[m, lay.MC_YRQ] = mach[m, lay.MC_LR_MAIN] / det_q
        mach[m, lay.MC_YRD] = mach[m, lay.MC_LR_AUX] / det_d
        mach[m, lay.MC_IRATIO] = 1.0 / mach[m, lay.MC_RATIO]
        mach[m, lay.MC_ISYNC] = 1.0 / mach[m, lay.MC_SYNC]
        mach[m, lay.MC_IINERTIA] = 1.0 / mach[m, lay.MC_INERTIA]
        pf[p0, lay.PF_G] = h2 / den_q
        pf[p0 + 1, lay.PF_G] = h2 / den_d


@njit(**INNER)
def main_amps(mach, y, m, b):
    """(stator, rotor) amps of the main axis from its flux linkages (and saturation amps)."""
    extra = mach[m, lay.MC_LM_MAIN] * y[b + lay.MS_IXQ]
    f, fr = y[b + lay.MS_FQ] + extra, y[b + lay.MS_FQR] + extra
    ym = mach[m, lay.MC_YMQ]
    return mach[m, lay.MC_YRQ] * f - ym * fr, mach[m, lay.MC_YSQ] * fr - ym * f


@njit(**INNER)
def aux_amps(mach, y, m, b):
    """(stator, rotor) amps of the auxiliary axis."""
    extra = mach[m, lay.MC_LM_AUX] * y[b + lay.MS_IXD]
    f, fr = y[b + lay.MS_FD] + extra, y[b + lay.MS_FDR] + extra
    ym = mach[m, lay.MC_YMD]
    return mach[m, lay.MC_YRD] * f - ym * fr, mach[m, lay.MC_YSD] * fr - ym * f


@njit(**MERGED)
def saturation(mach, scr, y, m, b, half):
    """Extra magnetising amps of both axes: what the present flux calls for, and a step ahead.

    i_extra = (flux/L) * gain * max(0, flux/knee - 1)^2 with the resultant flux of both axes;
    ahead by a straight line through the last step (amps that lag give energy from nowhere).
    """
    scr[m, lay.SC_XQ] = scr[m, lay.SC_XD] = 0.0
    scr[m, lay.SC_FXQ] = scr[m, lay.SC_FXD] = 0.0
    if mach[m, lay.MC_SAT_GAIN] == 0.0:
        return
    iq, iqr = main_amps(mach, y, m, b)
    idd, idr = aux_amps(mach, y, m, b)
    mag_q = iq + iqr - y[b + lay.MS_IXQ]
    mag_d = idd + idr - y[b + lay.MS_IXD]
    fq = mach[m, lay.MC_LM_MAIN] * mag_q
    fd = mach[m, lay.MC_LM_AUX] * mag_d / mach[m, lay.MC_RATIO]
    size = math.sqrt(fq * fq + fd * fd) / mach[m, lay.MC_SAT_KNEE]
    if size > 1.0:
        grow = mach[m, lay.MC_SAT_GAIN] * (size - 1.0) ** 2
        scr[m, lay.SC_FXQ] = mag_q * grow
        scr[m, lay.SC_FXD] = mag_d * grow
    for axis in range(2):
        now, last = scr[m, lay.SC_FXQ + axis], y[b + lay.MS_FXQ + axis]
        share = 0.5 if half else 1.0
        scr[m, lay.SC_XQ + axis] = now + share * (now - last)
        # a whole step before the end of this one
        scr[m, lay.SC_FXQ + axis] = now + (share - 1.0) * (now - last)


@njit(**MERGED)
def machine_history(mach, scr, hist, y, m, p0, b, h, half):
    """History currents of both windings; rotor histories are kept in ``scr`` for the update."""
    h2 = 0.5 * h
    fq, fd, fqr, fdr = y[b], y[b + 1], y[b + 2], y[b + 3]
    ratio = mach[m, lay.MC_RATIO]
    we = y[b + lay.MS_SPEED] * mach[m, lay.MC_PAIRS]
    sq = we * fdr * mach[m, lay.MC_IRATIO]
    sd = -we * fqr * ratio
    saturation(mach, scr, y, m, b, half)
    lm_q, lm_d = mach[m, lay.MC_LM_MAIN], mach[m, lay.MC_LM_AUX]
    kq, kd = fq, fd
    if half:
        kqr = fqr + h2 * sq
        kdr = fdr + h2 * sd
    else:
        iq, iqr = main_amps(mach, y, m, b)
        idd, idr = aux_amps(mach, y, m, b)
        kq += h2 * (y[p0] - mach[m, lay.MC_RQ] * iq)
        kd += h2 * (y[p0 + 1] - mach[m, lay.MC_RD] * idd)
        # three-point extrapolation: two points leave a slip error of 5/12 (omega h)^2
        ahead_q = (23.0 * sq - 16.0 * y[b + lay.MS_SQ] + 5.0 * y[b + lay.MS_SQ2]) * SIXTH
        ahead_d = (23.0 * sd - 16.0 * y[b + lay.MS_SD] + 5.0 * y[b + lay.MS_SD2]) * SIXTH
        kqr = fqr + h2 * (ahead_q - mach[m, lay.MC_RR_MAIN] * iqr)
        kdr = fdr + h2 * (ahead_d - mach[m, lay.MC_RR_AUX] * idr)
    kq += lm_q * scr[m, lay.SC_XQ]
    kd += lm_d * scr[m, lay.SC_XD]
    kqr += lm_q * scr[m, lay.SC_XQ]
    kdr += lm_d * scr[m, lay.SC_XD]
    hist[p0] = (kq - mach[m, lay.MC_PULLQ] * kqr) * mach[m, lay.MC_IDENQ]
    hist[p0 + 1] = (kd - mach[m, lay.MC_PULLD] * kdr) * mach[m, lay.MC_IDEND]
    scr[m, lay.SC_KQR], scr[m, lay.SC_KDR] = kqr, kdr
    scr[m, lay.SC_SQ], scr[m, lay.SC_SD] = sq, sd


@njit(**MERGED)
def machine_update(mach, shape, slow, scr, pf, acc, y, out, m, p0, b, h, half, weight):
    """Fluxes, torque and shaft after the port volts are known."""
    p = pf.shape[0]
    iq, idd = out[p + p0], out[p + p0 + 1]
    lm_q, lm_d = mach[m, lay.MC_LM_MAIN], mach[m, lay.MC_LM_AUX]
    xq, xd = scr[m, lay.SC_XQ], scr[m, lay.SC_XD]
    iqr = (scr[m, lay.SC_KQR] - lm_q * iq) * mach[m, lay.MC_ILRQ]
    idr = (scr[m, lay.SC_KDR] - lm_d * idd) * mach[m, lay.MC_ILRD]
    out[b + lay.MS_FQ] = mach[m, lay.MC_LS_MAIN] * iq + lm_q * (iqr - xq)
    out[b + lay.MS_FD] = mach[m, lay.MC_LS_AUX] * idd + lm_d * (idr - xd)
    fqr = mach[m, lay.MC_LR_MAIN] * iqr + lm_q * (iq - xq)
    fdr = mach[m, lay.MC_LR_AUX] * idr + lm_d * (idd - xd)
    out[b + lay.MS_FQR] = fqr
    out[b + lay.MS_FDR] = fdr
    out[b + lay.MS_IXQ] = xq
    out[b + lay.MS_IXD] = xd
    out[b + lay.MS_FXQ], out[b + lay.MS_FXD] = scr[m, lay.SC_FXQ], scr[m, lay.SC_FXD]
    out[b + lay.MS_SQ], out[b + lay.MS_SQ2] = scr[m, lay.SC_SQ], y[b + lay.MS_SQ]
    out[b + lay.MS_SD], out[b + lay.MS_SD2] = scr[m, lay.SC_SD], y[b + lay.MS_SD]
    ratio = mach[m, lay.MC_RATIO]
    torque = mach[m, lay.MC_PAIRS] * (ratio * fqr * idr - fdr * iqr * mach[m, lay.MC_IRATIO])
    out[b + lay.MS_TORQUE] = torque
    shaft_step(mach, shape, slow, y, out, m, b, torque, 0.5 * h if half else h, half)
    w = weight * h
    pf[p0, lay.PF_HEAT] += w * mach[m, lay.MC_RQ] * iq * iq
    pf[p0 + 1, lay.PF_HEAT] += w * mach[m, lay.MC_RD] * idd * idd
    acc[lay.EN_ROTOR] += w * (
        mach[m, lay.MC_RR_MAIN] * iqr * iqr + mach[m, lay.MC_RR_AUX] * idr * idr
    )
    acc[lay.EN_SHAFT] += w * torque * out[b + lay.MS_SPEED]


@njit(**MERGED)
def gas_share(mach, slow, m, r):
    """Gas torque as a share of the running torque at relative speed r: see motor.params."""
    lift = slow[m, lay.SL_LIFT]
    at = mach[m, lay.MC_AT_REST]
    return (1.0 - lift) * (at + (mach[m, lay.MC_AT_SPEED] - at) * r * r) + lift


@njit(**MERGED)
def turn_shape(shape, m, angle):
    """Gas torque over its mean at this shaft angle, linear between samples."""
    n = shape.shape[1]
    if n == 1:
        return shape[m, 0]
    turn = angle * PER_TURN
    place = (turn - math.floor(turn)) * n
    j = min(int(place), n - 1)
    f = place - j
    after = j + 1 if j + 1 < n else 0
    return shape[m, j] * (1.0 - f) + shape[m, after] * f


@njit(**MERGED)
def shaft_step(mach, shape, slow, y, out, m, b, torque, dt, half):
    """Speed and angle of machine m; friction holds the shaft at rest but never turns it."""
    speed, angle = y[b + lay.MS_SPEED], y[b + lay.MS_ANGLE]
    out[b + lay.MS_SPEED] = 0.0
    out[b + lay.MS_ANGLE] = angle
    out[b + lay.MS_NET] = 0.0
    if mach[m, lay.MC_LOCKED] > 0.0:
        return
    r = abs(speed) * mach[m, lay.MC_ISYNC]
    resist = (
        mach[m, lay.MC_COULOMB] + mach[m, lay.MC_FAN] * r * r + mach[m, lay.MC_VISCOUS] * abs(speed)
    )
    rest = mach[m, lay.MC_BREAKAWAY]
    free = torque
    gas = mach[m, lay.MC_RUN_NM] * turn_shape(shape, m, angle)
    if mach[m, lay.MC_DRIVES_BACK] > 0.0:
        free -= gas * slow[m, lay.SL_POCKET]
    else:
        gas *= gas_share(mach, slow, m, r)
        resist += gas
        rest += gas
    if speed == 0.0:
        if abs(free) <= rest:
            return
        net = free - math.copysign(rest, free)
    else:
        net = free - math.copysign(resist, speed)
    mean = net if half or speed == 0.0 else 0.5 * (net + y[b + lay.MS_NET])
    new = speed + dt * mean * mach[m, lay.MC_IINERTIA]
    if speed * new < 0.0:
        new, net = 0.0, 0.0
    out[b + lay.MS_SPEED] = new
    out[b + lay.MS_ANGLE] = angle + dt * 0.5 * (speed + new)
    out[b + lay.MS_NET] = net


@njit(**INNER)
def machine_damping(mach, y, out, m, b):
    """Field energy a backward-Euler half-step loses: half the change of flux times of amps."""
    q0, qr0 = main_amps(mach, y, m, b)
    q1, qr1 = main_amps(mach, out, m, b)
    d0, dr0 = aux_amps(mach, y, m, b)
    d1, dr1 = aux_amps(mach, out, m, b)
    return 0.5 * (
        (out[b] - y[b]) * (q1 - q0)
        + (out[b + 1] - y[b + 1]) * (d1 - d0)
        + (out[b + 2] - y[b + 2]) * (qr1 - qr0)
        + (out[b + 3] - y[b + 3]) * (dr1 - dr0)
    )


@njit(**MERGED)
def slow_states(dims, mach, slow, y, dt):
    """Winding heat, pressures and scroll pocket of every machine, once a tick.

    Returns True when a winding has warmed enough for its resistance to be brought up to date.
    """
    stale = False
    p = dims[lay.D_P]
    for m in range(dims[lay.D_M]):
        q = p + dims[lay.D_L] + dims[lay.D_C] + 2 * m
        b = dims[lay.D_MACHINE] + m * lay.MS_SIZE
        shell, path = mach[m, lay.MC_SHELL], mach[m, lay.MC_R_HEAT]
        loss_q = mach[m, lay.MC_RQ] * y[q] ** 2 - (slow[m, lay.SL_MAIN_C] - shell) / path
        loss_d = mach[m, lay.MC_RD] * y[q + 1] ** 2 - (slow[m, lay.SL_AUX_C] - shell) / path
        slow[m, lay.SL_MAIN_C] += dt / mach[m, lay.MC_C_MAIN] * loss_q
        slow[m, lay.SL_AUX_C] += dt / mach[m, lay.MC_C_AUX] * loss_d
        pressures(mach, slow, m, y[b + lay.MS_SPEED], dt)
        if mach[m, lay.MC_ALPHA] > 0.0 and (
            abs(slow[m, lay.SL_MAIN_C] - mach[m, lay.MC_LAST_MAIN_C]) > lay.REFRESH_K
            or abs(slow[m, lay.SL_AUX_C] - mach[m, lay.MC_LAST_AUX_C]) > lay.REFRESH_K
        ):
            mach[m, lay.MC_LAST_MAIN_C] = slow[m, lay.SL_MAIN_C]
            mach[m, lay.MC_LAST_AUX_C] = slow[m, lay.SL_AUX_C]
            stale = True
    return stale


@njit(**MERGED)
def pressures(mach, slow, m, speed, dt):
    """Lift grows while pumping and equalises at rest; a scroll's pocket follows quickly."""
    r = min(1.0, max(0.0, speed / mach[m, lay.MC_SYNC]))
    if r > 0.05:
        slow[m, lay.SL_LIFT] += dt / mach[m, lay.MC_PULL_DOWN] * r * (1.0 - slow[m, lay.SL_LIFT])
    else:
        slow[m, lay.SL_LIFT] -= dt / mach[m, lay.MC_EQUALISE] * slow[m, lay.SL_LIFT]
    if speed > 0.0:
        want = gas_share(mach, slow, m, r) * min(1.0, 4.0 * r)
        slow[m, lay.SL_POCKET] += dt / lay.POCKET_FILL_S * (want - slow[m, lay.SL_POCKET])
    else:
        slow[m, lay.SL_POCKET] -= dt / mach[m, lay.MC_POCKET] * slow[m, lay.SL_POCKET]
