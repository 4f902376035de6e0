"""Compiled: the devices that move contacts and sources.

Electromagnets act on the rms of one cycle with hysteresis and the armature's delay; thermal
elements integrate their own heat; protection acts before control before the rest because
devices are sorted that way by plan.py. Every device only sets or clears its own bit among the
reasons a contact has to be open.

A device's function gets what it senses now (or its cycle rms), moves its own state and returns
the event that happened, or NOTHING. p and s in the docstrings are its parameters and state,
counted from 0.
"""

from __future__ import annotations

import math

import numpy as np

from trainer.circuit import layout as lay
from trainer.circuit.kernel_contacts import OFF, ON, log_event
from trainer.circuit.kernel_options import inner, merged, spelled
from trainer.circuit.kernel_step import reading

NOTHING, RESISTANCE = -1, -2
#: A soft starter lets its pair go this long before the volts are expected through zero [s].
EARLY_S = 1.5e-4
#: Volts that cross zero slower than this are no line volts [V/s].
SLOW_VOLTS = 4000.0


@spelled
def hold(contacts, s, d, shut):
    """Clear (shut) or set (open) the bit of device d among the reasons of contact s."""
    bit = np.int64(1) << (d % 60)
    c = contacts[s]
    c.reasons = c.reasons & ~bit if shut else c.reasons | bit


@inner
def position(contacts, moves, device, d, makes, shut):
    """Move those contacts of a device that it makes, or those that it breaks."""
    for t in range(device.first, device.end):
        if (moves[t].makes != 0) == makes:
            hold(contacts, moves[t].contact, d, shut)


@spelled
def cycle_rms(rings, ring, slot, now):
    """One-cycle rms of what a device senses: a ring of squares and their running sum.

    The sum is taken afresh once a cycle so that rounding cannot build up.
    """
    total = rings[ring, lay.TICKS_PER_CYCLE] + now * now - rings[ring, slot]
    rings[ring, slot] = now * now
    if slot == 0:
        total = 0.0
        for j in range(lay.TICKS_PER_CYCLE):
            total += rings[ring, j]
    rings[ring, lay.TICKS_PER_CYCLE] = total
    return math.sqrt(max(total, 0.0) / lay.TICKS_PER_CYCLE)


@spelled
def coil(d, rms, dt):
    """Armature: p = pickup, dropout, operate, release; s = in, timer, rms."""
    d.shown = d.s2 = rms
    inside = d.s0 != 0.0
    pulled = rms < d.p1 if inside else rms > d.p0
    d.s1 = d.s1 + dt if pulled else 0.0
    if not pulled or d.s1 < (d.p3 if inside else d.p2):
        return NOTHING
    d.s0, d.s1 = 0.0 if inside else 1.0, 0.0
    return lay.EV_DROPPED_OUT if inside else lay.EV_PICKED_UP


@spelled
def thermal(d, machines, axes, amps, dt):
    """Heated trip: p = ohms, c, r, trip, reset (-1e9 none), ambient; s = tripped, T."""
    around = d.p5
    if d.machine >= 0:
        main, aux = axes[2 * d.machine], axes[2 * d.machine + 1]
        around = main.heat_c * main.warm_c + aux.heat_c * aux.warm_c
        around /= main.heat_c + aux.heat_c
    d.s1 += dt / d.p1 * (d.p0 * amps * amps - (d.s1 - around) / d.p2)
    d.shown = d.s1
    if d.s0 == 0.0 and d.s1 > d.p3:
        d.s0 = 1.0
        return lay.EV_TRIPPED
    if d.s0 != 0.0 and d.s1 < d.p4:
        d.s0 = 0.0
        return lay.EV_RESET
    return NOTHING


@spelled
def magnetic(d, amps, dt):
    """Instantaneous trip: p = peak amps, delay; s = tripped, time since, armed."""
    if d.s0 != 0.0:
        return NOTHING
    if abs(amps) > d.p0:
        d.s2 = 1.0
    if d.s2 == 0.0:
        return NOTHING
    d.s1 += dt
    if d.s1 < d.p1:
        return NOTHING
    d.s0 = 1.0
    return lay.EV_TRIPPED


@spelled
def residual(d, rms, dt):
    """Core balance: p = trip rms, k, exponent; s = tripped, share of time spent, rms."""
    d.shown = d.s2 = rms
    if d.s0 != 0.0:
        return NOTHING
    d.s1 = d.s1 + dt / (d.p1 / rms) ** d.p2 if rms >= d.p0 else 0.0
    if d.s1 < 1.0:
        return NOTHING
    d.s0 = 1.0
    return lay.EV_TRIPPED


@spelled
def timer(d, rms, dt):
    """Delay: p = threshold rms, delay, lockout; s = acted, on-time, rms, off-time."""
    d.shown = d.s2 = rms
    if rms < d.p0:
        acted = d.s0 != 0.0
        d.s0, d.s1 = 0.0, 0.0
        d.s3 += dt
        return lay.EV_DROPPED_OUT if acted else NOTHING
    d.s1 += dt
    late = d.s1 - d.p1
    if d.s0 != 0.0 or late < 0.0 or d.s3 + late < d.p2:
        return NOTHING
    d.s0, d.s3 = 1.0, 0.0
    return lay.EV_PICKED_UP


@spelled
def ptc(d, volts, dt):
    """Thermistor: p = cold, hot, switch, b, c, r, ambient; s = ohms used, T.

    The ohms used follow in steps of 2 %, since every change costs a new port matrix.
    """
    ohms, want = d.s0, d.p0
    d.s1 += dt / d.p4 * (volts * volts / ohms - (d.s1 - d.p6) / d.p5)
    d.shown = d.s1
    if d.s1 > d.p2:
        want = min(d.p1, d.p0 * math.exp(d.p3 * (d.s1 - d.p2)))
    at_end = want != ohms and (want == d.p1 or want == d.p0)
    if abs(want - ohms) <= 0.02 * ohms and not at_end:
        return NOTHING
    d.s0 = want
    return RESISTANCE


@spelled
def generator(d, sources, number, volts, amps, rms, dt):
    """Alternator: see elements.Generator; p as laid out in devices.py.

    s = drop volts, field, hz, engine W, stalled, (none), mean watts, mean square volts.
    """
    d.s6 += dt * d.p10 * (volts * amps - d.s6)
    d.s7 += dt * d.p10 * (volts * volts - d.s7)
    if d.s4 != 0.0:
        return NOTHING
    rated_w, hz, droop = d.p0, d.p9, d.p7
    rms_v = math.sqrt(max(d.s7, 0.0))
    apparent = max(rms * rms_v, 1e-9)
    real = min(abs(d.s6), apparent)
    factor = real / apparent
    drop = d.p1 * rms * math.sqrt(1.0 - factor * factor) * math.sqrt(2.0)
    d.s0 += dt / d.p2 * (drop - d.s0)
    d.s1 += dt / d.p3 * (d.p8 - rms_v) / d.p8
    d.s1 = min(max(d.s1, 0.2), d.p4)
    want = (hz * (1.0 + droop * d.p12) - d.s2) / (droop * hz) * rated_w
    want = min(max(want, 0.0), 1.1 * rated_w)
    d.s3 += dt / d.p6 * (want - d.s3)
    d.s2 += dt * hz * (d.s3 - d.s6) / (2.0 * d.p5 * rated_w)
    d.shown = d.s2
    stalls = d.s2 < d.p13
    for q in range(sources.shape[0]):
        if sources[q].device == number:
            sources[q].peak = 0.0 if stalls else max(d.s1 * d.p11 - d.s0, 0.0)
            sources[q].hz = d.s2
    if not stalls:
        return NOTHING
    d.s4 = 1.0
    return lay.EV_GAVE_UP


@spelled
def inverter(d, sources, number, rms, dt):
    """Battery inverter: p = surge s, rated rms; s = shut, overload time, rms."""
    d.shown = d.s2 = rms
    if d.s0 != 0.0:
        return NOTHING
    d.s1 = d.s1 + dt if rms > d.p1 else max(0.0, d.s1 - dt)
    if d.s1 <= d.p0:
        return NOTHING
    d.s0 = 1.0
    for q in range(sources.shape[0]):
        if sources[q].device == number:
            sources[q].peak = 0.0
    return lay.EV_GAVE_UP


@spelled
def phase_ramp(d, contacts, moves, number, rms, dt):
    """Slow half of a soft starter, once a tick: ramp, limit, boost, bypass, giving up.

    p = first delay, ramp s, limit A, settled ratio, boost most s, give up s;
    s = started, time, delay now, first peak rms, rms, boost left, bypassed, gave up,
    time since volts zero, gate, last volts, length of half a cycle.
    """
    d.shown = d.s4 = rms
    if d.s0 == 0.0 or d.s7 != 0.0:
        return NOTHING
    happened = NOTHING
    d.s1 += dt
    if rms < d.p2 and d.s6 == 0.0:
        d.s2 = max(0.0, d.s2 - d.p0 * dt / d.p1)
    d.s3 = max(d.s3, rms)
    settled = rms < d.p3 * d.s3 and d.s1 > 0.1
    if d.s5 == 0.0 and (settled or d.s1 > d.p4):
        d.s5 = 1.0
        happened = lay.EV_PICKED_UP
    if d.s6 == 0.0 and d.s2 == 0.0 and settled:
        d.s6 = 1.0
        position(contacts, moves, d, number, ON, ON)
    if d.s6 == 0.0 and d.s1 > d.p5:
        d.s7 = 1.0
        hold(contacts, d.contact, number, OFF)
        happened = lay.EV_GAVE_UP
    if happened != NOTHING:
        position(contacts, moves, d, number, OFF, OFF)
    return happened


@inner
def rest(d, contacts, moves, number):
    """A soft starter without volts: everything as it was found, the next start from the first."""
    d.s0 = d.s1 = d.s2 = d.s3 = d.s4 = d.s5 = 0.0
    d.s6 = d.s7 = d.s8 = d.s9 = d.s10 = d.s11 = 0.0
    d.shown = 0.0
    hold(contacts, d.contact, number, OFF)
    position(contacts, moves, d, number, ON, OFF)
    position(contacts, moves, d, number, OFF, ON)


@spelled
def zero_of_volts(d, volts, h):
    """Whether the sensed volts passed zero in this step; keeps the length of half a cycle."""
    before, d.s10 = d.s10, volts
    d.s8 += h
    rise = abs(volts - before)
    if volts * before >= 0.0 or rise <= SLOW_VOLTS * h:
        return False
    since = h * abs(volts) / rise
    if d.s0 == 0.0:
        d.s0, d.s2 = 1.0, d.p0
    else:
        d.s11 = d.s8 - since
    d.s8 = since
    return True


@spelled
def phase_gate(d, contacts, moves, number, volts, h):
    """Fast half of a soft starter, every step: fire ``delay`` after each zero of the volts.

    The gate is let go just before the next zero: a resistor's current ends with its volts, and
    let go a step later the pair would carry the next half cycle whole. True when it moved.
    """
    crossed = zero_of_volts(d, volts, h)
    if d.s0 != 0.0 and not crossed and d.s8 > lay.NO_VOLTS_S:
        rest(d, contacts, moves, number)
        return True
    if d.s7 != 0.0 or d.s11 == 0.0:
        return False
    release, late, fired = d.s11 - EARLY_S, d.s2 > 0.0, d.s9 != 0.0
    if fired and late and d.s8 >= release:
        d.s9 = 0.0
    elif not fired and d.s8 >= d.s2 - 0.5 * h and (d.s8 < release - h or not late):
        d.s9 = 1.0
    else:
        return False
    hold(contacts, d.contact, number, not fired)
    return True


@inner
def fast_devices(sizes, devices, contacts, moves, fast, volts, amps, row):
    """Devices that look every step; returns True when one moved a contact."""
    moved = False
    for j in range(fast.shape[0]):
        d = devices[fast[j]]
        now = reading(volts, amps, row, d.across)
        if phase_gate(d, contacts, moves, fast[j], now, sizes.step_s):
            moved = True
    return moved


@merged
def tick_devices(
    tally, contacts, machines, axes, sources, devices, moves, rings, volts, amps, row, events,
    slot, dt,
):  # fmt: skip
    """Every device looks once; returns (a contact may have moved, a resistance changed)."""
    moved, retuned = False, False
    for number in range(devices.shape[0]):
        d = devices[number]
        now = reading(volts, amps, row, d.sense)
        rms = cycle_rms(rings, d.ring, slot, now) if d.ring >= 0 else 0.0
        happened = NOTHING
        if d.kind == lay.DEV_COIL:
            happened = coil(d, rms, dt)
        elif d.kind == lay.DEV_THERMAL:
            happened = thermal(d, machines, axes, now, dt)
        elif d.kind == lay.DEV_MAGNETIC:
            happened = magnetic(d, now, dt)
        elif d.kind == lay.DEV_TIMER:
            happened = timer(d, rms, dt)
        elif d.kind == lay.DEV_RESIDUAL:
            happened = residual(d, rms, dt)
        elif d.kind == lay.DEV_PTC:
            happened = ptc(d, now, dt)
        elif d.kind == lay.DEV_PHASE:
            happened = phase_ramp(d, contacts, moves, number, rms, dt)
            moved = True
        elif d.kind == lay.DEV_GENERATOR:
            across = reading(volts, amps, row, d.across)
            happened = generator(d, sources, number, across, now, rms, dt)
        elif d.kind == lay.DEV_INVERTER:
            happened = inverter(d, sources, number, rms, dt)
        if happened == RESISTANCE:
            retuned = True
        elif happened >= 0:
            moved = True
            if d.kind != lay.DEV_PHASE and d.kind != lay.DEV_GENERATOR:
                energised = happened != lay.EV_DROPPED_OUT and happened != lay.EV_RESET
                position(contacts, moves, d, number, ON, energised)
                position(contacts, moves, d, number, OFF, not energised)
            log_event(tally, events, happened, contacts.shape[0] + number, d.shown)
    return moved, retuned
