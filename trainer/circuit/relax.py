"""Capacitor loops quicker than the step, resolved in closed form at a closing contact.

dvc/dt = -C^-1 Y vc with Y the port conductances of the capacitors (ESR included, inductive
ports open). Modes of C^-1/2 Y C^-1/2 with rate above 1/(FAST_STEPS h) go to zero at once:
charge balance. Their heat g sum_jk r_j r_k/(l_j + l_k) is booked to each resistance, and peak
amps and I2t to each contact that is closing. Knows arrays only.
"""

from __future__ import annotations

from typing import NamedTuple, cast

import numpy as np
from numpy.typing import NDArray
from scipy.linalg.lapack import dposv

from trainer.base.errors import TrainerError
from trainer.circuit import layout as lay

Array = NDArray[np.float64]

#: Energy below which a relaxation is not worth an account [J].
LEAST_J = 1e-6


class FastModes(NamedTuple):
    """Modes of c capacitors: volts across each resistor and contact (r, c) and across each
    capacitor with its ESR (c, c) per volt on the plates, rates (c,), vectors (c, c) in columns,
    square roots of the capacitances (c,), which modes are fast (c,)."""

    drops: Array
    across: Array
    rates: Array
    vectors: Array
    root: Array
    fast: NDArray[np.bool_]


def solve(g: Array, x: Array) -> Array:
    """g^-1 x by Cholesky: g is symmetric and positive definite, so nothing need be pivoted.

    Many matrices at once are solved as any are; that lets other threads go on.
    """
    if not x.size:
        return np.zeros((*g.shape[:-1], x.shape[-1]))
    if g.ndim > 2:
        return cast(Array, np.linalg.solve(g, x))
    _, found, info = dposv(g, x)
    if info != 0:
        raise TrainerError("this circuit has no solution", hint="report it with its file")
    solution: Array = found
    return solution


def fast_modes(core: lay.Core, network: lay.Network, g: Array) -> FastModes:
    """Modes of the capacitors in a network with nodal matrix ``g`` (no ports in it)."""
    first, count = int(core.sizes["inductives"]), int(core.sizes["capacitives"])
    mine, ports = slice(first, first + count), core.ports
    step_s = float(core.sizes["step_s"])
    return modes_of(network, mine, ports["ohms"][mine], ports["farads"][mine], g, step_s)


def modes_of(
    network: lay.Network, mine: slice, ohms: Array, farads: Array, g: Array, step_s: float
) -> FastModes:
    """Modes of the ports ``mine``; ``ohms``, ``farads`` and ``g`` may be of many circuits."""
    siemens, root = 1.0 / ohms, np.sqrt(farads)
    rows = network.incidence[:, mine]
    driven = rows * siemens[..., None, :]
    nodes = solve(g + driven @ rows.T, driven)
    across = rows.T @ nodes
    y = np.eye(rows.shape[1]) * siemens[..., None, :] - siemens[..., None] * across
    both = root[..., None] * root[..., None, :]
    rates, vectors = np.linalg.eigh(0.5 * (y + np.swapaxes(y, -1, -2)) / both)
    fast = rates * (lay.FAST_STEPS * step_s) > 1.0
    return FastModes(network.ends @ nodes, across, rates, vectors, root, fast)


def relax(
    core: lay.Core,
    network: lay.Network,
    found: FastModes,
    siemens: Array,
    closing: NDArray[np.bool_],
) -> bool:
    """Relax the fast modes of the last instant; ``siemens`` are those of the contacts.

    Returns whether there are none, whatever the charges.
    """
    caps = core.caps[lay.LAST_ROW]
    amplitudes = np.where(found.fast, found.vectors.T @ (found.root * caps), 0.0)
    energy = 0.5 * float(amplitudes @ amplitudes)
    if energy < LEAST_J:
        return not found.fast.any()
    core.tally["surge_j"] += energy
    parts = found.vectors / found.root[:, None] * amplitudes
    both = found.rates[:, None] + found.rates
    pairs = np.where(np.outer(found.fast, found.fast), 1.0, 0.0) / np.where(both > 0.0, both, 1.0)
    volts = found.drops @ parts  # of every resistor and contact in each mode
    squared = ((volts @ pairs) * volts).sum(axis=1)
    count = len(network.resistors)
    network.resistors["joules"] += network.resistors["siemens"] * squared[:count]
    joules = siemens * squared[count:]
    core.contacts["joules"] += joules
    core.contacts["peak_a"][closing] = np.abs(siemens * volts[count:].sum(axis=1))[closing]
    core.contacts["a2s"][closing] = (siemens * joules)[closing]
    first = int(core.sizes["inductives"])
    mine = slice(first, first + len(caps))
    own = found.across @ parts - parts
    core.ports["joules"][mine] += ((own @ pairs) * own).sum(axis=1) / core.ports["ohms"][mine]
    caps -= parts.sum(axis=1)
    return False
