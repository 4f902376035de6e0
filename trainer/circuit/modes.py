"""Natural modes of the resistive and capacitive part of a circuit, with every source dead.

Capacitors are ports of a resistive network: plate volts v drive i = -Y v, C dv/dt = i. With
Y = H^T G H (H: drops of all branches per plate volt, G: their conductances) the matrix
F = G^1/2 H C^-1/2 has singular values s whose squares are the decay rates, right vectors that
are the modes, and left vectors that say how much of each mode's power every branch takes. The
rates come from F and not from F^T F, by a Jacobi method that keeps small singular values of a
graded matrix, so a bleed of hours survives beside a milliohm loop.

Knows elements as resistances and capacitances; knows no machine speed and no frequency.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.linalg.lapack import dgejsv

from trainer.circuit.elements import LEAKAGE_S, Capacitive, Elements, Resistor
from trainer.circuit.network import (
    Branch,
    Equations,
    Taps,
    between,
    branches_of,
    dc_paths,
    leaks_of,
    rows_of_taps,
)

Array = NDArray[np.float64]
#: Decompositions kept: a few points of a few circuits, about 0.2 MB each.
KEPT_MOST = 32


class Decomposed(NamedTuple):
    """What numbers alone make of a table; shared, so its arrays cannot be written."""

    conductance: Array
    equations: Equations
    emf: Array
    w: Array
    share: Array
    roots: Array
    modes: Array
    rates: Array


@lru_cache(maxsize=KEPT_MOST)
def decomposed(
    taps: tuple[Taps, ...], ohms: tuple[float, ...], farads: tuple[float, ...], node_count: int
) -> Decomposed:
    """Modes of branches, the capacitors first. The arguments are all that it depends on."""
    conductance = np.array([1.0 / r for r in ohms])
    equations = Equations(rows_of_taps(taps, node_count), conductance)
    emf = np.zeros((len(ohms), len(farads)))
    emf[range(len(farads)), range(len(farads))] = -1.0
    w = equations.respond(emf)
    drops = equations.drops(w, emf)
    graded = np.sqrt(conductance)[:, None] * drops / np.sqrt(np.array(farads))
    share, roots, modes = graded_svd(graded)
    found = Decomposed(conductance, equations, emf, w, share, roots, modes, roots**2)
    for array in found:
        if isinstance(array, np.ndarray):
            array.setflags(write=False)
    return found


class RcModes:
    """Modes of one contact state. ``coils`` False leaves inductive branches and windings open.

    ``table`` lists the branches; ``rates`` are in 1/s, one per capacitor; ``share[j, k]`` is the
    part of mode k in branch j (columns of unit length).
    """

    def __init__(
        self,
        elements: Elements,
        closed: Mapping[str, bool] | None = None,
        extra: Sequence[Resistor] = (),
        *,
        coils: bool = True,
        ohms: Mapping[str, float] | None = None,
        leakage_s: float = LEAKAGE_S,
    ) -> None:
        found = branches_of(elements, closed, extra, ohms)
        self.capacitors = [b for b in found if _holds_charge(b)]
        paths = [b for b in dc_paths(found) if coils or b.kind not in ("inductive", "winding")]
        self.table = self.capacitors + paths + leaks_of(elements, leakage_s)
        self.node_count = len(elements.nodes)
        self.names = [b.name for b in self.capacitors]
        self.farads = np.array([_capacitive(b).farads for b in self.capacitors])
        self.start_v = np.array([_capacitive(b).volts for b in self.capacitors])
        self.index = {b.name: k for k, b in enumerate(self.table)}
        self._decompose()

    def _decompose(self) -> None:
        taps, ohms = tuple(b.taps for b in self.table), tuple(b.ohms for b in self.table)
        found = decomposed(taps, ohms, tuple(self.farads.tolist()), self.node_count)
        self.conductance, self.equations = found.conductance, found.equations
        self._emf, self._w = found.emf, found.w
        self.share, self.roots, self._modes = found.share, found.roots, found.modes
        self.rates = found.rates

    def amplitudes(self, volts: Array) -> Array:
        """Mode amplitudes of plate volts; half their squares sum to the stored energy [J^1/2]."""
        a: Array = self._modes.T @ (np.sqrt(self.farads) * volts)
        return a

    def plates(self, amplitudes: Array) -> Array:
        """Plate volts of mode amplitudes [V]."""
        v: Array = (self._modes @ amplitudes) / np.sqrt(self.farads)
        return v

    def watts_root(self, amplitudes: Array) -> Array:
        """Square root of power in every branch, with the sign of its current [W^1/2]."""
        root: Array = self.share @ (self.roots * amplitudes)
        return root

    def probe(self, a: int, b: int) -> Array:
        """Volts from node ``a`` to ``b`` per volt on each capacitor."""
        row: Array = self.equations.volts(between(a, b, self.node_count), self._w, self._emf)
        return row

    def at_once(self, a: int, b: int) -> float:
        """What is behind two nodes before any capacitor's volts have moved [ohm]."""
        row = between(a, b, self.node_count)
        return float(self.equations.volts(row, self.equations.inject(row))[0])

    def ramp(self, a: int, b: int) -> tuple[float, Array]:
        """Response of v(a,b) to 1 A driven in from rest: R0 and b^2 of each mode.

        v(t) = R0 + sum b_k^2 (1 - exp(-rate_k t)) / rate_k.  [ohm, 1/F]
        """
        at_once = self.at_once(a, b)
        per_root_farad = self._modes.T @ (self.probe(a, b) / np.sqrt(self.farads))
        return at_once, per_root_farad**2


def graded_svd(matrix: Array) -> tuple[Array, Array, Array]:
    """Singular values of D1 B D2 to high relative accuracy (B well conditioned): U, s, V.

    Preconditioned Jacobi: Drmac and Veselic, *New fast and accurate Jacobi SVD algorithm*,
    SIAM J. Matrix Anal. Appl. 2008 (from memory), as found in LAPACK.
    """
    rows, columns = matrix.shape
    if columns == 0:
        return np.zeros((rows, 0)), np.zeros(0), np.zeros((0, 0))
    s, u, v, work, _, info = dgejsv(matrix, joba=2, jobu=0, jobv=0, jobr=1, jobt=1, jobp=0)
    if info != 0:
        raise ValueError(f"the modes of the circuit were not found (code {info})")
    return u[:, :columns], s * (work[0] / work[1]), v


def _holds_charge(branch: Branch) -> bool:
    return isinstance(branch.item, Capacitive) and branch.item.farads > 0.0


def _capacitive(branch: Branch) -> Capacitive:
    assert isinstance(branch.item, Capacitive)
    return branch.item
