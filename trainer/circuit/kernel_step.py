"""Compiled: one step of the circuit and its machines, trapezoidal or a damped half-step.

Trapezoidal on v = R i + d(flux)/dt per branch; a backward-Euler half-step has the same
companion conductances (R + 2L/h, R + h/2C), so both use one port matrix. A step leads from row
``a`` of a stretch to row ``b``; ``keep`` is 1 when it is trapezoidal and 0 when it is a half-step:
what a half-step forgets is multiplied by it, so one piece of code does both.
Names of fields: layout.py.
"""

from __future__ import annotations

import math

import numpy as np

from trainer.circuit import layout as lay
from trainer.circuit.kernel_machine import axis_damping, rotors, windings
from trainer.circuit.kernel_options import inner, merged, spelled

# a number without a sign is no place counted from the end: loops over it work on four at once
NONE, ONE, TWO, THREE, FOUR = (np.uint64(n) for n in range(5))
TURN = 2.0 * math.pi
# of the sine's series
SIN_3, SIN_5, SIN_7, SIN_9, SIN_11, SIN_13, SIN_15, SIN_17, SIN_19, SIN_21 = (
    (-1.0) ** (n // 2) / math.factorial(n) for n in range(3, 22, 2)
)


@spelled
def reading(volts, amps, row, column):
    """What stands in a column: volts of a port or observed, then amps of a port."""
    wide = volts.shape[1]
    return volts[row, column] if column < wide else amps[row, column - wide]


@spelled
def sine(turns):
    """Sine of an angle in turns, to the last digit or so: the series up to its 21st power.

    Not the library's: a step then calls nothing, and has the same digits on every machine.
    """
    x = turns - math.floor(turns + 0.5)
    if abs(x) > 0.25:
        x = math.copysign(0.5, x) - x
    angle = TURN * x
    z = angle * angle
    low = SIN_3 + z * (SIN_5 + z * (SIN_7 + z * (SIN_9 + z * SIN_11)))
    high = SIN_13 + z * (SIN_15 + z * (SIN_17 + z * (SIN_19 + z * SIN_21)))
    z5 = z * z * z * z * z
    return angle + angle * z * (low + z5 * high)


@spelled
def source_volts(sources, volts, amps, emf, a, b, dt):
    """Source volts ``dt`` after row ``a``; an inverter folds back above its limit."""
    last_turns, share = math.nan, 0.0
    for q in range(sources.shape[0]):
        s = sources[q]
        turns = s.turns + s.hz * dt
        if turns != last_turns:  # the legs of one supply turn together
            last_turns, share = turns, sine(turns)
        e = s.peak * share
        if s.fold > 0.0:
            now = reading(volts, amps, a, s.sense)
            excess = abs(now) - s.limit
            if excess > 0.0:
                e -= math.copysign(min(s.fold * excess, abs(s.peak) + abs(e)), now)
        emf[b, q] = e


@spelled
def histories(sizes, ports, step, fed, volts, amps, caps, emf, hist, a, b, keep):
    """History currents of inductive and capacitive ports.

    Inductive: g (e + keep (e' + v') + (2L/h - keep R) i'); capacitive: -g (u' + keep h/2C i');
    primes mark row a, u' is the volts on the plates.
    """
    for j in range(hist.shape[1]):
        back = step[lay.BACK, j] - keep * step[lay.FALL, j]
        hist[b, j] = keep * step[lay.STAY, j] * volts[a, j] + back * amps[a, j]
    for t in range(fed.shape[0]):
        j = fed[t]
        port = ports[j]
        both = emf[b, port.source] + keep * emf[a, port.source]
        hist[b, j] += step[lay.G, j] * port.scale * both
    for c in range(sizes.capacitives):
        j = sizes.inductives + c
        hist[b, j] -= step[lay.G, j] * caps[a, c]


@spelled
def port_volts(mt, volts, hist, state, b, columns):
    """The first ``columns`` volts from the history currents: v = -Z i_h.

    Four currents at a time: each volt is then fetched and put back once for four products.
    """
    out, f, rows = volts[b], hist[b], mt[state]
    n, p = np.uint64(columns), np.uint64(hist.shape[1])
    for i in range(n):
        out[i] = 0.0
    for j in range(NONE, p, FOUR):
        f0, f1, f2, f3 = f[j], f[j + ONE], f[j + TWO], f[j + THREE]
        m0, m1, m2, m3 = rows[j], rows[j + ONE], rows[j + TWO], rows[j + THREE]
        for i in range(n):
            out[i] -= (f0 * m0[i] + f1 * m1[i]) + (f2 * m2[i] + f3 * m3[i])


@spelled
def branches(sizes, tally, ports, step, fed, volts, amps, caps, emf, hist, a, b, keep, weight):
    """Amps of every port, volts on the plates, what the sources gave."""
    for j in range(hist.shape[1]):
        amps[b, j] = step[lay.G, j] * volts[b, j] + hist[b, j]
    for c in range(sizes.capacitives):
        j = sizes.inductives + c
        caps[b, c] = caps[a, c] + ports[j].rise * (amps[b, j] + keep * amps[a, j])
    given = 0.0
    for t in range(fed.shape[0]):
        port = ports[fed[t]]
        given += port.scale * emf[b, port.source] * amps[b, fed[t]]
    tally.source_j += weight * sizes.step_s * given


@inner
def damping(sizes, ports, axes, amps, caps, flux, a, b):
    """Field energy that a half-step loses [J]."""
    lost = 0.0
    for j in range(sizes.inductives):
        change = amps[b, j] - amps[a, j]
        lost += 0.5 * ports[j].henries * change * change
    for c in range(sizes.capacitives):
        change = caps[b, c] - caps[a, c]
        lost += 0.5 * ports[sizes.inductives + c].farads * change * change
    for w in range(axes.shape[0]):
        lost += axis_damping(axes[w], flux[a, w], flux[b, w])
    return lost


@merged
def advance(
    sizes, tally, ports, step, fed, machines, axes, shape, sources, mt, volts, amps, hist, caps,
    emf, flux, shaft, state, a, b, columns, dt, keep, weight,
):  # fmt: skip
    """One step from row ``a`` to row ``b``; ``dt`` is b's instant relative to the source phase."""
    first, h = sizes.inductives + sizes.capacitives, sizes.step_s
    source_volts(sources, volts, amps, emf, a, b, dt)
    histories(sizes, ports, step, fed, volts, amps, caps, emf, hist, a, b, keep)
    for m in range(sizes.machines):
        windings(machines, axes, flux, shaft, volts, hist, a, b, m, first + 2 * m, h, keep)
    port_volts(mt, volts, hist, state, b, columns)
    branches(sizes, tally, ports, step, fed, volts, amps, caps, emf, hist, a, b, keep, weight)
    for m in range(sizes.machines):
        rotors(
            sizes, tally, machines, axes, shape, flux, shaft, amps, a, b, m, first + 2 * m, keep,
            weight,
        )  # fmt: skip
    if keep == 0.0:
        tally.damping_j += 2.0 * weight * damping(sizes, ports, axes, amps, caps, flux, a, b)
