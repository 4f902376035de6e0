"""The compiled stepping kernel: one circuit, any wiring, fixed steps.

Nodal companion form. Every moving branch ("port") is a conductance and a history current;
per contact state the port matrix is solved once and kept; a step is: gather history
currents, one matrix-vector product, update histories. Trapezoidal, with damped half-steps
(backward Euler, same conductances) after every change of contact state. A contact told to
open conducts until its current changes sign: the crossing is interpolated, and the step grid
regained by interpolating the half-steps.

Knows arrays only (layout.py names their columns, plan.py fills them). Called by transient.py.
"""

from __future__ import annotations

import math

from numba import njit

from trainer.circuit import layout as lay
from trainer.circuit.kernel_devices import fast_devices, tick_devices
from trainer.circuit.kernel_loops import fast_relax
from trainer.circuit.kernel_machine import refresh, slow_states
from trainer.circuit.kernel_options import ENTRY, INNER
from trainer.circuit.kernel_states import book_all, find_state
from trainer.circuit.kernel_step import advance, observe


@njit(**INNER)
def log_event(counts, events, k, kind, index, value):
    """Append one event; past the table's end only the count goes on, so that overflow shows."""
    n = counts[lay.N_EVENTS]
    if n < events.shape[0]:
        events[n, 0] = k
        events[n, 1] = kind
        events[n, 2] = index
        events[n, 3] = value
    counts[lay.N_EVENTS] = n + 1


@njit(**INNER)
def contact_requests(si, counts, events, k):
    """Start and stop partings; returns how many contacts must close now."""
    closing = 0
    pending = 0
    for s in range(si.shape[0]):
        if si[s, lay.SI_REASONS] == 0 or si[s, lay.SI_WELDED] != 0:
            si[s, lay.SI_PARTED] = -1
            if si[s, lay.SI_CLOSED] == 0:
                closing += 1
        elif si[s, lay.SI_CLOSED] != 0:
            if si[s, lay.SI_PARTED] < 0:
                si[s, lay.SI_PARTED] = k
                log_event(counts, events, k, lay.EV_PARTED, s, 0.0)
            pending += 1
    counts[lay.N_PENDING] = pending
    return closing


@njit(**INNER)
def close_contacts(dims, counts, g_static, ri, rf, si, sf, pi, pf, y, acc, events, k, h):
    """Close every contact that wants to be, relax capacitor loops too fast for the step."""
    for s in range(si.shape[0]):
        free = si[s, lay.SI_REASONS] == 0 or si[s, lay.SI_WELDED] != 0
        if si[s, lay.SI_CLOSED] == 0 and free:
            si[s, lay.SI_CLOSED] = 2  # 2: closing in this very step
    fast_relax(dims, g_static, ri, rf, si, sf, pi, pf, y, acc, h)
    for s in range(si.shape[0]):
        if si[s, lay.SI_CLOSED] != 2:
            continue
        si[s, lay.SI_CLOSED] = 1
        surge = sf[s, lay.SW_A2S]
        log_event(counts, events, k, lay.EV_CLOSED, s, surge)
        if surge > 0.0:
            log_event(counts, events, k, lay.EV_SURGE, s, sf[s, lay.SW_PEAK])
        if surge > sf[s, lay.SW_WELD] and si[s, lay.SI_WELDED] == 0:
            si[s, lay.SI_WELDED] = 1
            log_event(counts, events, k, lay.EV_WELDED, s, surge)


@njit(**INNER)
def crossing(dims, si, sf, y, y_old, s, k, h):
    """Where in the last step (0..1) the current of parted contact s reaches zero; 2: nowhere.

    A current below the chopping level, and an arc older than the longest that a gap sustains,
    open at once.
    """
    if si[s, lay.SI_PARTED] < 0:
        return 2.0
    now, before = y[dims[lay.D_FIRST] + s], y_old[dims[lay.D_FIRST] + s]
    if sf[s, lay.SW_ARCS] == 0.0 or abs(now) < lay.CHOP_A:
        return 1.0
    if now * before < 0.0:
        return before / (before - now)
    return 1.0 if (k - si[s, lay.SI_PARTED]) * h > lay.LONGEST_ARC_S else 2.0


@njit(**INNER)
def open_at_zero(dims, counts, si, sf, y, y_old, events, k, h):
    """Open every contact that has its current zero in the last step, all at the first of them.

    Poles of one switch cross together; one left behind would conduct for half a cycle more.
    Returns where in the step that was, 2 when no contact opened.
    """
    alpha = 2.0
    for s in range(si.shape[0]):
        alpha = min(alpha, crossing(dims, si, sf, y, y_old, s, k, h))
    if alpha > 1.0:
        return alpha
    for s in range(si.shape[0]):
        if crossing(dims, si, sf, y, y_old, s, k, h) <= 1.0:
            base = dims[lay.D_FIRST] + s
            amps = y_old[base] + alpha * (y[base] - y_old[base])
            log_event(counts, events, k, lay.EV_OPENED, s, amps)
            si[s, lay.SI_CLOSED] = 0
            si[s, lay.SI_PARTED] = -1
    return alpha


@njit(**INNER)
def damped_restart(
    dims, pi, pf, ci, cf, mach, shape, slow, scr, src, hist, mt, heat_s, acc, y, y_old, half,
    state, alpha, h,
):  # fmt: skip
    """From the instant alpha of the last step (1: its end) to the end of the next one.

    Backward-Euler half-steps lie from the restart at 0.5, 1.0 ... steps; the end of the next
    step is 2 - alpha steps away: see regain_grid.
    """
    for j in range(y.shape[0]):
        half[0, j] = y_old[j] + alpha * (y[j] - y_old[j])
    late = 1.0 - alpha
    place = 2.0 * (1.0 + late)  # in half-steps
    count = int(math.floor(place + 0.5)) + 1
    for n in range(1, count + 1):
        # booked over one step in all: the part before its beginning was booked already
        weight = min(0.5, max(0.0, 0.5 * (place - (n - 1)))) / (1.0 + late)
        advance(
            dims, pi, pf, mach, shape, slow, scr, src, hist, mt, heat_s, acc, half[n - 1],
            half[n], state, h, (0.5 * n - late) * h, True, weight,
        )  # fmt: skip
        observe(dims, hist, mt, ci, cf, half[n], state)
    regain_grid(dims, pf, mach, y, half, place, count, h)
    # the step's beginning, for what looks across it: another contact's zero
    low = int(math.floor(2.0 * late))
    f = 2.0 * late - low
    for j in range(y.shape[0]):
        y_old[j] = half[low, j] + f * (half[low + 1, j] - half[low, j])


@njit(**INNER)
def regain_grid(dims, pf, mach, y, half, place, count, h):
    """Write the interpolated state at the end of the step into ``y``.

    Slopes (volts of coils, amps of capacitors) belong to the middles of the half-steps; taken
    anywhere else they leave a zigzag where nothing damps it.
    """
    p, n_l, n_c = dims[lay.D_P], dims[lay.D_L], dims[lay.D_C]
    e0 = 2 * p
    low = min(int(math.floor(place)), count - 1)
    f = place - low
    for j in range(y.shape[0]):
        y[j] = half[low, j] + f * (half[low + 1, j] - half[low, j])
    for j in range(n_l):
        coil = pf[j, lay.PF_HENRIES] * slope(half, place, count, p + j, h)
        y[j] = pf[j, lay.PF_OHMS] * y[p + j] + coil - y[e0 + j]
    for q in range(n_l, n_l + n_c):
        y[p + q] = pf[q, lay.PF_FARADS] * slope(half, place, count, e0 + q, h)
        y[q] = y[e0 + q] + pf[q, lay.PF_OHMS] * y[p + q]
    for m in range(dims[lay.D_M]):
        b = dims[lay.D_MACHINE] + m * lay.MS_SIZE
        w = n_l + n_c + 2 * m
        y[w] = mach[m, lay.MC_RQ] * y[p + w] + slope(half, place, count, b + lay.MS_FQ, h)
        y[w + 1] = mach[m, lay.MC_RD] * y[p + w + 1] + slope(half, place, count, b + lay.MS_FD, h)
        previous_speed_voltages(mach, y, half[low], half[low + 1], m, b)


@njit(**INNER)
def slope(half, place, count, j, h):
    """Rate of change of column j at ``place``, between the middles of half-steps around it."""
    mid = count - 1  # middles at mid - 0.5 and mid + 0.5 straddle ``place``
    first, second = half[mid, j] - half[mid - 1, j], half[mid + 1, j] - half[mid, j]
    return 2.0 / h * (first + (place - (mid - 0.5)) * (second - first))


@njit(**INNER)
def previous_speed_voltages(mach, y, a, z, m, b):
    """Speed voltages one and two steps back along their present slope, for extrapolation."""
    ratio, pairs = mach[m, lay.MC_RATIO], mach[m, lay.MC_PAIRS]
    w = b + lay.MS_SPEED
    slope_q = pairs / ratio * (z[w] * z[b + lay.MS_FDR] - a[w] * a[b + lay.MS_FDR])
    slope_d = -pairs * ratio * (z[w] * z[b + lay.MS_FQR] - a[w] * a[b + lay.MS_FQR])
    now_q = pairs / ratio * y[w] * y[b + lay.MS_FDR]
    now_d = -pairs * ratio * y[w] * y[b + lay.MS_FQR]
    y[b + lay.MS_SQ], y[b + lay.MS_SQ2] = now_q - 2.0 * slope_q, now_q - 4.0 * slope_q
    y[b + lay.MS_SD], y[b + lay.MS_SD2] = now_d - 2.0 * slope_d, now_d - 4.0 * slope_d


@njit(**INNER)
def cycle_change(dims, mach, cycle, y):
    """At a cycle's end: largest relative change since the last one of the ports' cycle-rms amps
    (floor: 1 mA or a thousandth of the largest) and of the shaft speeds (of synchronous)."""
    p = dims[lay.D_P]
    most = 0.0
    top = lay.TICKS_PER_CYCLE
    for j in range(p):
        top = max(top, cycle[0, j])
    for j in range(p):
        now, last = math.sqrt(cycle[0, j]), math.sqrt(cycle[1, j])
        most = max(most, abs(now - last) / max(now, 1e-3 * math.sqrt(top)))
        cycle[1, j] = cycle[0, j]
        cycle[0, j] = 0.0
    for m in range(dims[lay.D_M]):
        speed = y[dims[lay.D_MACHINE] + m * lay.MS_SIZE + lay.MS_SPEED]
        most = max(most, abs(speed - cycle[1, p + m]) / mach[m, lay.MC_SYNC])
        cycle[1, p + m] = speed
    return most


@njit(**INNER)
def record(counts, slow, ds, y, rec, rec_index, rec_slow):
    """One row of the record: values of y, or of slow machine and device state."""
    n = counts[lay.N_REC]
    if n >= rec.shape[0]:
        return
    for j in range(rec_index.shape[0]):
        if rec_index[j] >= 0:
            rec[n, j] = y[rec_index[j]]
        elif rec_slow[j, 0] == 0:
            rec[n, j] = slow[rec_slow[j, 1], rec_slow[j, 2]]
        else:
            rec[n, j] = ds[rec_slow[j, 1], rec_slow[j, 2]]
    counts[lay.N_REC] = n + 1


@njit(**ENTRY)
def run(
    dims, counts, g_static, ri, rf, si, sf, pi, pf, taps, qi, ci, cf, mach, shape, slow, scr,
    src, key, mt, xs, heat_s, y, y_old, half, hist, di, df, ds, rings, fast, acc, events, cycle, h,
    steps, rec, rec_index, rec_slow, stride, steady_tol,
):  # fmt: skip
    """Step on; stops after ``steps`` or when cycles agree within ``steady_tol`` (0: never).

    Returns the number of steps made.
    """
    per_tick = dims[lay.D_PER_TICK]
    tick_s = per_tick * h
    per_cycle = per_tick * lay.TICKS_PER_CYCLE
    p = dims[lay.D_P]
    k = counts[lay.N_STEP]
    last = k + steps
    refresh(dims, mach, pf, h)
    restart = counts[lay.N_PAD] != 0
    alpha = counts[lay.N_PAD] / lay.WHOLE if restart else 1.0
    if contact_requests(si, counts, events, k) > 0:
        close_contacts(dims, counts, g_static, ri, rf, si, sf, pi, pf, y, acc, events, k, h)
        restart, alpha = True, 1.0
    state = find_state(counts, g_static, ri, rf, si, sf, pi, pf, taps, qi, key, mt, xs, heat_s, h)
    if counts[lay.N_PENDING] > 0 and not restart:
        # a hand parted a contact: its amps of now, not those last looked at
        observe(dims, hist, mt, ci, cf, y, state)
    while k < last:
        k += 1
        if restart:
            damped_restart(
                dims, pi, pf, ci, cf, mach, shape, slow, scr, src, hist, mt, heat_s, acc, y, y_old,
                half, state, alpha, h,
            )  # fmt: skip
            restart = False
        else:
            for j in range(y.shape[0]):
                y_old[j] = y[j]
            advance(
                dims, pi, pf, mach, shape, slow, scr, src, hist, mt, heat_s, acc, y_old, y, state,
                h, h, False, 1.0,
            )  # fmt: skip
            if (
                k % per_tick == 0
                or k % stride == 0
                or counts[lay.N_PENDING] > 0
                or fast.shape[0] > 0
            ):
                observe(dims, hist, mt, ci, cf, y, state)
        for q in range(src.shape[0]):
            phase = src[q, lay.SRC_PHASE] + src[q, lay.SRC_HZ] * h
            src[q, lay.SRC_PHASE] = phase - math.floor(phase)
        if k % stride == 0:
            record(counts, slow, ds, y, rec, rec_index, rec_slow)
        moved = False
        if counts[lay.N_PENDING] > 0:
            zero = open_at_zero(dims, counts, si, sf, y, y_old, events, k, h)
            if zero <= 1.0:
                restart, alpha, moved = True, zero, True
        if fast.shape[0] > 0 and fast_devices(si, di, df, ds, fast, y, h):
            moved = True
        if k % per_tick == 0:
            tick_devices(
                counts, g_static, ri, rf, si, sf, mach, slow, src, key, xs, heat_s, di, df, ds,
                rings, y, events, k, k // per_tick, tick_s, h,
            )  # fmt: skip
            if slow_states(dims, mach, slow, y, tick_s):
                book_all(counts, ri, rf, si, sf, key, xs, heat_s, h)
                counts[lay.N_STATES] = 0
                refresh(dims, mach, pf, h)
            moved = True
            for j in range(p):
                cycle[0, j] += y[p + j] ** 2
        if moved:
            if contact_requests(si, counts, events, k) > 0:
                close_contacts(dims, counts, g_static, ri, rf, si, sf, pi, pf, y, acc, events, k, h)
                # an opening that waits at alpha is finished as a chop at the end of this step
                restart, alpha = True, 1.0
            if restart or counts[lay.N_STATES] == 0:
                state = find_state(
                    counts, g_static, ri, rf, si, sf, pi, pf, taps, qi, key, mt, xs, heat_s, h
                )
        if k % per_cycle == 0:
            change = cycle_change(dims, mach, cycle, y)
            quiet = change < steady_tol and counts[lay.N_PENDING] == 0 and not restart
            counts[lay.N_STEADY] = counts[lay.N_STEADY] + 1 if quiet else 0
            if steady_tol > 0.0 and counts[lay.N_STEADY] >= 3:
                break
    done = k - counts[lay.N_STEP]
    counts[lay.N_STEP] = k
    counts[lay.N_PAD] = max(1, int(alpha * lay.WHOLE)) if restart else 0
    return done
