"""Compiled: after a change of contacts, from within one step to the end of the next.

A trapezoidal step would ring on a chopped current, so backward-Euler half-steps lead away from
the change, and the step grid is regained by interpolating between them. Knows the rows of a
stretch; the half-steps themselves are kernel_step's.
"""

from __future__ import annotations

import math

from trainer.circuit import layout as lay
from trainer.circuit.kernel_options import inner, sharing, spelled


@inner
def blend(rows, a, b, share, to):
    """Row ``to`` of one array: ``share`` of the way from row a to row b."""
    for j in range(rows.shape[1]):
        rows[to, j] = rows[a, j] + share * (rows[b, j] - rows[a, j])


@inner
def between(volts, amps, caps, emf, flux_values, shaft_values, a, b, share, to):
    """Row ``to``: the instant ``share`` of the way from row a to row b (0: row a itself)."""
    blend(volts, a, b, share, to)
    blend(amps, a, b, share, to)
    blend(caps, a, b, share, to)
    blend(emf, a, b, share, to)
    blend(flux_values, a, b, share, to)
    blend(shaft_values, a, b, share, to)


@inner
def slope(rows, j, place, count):
    """Change of column j in half a step at ``place``, between the middles of half-steps around it.

    ``count`` half-steps were made; the middles of the last two straddle ``place``.
    """
    mid = count - 1
    first, second = rows[mid, j] - rows[mid - 1, j], rows[mid + 1, j] - rows[mid, j]
    return first + (place - (mid - 0.5)) * (second - first)


@spelled
def regain_slopes(sizes, ports, axes, volts, amps, caps, emf, flux, flux_values, row, place, count):
    """Volts of coils and windings and amps of capacitors in ``row``, ``place`` half-steps on.

    They follow from slopes, which belong to the middles of the half-steps; taken anywhere else
    they leave a zigzag where nothing damps it.
    """
    per_s, n_l = 2.0 / sizes.step_s, sizes.inductives
    for j in range(n_l):
        port = ports[j]
        coil = per_s * port.henries * slope(amps, j, place, count)
        volts[row, j] = port.ohms * amps[row, j] + coil
        if port.source >= 0:
            volts[row, j] -= port.scale * emf[row, port.source]
    for c in range(sizes.capacitives):
        j = n_l + c
        port = ports[j]
        amps[row, j] = per_s * port.farads * slope(caps, c, place, count)
        volts[row, j] = caps[row, c] + port.ohms * amps[row, j]
    for w in range(2 * sizes.machines):
        j = n_l + sizes.capacitives + w
        coil = per_s * slope(flux_values, w * lay.FLUX_WIDTH, place, count)
        volts[row, j] = axes[w].ohms * amps[row, j] + coil


@spelled
def previous_speed_volts(sizes, axes, flux, shaft, a, row):
    """Speed volts one and two steps back along their slope from row a to the next."""
    for m in range(sizes.machines):
        for x in range(2):
            turns, new, y = axes[2 * m + x].turns, flux[row, 2 * m + x], 2 * m + 1 - x
            first = shaft[a, m].speed * flux[a, y].rotor
            last = shaft[a + 1, m].speed * flux[a + 1, y].rotor
            now, change = shaft[row, m].speed * flux[row, y].rotor, last - first
            new.speed_v = turns * (now - 2.0 * change)
            new.speed_v2 = turns * (now - 4.0 * change)


@sharing
def regain_grid(
    sizes, ports, axes, volts, amps, caps, emf, flux, shaft, flux_values, shaft_values, late,
    place, count,
):  # fmt: skip
    """The rows after ``count`` half-steps: the beginning of the step and its end.

    The beginning, ``late`` steps after row 0, is for what looks across it: another contact's
    zero. The end is ``place`` half-steps after row 0.
    """
    low = int(math.floor(2.0 * late))
    between(
        volts, amps, caps, emf, flux_values, shaft_values, low, low + 1, 2.0 * late - low, count + 1
    )
    low = min(int(math.floor(place)), count - 1)
    row = count + 2
    between(volts, amps, caps, emf, flux_values, shaft_values, low, low + 1, place - low, row)
    regain_slopes(sizes, ports, axes, volts, amps, caps, emf, flux, flux_values, row, place, count)
    previous_speed_volts(sizes, axes, flux, shaft, low, row)
