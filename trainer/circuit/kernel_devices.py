"""Compiled: the devices that move contacts and sources.

Electromagnets act on the rms of one cycle with hysteresis and the armature's delay; thermal
elements integrate their own heat; protection acts before control before the rest because
devices are sorted that way by plan.py. Every device only sets or clears its own bit among the
reasons a contact has to be open.
"""

from __future__ import annotations

import math

from numba import njit

from trainer.circuit import layout as lay
from trainer.circuit.kernel_options import INNER, MERGED
from trainer.circuit.kernel_states import book_heat


@njit(**INNER)
def note(si, counts, events, k, kind, device, value):
    """Log an event of a device (numbered after the contacts)."""
    n = counts[lay.N_EVENTS]
    if n < events.shape[0]:
        events[n, 0] = k
        events[n, 1] = kind
        events[n, 2] = si.shape[0] + device
        events[n, 3] = value
    counts[lay.N_EVENTS] = n + 1


@njit(**INNER)
def reason(si, di, d, first, closed):
    """Set (open) or clear (closed) this device's bit on the contacts listed from ``first``."""
    bit = 1 << (d % 60)
    for t in range(lay.MOST):
        s = di[d, first + t]
        if s < 0:
            return
        if closed:
            si[s, lay.SI_REASONS] &= ~bit
        else:
            si[s, lay.SI_REASONS] |= bit


@njit(**INNER)
def position(si, di, d, energised):
    """Move a device's contacts: ``makes`` close and ``breaks`` open when energised."""
    reason(si, di, d, lay.DI_MAKES, energised)
    reason(si, di, d, lay.DI_BREAKS, not energised)


@njit(**INNER)
def cycle_rms(di, rings, y, d, tick):
    """One-cycle rms of what device d senses: a ring of squares and their running sum.

    The sum is taken afresh once a cycle so that rounding cannot build up.
    """
    ring = di[d, lay.DI_RING]
    now = y[di[d, lay.DI_SENSE]]
    slot = tick % lay.TICKS_PER_CYCLE
    total = rings[ring, lay.TICKS_PER_CYCLE] + now * now - rings[ring, slot]
    rings[ring, slot] = now * now
    if slot == 0:
        total = 0.0
        for j in range(lay.TICKS_PER_CYCLE):
            total += rings[ring, j]
    rings[ring, lay.TICKS_PER_CYCLE] = total
    return math.sqrt(max(total, 0.0) / lay.TICKS_PER_CYCLE)


@njit(**MERGED)
def coil(si, di, df, ds, rings, y, counts, events, d, k, tick, dt):
    """Armature: dev_f = pickup, dropout, operate, release; dev_s = in, timer, rms."""
    rms = cycle_rms(di, rings, y, d, tick)
    ds[d, 2] = rms
    if ds[d, 0] == 0.0:
        ds[d, 1] = ds[d, 1] + dt if rms > df[d, 0] else 0.0
        if ds[d, 1] >= df[d, 2] and rms > df[d, 0]:
            ds[d, 0], ds[d, 1] = 1.0, 0.0
            position(si, di, d, True)
            note(si, counts, events, k, lay.EV_PICKED_UP, d, rms)
    else:
        ds[d, 1] = ds[d, 1] + dt if rms < df[d, 1] else 0.0
        if ds[d, 1] >= df[d, 3] and rms < df[d, 1]:
            ds[d, 0], ds[d, 1] = 0.0, 0.0
            position(si, di, d, False)
            note(si, counts, events, k, lay.EV_DROPPED_OUT, d, rms)


@njit(**MERGED)
def thermal(si, di, df, ds, mach, slow, y, counts, events, d, k, dt):
    """Heated trip: dev_f = ohms, c, r, trip, reset (-1e9 none), ambient; dev_s = tripped, T."""
    amps = y[di[d, lay.DI_SENSE]]
    around = df[d, 5]
    m = di[d, lay.DI_MACHINE]
    if m >= 0:
        copper = mach[m, lay.MC_C_MAIN] + mach[m, lay.MC_C_AUX]
        around = (
            mach[m, lay.MC_C_MAIN] * slow[m, lay.SL_MAIN_C]
            + mach[m, lay.MC_C_AUX] * slow[m, lay.SL_AUX_C]
        ) / copper
    ds[d, 1] += dt / df[d, 1] * (df[d, 0] * amps * amps - (ds[d, 1] - around) / df[d, 2])
    if ds[d, 0] == 0.0 and ds[d, 1] > df[d, 3]:
        ds[d, 0] = 1.0
        position(si, di, d, True)
        note(si, counts, events, k, lay.EV_TRIPPED, d, ds[d, 1])
    elif ds[d, 0] != 0.0 and ds[d, 1] < df[d, 4]:
        ds[d, 0] = 0.0
        position(si, di, d, False)
        note(si, counts, events, k, lay.EV_RESET, d, ds[d, 1])


@njit(**MERGED)
def magnetic(si, di, df, ds, y, counts, events, d, k, dt):
    """Instantaneous trip: dev_f = peak amps, delay; dev_s = tripped, time since, armed."""
    if ds[d, 0] != 0.0:
        return
    if abs(y[di[d, lay.DI_SENSE]]) > df[d, 0]:
        ds[d, 2] = 1.0
    if ds[d, 2] != 0.0:
        ds[d, 1] += dt
        if ds[d, 1] >= df[d, 1]:
            ds[d, 0] = 1.0
            position(si, di, d, True)
            note(si, counts, events, k, lay.EV_TRIPPED, d, 0.0)


@njit(**INNER)
def residual(si, di, df, ds, rings, y, counts, events, d, k, tick, dt):
    """Core balance: dev_f = trip rms, k, exponent; dev_s = tripped, share of time spent, rms."""
    rms = cycle_rms(di, rings, y, d, tick)
    ds[d, 2] = rms
    if ds[d, 0] != 0.0:
        return
    if rms < df[d, 0]:
        ds[d, 1] = 0.0
        return
    ds[d, 1] += dt / (df[d, 1] / rms) ** df[d, 2]
    if ds[d, 1] >= 1.0:
        ds[d, 0] = 1.0
        position(si, di, d, True)
        note(si, counts, events, k, lay.EV_TRIPPED, d, rms)


@njit(**MERGED)
def timer(si, di, df, ds, rings, y, counts, events, d, k, tick, dt):
    """Delay: dev_f = threshold rms, delay, lockout; dev_s = acted, on-time, rms, off-time."""
    rms = cycle_rms(di, rings, y, d, tick)
    ds[d, 2] = rms
    if rms < df[d, 0]:
        ds[d, 3] += dt
        ds[d, 1] = 0.0
        if ds[d, 0] != 0.0:
            ds[d, 0] = 0.0
            position(si, di, d, False)
            note(si, counts, events, k, lay.EV_DROPPED_OUT, d, rms)
        return
    ds[d, 1] += dt
    if ds[d, 0] == 0.0 and ds[d, 1] >= df[d, 1] and ds[d, 3] + ds[d, 1] - df[d, 1] >= df[d, 2]:
        ds[d, 0], ds[d, 3] = 1.0, 0.0
        position(si, di, d, True)
        note(si, counts, events, k, lay.EV_PICKED_UP, d, rms)


@njit(**INNER)
def ptc(counts, g_static, ri, rf, si, sf, key, xs, heat_s, di, df, ds, y, d, dt, h):
    """Thermistor: dev_f = cold, hot, switch, b, c, r, ambient; dev_s = ohms used, T."""
    f, s = df[d], ds[d]
    volts = y[di[d, lay.DI_SENSE]]
    ohms = s[0]
    s[1] += dt / f[4] * (volts * volts / ohms - (s[1] - f[6]) / f[5])
    want = f[0]
    if s[1] > f[2]:
        want = min(f[1], f[0] * math.exp(f[3] * (s[1] - f[2])))
    if abs(want - ohms) > 0.02 * ohms or (want != ohms and (want == f[1] or want == f[0])):
        s[0] = want
        set_resistor(counts, g_static, ri, rf, si, sf, key, xs, heat_s, di[d, lay.DI_A], want, h)


@njit(**INNER)
def set_resistor(counts, g_static, ri, rf, si, sf, key, xs, heat_s, r, ohms, h):
    """Change one resistor of the static network; every solved state must be forgotten."""
    a, b = ri[r, 0], ri[r, 1]
    for slot in range(min(counts[lay.N_STATES], key.shape[0])):
        book_heat(ri, rf, si, sf, key, xs, heat_s, slot, h)
    counts[lay.N_STATES] = 0
    change = 1.0 / ohms - rf[r, 0]
    rf[r, 0] = 1.0 / ohms
    if a > 0:
        g_static[a - 1, a - 1] += change
    if b > 0:
        g_static[b - 1, b - 1] += change
    if a > 0 and b > 0:
        g_static[a - 1, b - 1] -= change
        g_static[b - 1, a - 1] -= change


@njit(**INNER)
def generator(si, src, di, df, ds, rings, y, counts, events, d, k, tick, dt):
    """Alternator: see elements.Generator. dev_s = drop volts, field, hz, engine W, stalled,
    mean volt-amps, mean watts, rms volts."""
    f, s = df[d], ds[d]
    rated_w, extra, sub_s, reg_s = f[0], f[1], f[2], f[3]
    ceiling, inertia, gov_s, droop = f[4], f[5], f[6], f[7]
    amps_now = y[di[d, lay.DI_SENSE]]
    volts_now = y[di[d, lay.DI_A]]
    rms_i = cycle_rms(di, rings, y, d, tick)
    blend = dt * f[10]
    s[6] += blend * (volts_now * amps_now - s[6])
    s[7] += blend * (volts_now * volts_now - s[7])
    rms_v = math.sqrt(max(s[7], 0.0))
    if s[4] != 0.0:
        return
    apparent = max(rms_i * rms_v, 1e-9)
    real = min(abs(s[6]), apparent)
    sin_phi = math.sqrt(1.0 - (real / apparent) ** 2)
    drop = extra * rms_i * sin_phi * math.sqrt(2.0)
    s[0] += dt / sub_s * (drop - s[0])
    s[1] += dt / reg_s * (f[8] - rms_v) / f[8]
    s[1] = min(max(s[1], 0.2), ceiling)
    base_hz = f[9]
    want = (base_hz * (1.0 + droop * f[12]) - s[2]) / (droop * base_hz) * rated_w
    want = min(max(want, 0.0), 1.1 * rated_w)
    s[3] += dt / gov_s * (want - s[3])
    s[2] += dt * base_hz * (s[3] - s[6]) / (2.0 * inertia * rated_w)
    amp = max(s[1] * f[11] - s[0], 0.0)
    if s[2] < f[13]:
        s[4] = 1.0
        amp = 0.0
        note(si, counts, events, k, lay.EV_GAVE_UP, d, s[2])
    for t in range(lay.MOST):
        q = di[d, lay.DI_BREAKS + t]
        if q >= 0:
            src[q, lay.SRC_AMP] = amp
            src[q, lay.SRC_HZ] = s[2]


@njit(**INNER)
def inverter(si, src, di, df, ds, rings, y, counts, events, d, k, tick, dt):
    """Battery inverter: dev_f = surge s, rated rms, amp; dev_s = shut, overload time, rms."""
    f, s = df[d], ds[d]
    rms = cycle_rms(di, rings, y, d, tick)
    s[2] = rms
    if s[0] != 0.0:
        return
    s[1] = s[1] + dt if rms > f[1] else max(0.0, s[1] - dt)
    if s[1] > f[0]:
        s[0] = 1.0
        position(si, di, d, True)
        note(si, counts, events, k, lay.EV_GAVE_UP, d, rms)
        for q in range(src.shape[0]):
            if di[d, lay.DI_A] == q or di[d, lay.DI_B] == q:
                src[q, lay.SRC_AMP] = 0.0


@njit(**INNER)
def phase_ramp(si, di, df, ds, rings, y, counts, events, d, k, tick, dt):
    """Slow half of a soft starter, once a tick: ramp, limit, boost, bypass, giving up.

    dev_f = first delay, ramp s, limit A, settled ratio, boost most s, give up s;
    dev_s = started, time, delay now, first peak rms, rms, boost left, bypassed, gave up,
    time since volts zero, gate, last volts, length of half a cycle.
    """
    f, s = df[d], ds[d]
    rms = cycle_rms(di, rings, y, d, tick)
    s[4] = rms
    if s[0] == 0.0 or s[7] != 0.0:
        return
    s[1] += dt
    if rms < f[2] and s[6] == 0.0:
        s[2] = max(0.0, s[2] - f[0] * dt / f[1])
    s[3] = max(s[3], rms)
    settled = rms < f[3] * s[3] and s[1] > 0.1
    if s[5] == 0.0 and (settled or s[1] > f[4]):
        s[5] = 1.0
        reason(si, di, d, lay.DI_BREAKS, False)
        note(si, counts, events, k, lay.EV_PICKED_UP, d, rms)
    if s[6] == 0.0 and s[2] == 0.0 and settled:
        s[6] = 1.0
        reason(si, di, d, lay.DI_MAKES, True)
    if s[6] == 0.0 and s[1] > f[5]:
        s[7] = 1.0
        reason(si, di, d, lay.DI_BREAKS, False)
        gate(si, di, d, False)
        note(si, counts, events, k, lay.EV_GAVE_UP, d, rms)


@njit(**INNER)
def gate(si, di, d, on):
    """Fire or release the antiparallel pair."""
    bit = 1 << (d % 60)
    s = di[d, lay.DI_A]
    if on:
        si[s, lay.SI_REASONS] &= ~bit
    else:
        si[s, lay.SI_REASONS] |= bit


@njit(**INNER)
def rest(si, di, ds, d):
    """A soft starter without volts: everything as it was found, the next start from the first."""
    for j in range(lay.DS_SIZE):
        ds[d, j] = 0.0
    gate(si, di, d, False)
    reason(si, di, d, lay.DI_MAKES, False)
    reason(si, di, d, lay.DI_BREAKS, True)


@njit(**INNER)
def zero_of_volts(ds, df, d, volts, h):
    """Whether the sensed volts passed zero in this step; keeps the length of half a cycle."""
    s = ds[d]
    before = s[10]
    s[10] = volts
    s[8] += h
    if volts * before >= 0.0 or abs(volts - before) <= 4000.0 * h:
        return False
    if s[0] == 0.0:
        s[0] = 1.0
        s[2] = df[d, 0]
    else:
        s[11] = s[8] - h * abs(volts) / abs(volts - before)
    s[8] = h * abs(volts) / abs(volts - before)
    return True


@njit(**INNER)
def phase_gate(si, di, df, ds, y, h, d):
    """Fast half of a soft starter, every step: fire ``delay`` after each zero of the volts.

    The gate is let go just before the next zero: a resistor's current ends with its volts, and
    let go a step later the pair would carry the next half cycle whole.
    """
    s = ds[d]
    crossed = zero_of_volts(ds, df, d, y[di[d, lay.DI_B]], h)
    if s[0] != 0.0 and not crossed and s[8] > lay.NO_VOLTS_S:
        rest(si, di, ds, d)
        return True
    if s[7] != 0.0 or s[11] == 0.0:
        return False
    release = s[11] - 1.5e-4
    late = s[2] > 0.0
    if s[9] != 0.0 and late and s[8] >= release:
        s[9] = 0.0
        gate(si, di, d, False)
        return True
    if s[9] == 0.0 and s[8] >= s[2] - 0.5 * h and (s[8] < release - h or not late):
        s[9] = 1.0
        gate(si, di, d, True)
        return True
    return False


@njit(**INNER)
def tick_devices(
    counts, g_static, ri, rf, si, sf, mach, slow, src, key, xs, heat_s, di, df, ds, rings, y,
    events, k, tick, dt, h,
):  # fmt: skip
    """Every device looks once."""
    for d in range(di.shape[0]):
        kind = di[d, lay.DI_KIND]
        if kind == lay.DEV_COIL:
            coil(si, di, df, ds, rings, y, counts, events, d, k, tick, dt)
        elif kind == lay.DEV_THERMAL:
            thermal(si, di, df, ds, mach, slow, y, counts, events, d, k, dt)
        elif kind == lay.DEV_MAGNETIC:
            magnetic(si, di, df, ds, y, counts, events, d, k, dt)
        elif kind == lay.DEV_TIMER:
            timer(si, di, df, ds, rings, y, counts, events, d, k, tick, dt)
        elif kind == lay.DEV_RESIDUAL:
            residual(si, di, df, ds, rings, y, counts, events, d, k, tick, dt)
        elif kind == lay.DEV_PTC:
            ptc(counts, g_static, ri, rf, si, sf, key, xs, heat_s, di, df, ds, y, d, dt, h)
        elif kind == lay.DEV_PHASE:
            phase_ramp(si, di, df, ds, rings, y, counts, events, d, k, tick, dt)
        elif kind == lay.DEV_GENERATOR:
            generator(si, src, di, df, ds, rings, y, counts, events, d, k, tick, dt)
        elif kind == lay.DEV_INVERTER:
            inverter(si, src, di, df, ds, rings, y, counts, events, d, k, tick, dt)


@njit(**INNER)
def fast_devices(si, di, df, ds, fast, y, h):
    """Devices that look every step; returns True when one moved a contact."""
    moved = False
    for j in range(fast.shape[0]):
        if phase_gate(si, di, df, ds, y, h, fast[j]):
            moved = True
    return moved
