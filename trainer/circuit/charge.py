"""Stored charge: how capacitors discharge over seconds and hours once nothing feeds them.

Sources are dead, coils and windings are their resistance, contacts stand still; a body, a
discharge tool or a meter is an ``extra`` resistor. Exact sums of exponentials, so an hour costs
what a microsecond costs. Stored energy is dangerous: a computed decay never replaces proving
a capacitor discharged with a proved meter.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from trainer.circuit.elements import LEAKAGE_S, Elements, Resistor
from trainer.circuit.modes import RcModes

Array = NDArray[np.float64]

#: Instants per factor of ten in time when looking for the last crossing of a level.
GRID_PER_DECADE = 60


class Decay:
    """Decay from ``volts0`` (by capacitor; default the charge written in the elements)."""

    def __init__(
        self,
        elements: Elements,
        closed: Mapping[str, bool] | None = None,
        volts0: Mapping[str, float] | None = None,
        extra: Sequence[Resistor] = (),
        *,
        ohms: Mapping[str, float] | None = None,
        leakage_s: float = LEAKAGE_S,
    ) -> None:
        self.modes = RcModes(elements, closed, extra, ohms=ohms, leakage_s=leakage_s)
        self._start = plate_volts(self.modes, volts0)
        self._amplitudes = self.modes.amplitudes(self._start)

    def at(self, t_s: float) -> dict[str, float]:
        """Volts on the plates of every capacitor after ``t_s``."""
        return dict(zip(self.modes.names, self._plates(t_s).tolist(), strict=True))

    def volts_between(self, a: int, b: int, t_s: float) -> float:
        """Volts from node ``a`` to node ``b``."""
        return float(self.modes.probe(a, b) @ self._plates(t_s))

    def amps(self, element: str, t_s: float) -> float:
        """Current through any element or winding, from its first node to its second."""
        k = self.modes.index[element]
        root = self.modes.watts_root(self._faded(t_s))[k]
        return float(root * math.sqrt(self.modes.conductance[k]))

    def stored_j(self, t_s: float) -> float:
        """Energy left in all capacitors [J]: the sum of C v^2 / 2."""
        return 0.5 * float(np.sum(self._faded(t_s) ** 2))

    def energy_into(self, element: str, t0_s: float, t1_s: float) -> float:
        """Heat in the resistance of an element between two instants [J]; ``t1_s`` may be inf."""
        k = self.modes.index[element]
        parts = self.modes.share[k] * self.modes.roots * self._faded(t0_s)
        return float(parts @ overlap(self.modes.rates, t1_s - t0_s) @ parts)

    def time_until(self, capacitor: str, below_v: float) -> float:
        """When the plates of a capacitor go below a voltage, either sign, for good [s]."""
        k = self.modes.names.index(capacitor)

        def over(t: float) -> float:
            return abs(float(self._plates(t)[k])) - below_v

        times = self._grid()
        late = [n for n, t in enumerate(times) if over(t) >= 0.0]
        if not late:
            return 0.0
        if late[-1] == len(times) - 1:
            return math.inf
        return float(brentq(over, times[late[-1]], times[late[-1] + 1], xtol=1e-12, rtol=1e-12))

    def _grid(self) -> list[float]:
        """Instants from before the fastest mode to long after the slowest, and the beginning."""
        rates = self.modes.rates
        first, last = 1e-3 / rates.max(), 100.0 / rates.min()
        count = int(GRID_PER_DECADE * math.log10(last / first)) + 2
        return [0.0, *np.geomspace(first, last, count).tolist()]

    def _faded(self, t_s: float) -> Array:
        faded: Array = self._amplitudes * np.exp(-self.modes.rates * t_s)
        return faded

    def _plates(self, t_s: float) -> Array:
        return self._start if t_s == 0.0 else self.modes.plates(self._faded(t_s))


def plate_volts(modes: RcModes, volts0: Mapping[str, float] | None) -> Array:
    """Start volts in the order of the modes; a capacitor not named keeps the elements' own."""
    given = volts0 or {}
    return np.array([given.get(n, v) for n, v in zip(modes.names, modes.start_v, strict=True)])


def overlap(rates: Array, span_s: float) -> Array:
    """Integral over ``span_s`` of exp(-(rate_k + rate_l) t), for every pair of modes [s]."""
    total = rates[:, None] + rates[None, :]
    with np.errstate(divide="ignore", invalid="ignore"):
        integral = -np.expm1(-total * span_s) / total
    return np.where(total > 0.0, integral, span_s)
