"""Capacitor loops too fast to step through, in closed form.

A screwdriver across a capacitor, or two capacitors paralleled through a contact, settle in
microseconds. Modes of the resistive and capacitive network faster than a limit relax at once:
charge is shared, and the energy that vanishes, C1 C2 / (2 (C1 + C2)) dV^2 for two capacitors,
is booked to the resistances of the loop. Coils are open: their current cannot change so fast.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trainer.circuit.charge import overlap, plate_volts
from trainer.circuit.elements import Elements
from trainer.circuit.modes import RcModes

Array = NDArray[np.float64]

#: Instants at which the surge is looked at for its peak, over all fast modes.
PEAK_INSTANTS = 240


@dataclass(frozen=True)
class FastLoops:
    """What the fast modes did: plate volts after, and in each resistance and switch.

    ``heat_j`` is by branch (a capacitor's own is its series resistance, ``leak:node`` is
    insulation); its sum is the energy lost. ``peak_a`` and ``a2s`` are the surge in each
    switch: largest amps, and the integral of amps squared.
    """

    volts_after: dict[str, float]
    heat_j: dict[str, float]
    peak_a: dict[str, float]
    a2s: dict[str, float]


def fast_loops(
    elements: Elements,
    closed: Mapping[str, bool] | None,
    volts0: Mapping[str, float] | None,
    tau_limit_s: float,
) -> FastLoops:
    """Relax every mode with a time constant under ``tau_limit_s``; the rest is left as it is."""
    modes = RcModes(elements, closed, coils=False)
    before = plate_volts(modes, volts0)
    fast = modes.rates * tau_limit_s > 1.0
    if not fast.any():
        return FastLoops(dict(zip(modes.names, before.tolist(), strict=True)), {}, {}, {})
    surge = np.where(fast, modes.amplitudes(before), 0.0)
    after = before - modes.plates(surge)
    parts = modes.share * (modes.roots * surge)
    heat = np.einsum("jk,kl,jl->j", parts, overlap(modes.rates, np.inf), parts)
    peak = _peaks(modes, parts[:, fast], modes.rates[fast])
    booked = {b.name: float(heat[k]) for k, b in enumerate(modes.table)}
    switches = [k for k, b in enumerate(modes.table) if b.kind == "switch"]
    name = {k: modes.table[k].name for k in switches}
    return FastLoops(
        dict(zip(modes.names, after.tolist(), strict=True)),
        booked,
        {name[k]: float(peak[k]) for k in switches},
        {name[k]: float(heat[k] * modes.conductance[k]) for k in switches},
    )


def _peaks(modes: RcModes, parts: Array, rates: Array) -> Array:
    """Largest current of every branch over the surge [A]."""
    spread = np.geomspace(1e-3 / rates.max(), 10.0 / rates.min(), PEAK_INSTANTS)
    times = np.concatenate([[0.0], spread])
    roots = np.abs(parts @ np.exp(-np.outer(rates, times)))
    largest: Array = roots.max(axis=1) * np.sqrt(modes.conductance)
    return largest
