"""Compiled: what is kept of a stretch of steps: sums for heat, samples, and rows to go on from.

Knows rows of a stretch; moves nothing in the circuit.
"""

from __future__ import annotations

import math

import numpy as np

from trainer.circuit import layout as lay
from trainer.circuit.kernel_options import inner, merged, spelled
from trainer.circuit.kernel_step import NONE, ONE, THREE, TWO, reading


@merged
def book_rows(hist, weight, heat_s, state, last):
    """Add rows 1 to ``last`` to a contact state's sums of products of history currents.

    Four rows at a time, so that each sum is fetched and put back once for four products; rows
    past the last weigh nothing. Only columns up to the diagonal's group of four are kept up.
    """
    p, sums = np.uint64(hist.shape[1]), heat_s[state]
    for b in range(last + 1, last + lay.LANES):
        weight[b] = 0.0
    for b in range(1, last + 1, 4):
        h0, h1, h2, h3 = hist[b], hist[b + 1], hist[b + 2], hist[b + 3]
        w0, w1, w2, w3 = weight[b], weight[b + 1], weight[b + 2], weight[b + 3]
        for i in range(NONE, p, TWO):
            k = i + ONE
            e0, e1, e2, e3 = w0 * h0[i], w1 * h1[i], w2 * h2[i], w3 * h3[i]
            f0, f1, f2, f3 = w0 * h0[k], w1 * h1[k], w2 * h2[k], w3 * h3[k]
            out, below = sums[i], sums[k]
            for j in range((i | THREE) + ONE):
                g0, g1, g2, g3 = h0[j], h1[j], h2[j], h3[j]
                out[j] += (e0 * g0 + e1 * g1) + (e2 * g2 + e3 * g3)
                below[j] += (f0 * g0 + f1 * g1) + (f2 * g2 + f3 * g3)


@spelled
def sample(what, row, machines, axes, devices, volts, amps, caps, shaft):
    """The value of one recorded thing in a row; of slow states, the present value."""
    if what.kind == lay.REC_READING:
        return reading(volts, amps, row, what.i)
    if what.kind == lay.REC_PLATES:
        return caps[row, what.i]
    if what.kind == lay.REC_SPEED:
        return shaft[row, what.i].speed
    if what.kind == lay.REC_TORQUE:
        return shaft[row, what.i].torque
    if what.kind == lay.REC_ANGLE:
        return shaft[row, what.i].angle
    if what.kind == lay.REC_LIFT:
        return machines[what.i].lift
    if what.kind == lay.REC_WARM:
        return axes[what.i].warm_c
    return devices[what.i].shown


@merged
def record(tally, machines, axes, devices, volts, amps, caps, shaft, kept, count, rec, recorded):
    """Samples of ``count`` kept rows, as far as the record has room."""
    n = tally.recorded
    count = min(count, rec.shape[1] - n)
    for c in range(recorded.shape[0]):
        what = recorded[c]
        for t in range(count):
            rec[c, n + t] = sample(what, kept[t], machines, axes, devices, volts, amps, caps, shaft)
    tally.recorded = n + count


@merged
def move(rows, row, to, columns):
    """Row ``to`` of one array: what ``row`` is, of the first ``columns``."""
    for j in range(columns):
        rows[to, j] = rows[row, j]


@inner
def move_row(volts, amps, caps, emf, flux_values, shaft_values, row, to, columns):
    """Row ``to``: what ``row`` is; of the volts the first ``columns``."""
    move(volts, row, to, columns)
    move(amps, row, to, amps.shape[1])
    move(caps, row, to, caps.shape[1])
    move(emf, row, to, emf.shape[1])
    move(flux_values, row, to, flux_values.shape[1])
    move(shaft_values, row, to, shaft_values.shape[1])


@merged
def add_squares(cycle, amps, row):
    """Squares of the port amps into the present cycle's sums."""
    for j in range(amps.shape[1]):
        cycle[0, j] += amps[row, j] * amps[row, j]


@inner
def cycle_change(machines, shaft, cycle, p, row):
    """At a cycle's end: largest relative change since the last one of the ports' cycle-rms amps
    (floor: 1 mA or a thousandth of the largest) and of the shaft speeds (of synchronous)."""
    most, top = 0.0, 1.0 * lay.TICKS_PER_CYCLE
    for j in range(p):
        top = max(top, cycle[0, j])
    for j in range(p):
        now, last = math.sqrt(cycle[0, j]), math.sqrt(cycle[1, j])
        most = max(most, abs(now - last) / max(now, 1e-3 * math.sqrt(top)))
        cycle[1, j] = cycle[0, j]
        cycle[0, j] = 0.0
    for m in range(machines.shape[0]):
        speed = shaft[row, m].speed
        most = max(most, abs(speed - cycle[1, p + m]) / machines[m].sync)
        cycle[1, p + m] = speed
    return most
