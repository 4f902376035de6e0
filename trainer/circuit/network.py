"""Kirchhoff's equations of any circuit, written so that they keep their digits.

A circuit here is a list of branches (one row of node coefficients each) and an admittance for
every branch; conductances run from 5e3 S (a short link) to 1e-8 S (insulation). Plain nodal
equations lose the volts of a floating island under the rounding of its links. So the unknowns
are the drops of a *tree* of the strongest branches (a maximum-weight basis of the branch rows,
found greedily), and the equations are the cut-sets of that tree: every other branch is weaker
than the tree branches it bridges, so after scaling by the diagonal the matrix is well
conditioned whatever the range. Incidences are whole numbers, so strong branches cancel out of
the equations of an island exactly.

Knows elements; knows no machine equations, no frequency, no time and no instrument.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from copy import copy
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import lu_factor
from scipy.linalg.lapack import dgetrs, zgetrs

from trainer.circuit.elements import (
    LEAKAGE_S,
    LEAST_OHMS,
    Capacitive,
    Elements,
    Inductive,
    Machine,
    Resistor,
    Switch,
)
from trainer.circuit.tree import TINY, clean, strongest_tree

Array = NDArray[np.float64]
#: Real or complex, whichever the admittances are.
Volts = NDArray[Any]
Taps = tuple[tuple[int, float], ...]

#: An inductive branch with less counts as a link and has at least the resistance of one [H].
LEAST_HENRIES = 1e-8


@dataclass(frozen=True)
class Branch:
    """One path between nodes: ``ohms`` is its resistance, ``item`` the element behind it.

    ``kind``: resistor, switch, inductive, capacitive, winding or leak. The windings of a machine
    ``m`` are the branches ``m.main`` and ``m.aux``; the leak of a node is ``leak:<its name>``.
    """

    name: str
    kind: str
    taps: Taps
    ohms: float
    item: object = None
    part: str = ""


def branches_of(
    elements: Elements,
    closed: Mapping[str, bool] | None = None,
    extra: Sequence[Resistor] = (),
    ohms: Mapping[str, float] | None = None,
) -> list[Branch]:
    """Every branch in list order: resistors, extra, switches, inductives, capacitives, windings.

    ``closed`` and ``ohms`` (both by name) take the place of a switch's own state and of the
    resistance of a resistor, an inductive branch or a winding (``machine.main``).
    """
    found = [_resistor(r) for r in (*elements.resistors, *extra)]
    found += [_switch(s, (closed or {}).get(s.name, s.closed)) for s in elements.switches]
    found += [_inductive(x) for x in elements.inductives]
    found += [_capacitive(c) for c in elements.capacitives]
    for machine in elements.machines:
        found += windings_of(machine)
    return [_with_ohms(b, ohms) for b in found] if ohms else found


def leaks_of(elements: Elements, leakage_s: float = LEAKAGE_S) -> list[Branch]:
    """Insulation from every node but the chassis to the chassis."""
    pairs = list(enumerate(elements.nodes))[1:]
    return [Branch(f"leak:{n}", "leak", ((k, 1.0),), 1.0 / leakage_s) for k, n in pairs]


def windings_of(machine: Machine) -> list[Branch]:
    """Main and auxiliary winding of a machine as two branches with their copper."""
    p = machine.params
    return [
        Branch(f"{machine.name}.main", "winding", _pair(*machine.main), p.r_main, machine),
        Branch(f"{machine.name}.aux", "winding", _pair(*machine.aux), p.r_aux, machine),
    ]


def branch_again(branch: Branch, item: Resistor | Switch | Inductive | Capacitive) -> Branch:
    """A branch whose element has other numbers; a switch stands as it stood."""
    if isinstance(item, Switch):
        was = branch.item
        assert isinstance(was, Switch)
        return _switch(item, branch.ohms != was.open_ohms)
    if isinstance(item, Inductive):
        return _inductive(item)
    return _capacitive(item) if isinstance(item, Capacitive) else _resistor(item)


def dc_paths(branches: Iterable[Branch]) -> list[Branch]:
    """What steady direct current can take: no capacitors, transformers as separate windings."""
    paths: list[Branch] = []
    for b in branches:
        if b.kind == "inductive":
            paths += _copper(b)
        elif b.kind != "capacitive":
            paths.append(b)
    return paths


def _copper(b: Branch) -> list[Branch]:
    """The conducting winding of an inductive branch: its taps of coefficient +1 and -1.

    ``ohms`` is the copper between those; taps at another ratio couple by flux alone and pass
    no direct current (their copper, if any, is an element of its own).
    """
    plus = [n for n, c in b.taps if abs(c - 1.0) < TINY]
    minus = [n for n, c in b.taps if abs(c + 1.0) < TINY]
    paths = []
    for k, pair in enumerate(zip(plus, minus, strict=False)):
        name = b.name if k == 0 else f"{b.name}.{k + 1}"
        ohms = max(b.ohms, LEAST_OHMS)
        paths.append(Branch(name, b.kind, _pair(*pair), ohms, b.item, b.part))
    return paths


def rows_of(branches: Sequence[Branch], node_count: int) -> Array:
    """Coefficients of the branches over all nodes but the chassis, one row each."""
    return rows_of_taps([branch.taps for branch in branches], node_count)


def rows_of_taps(taps: Sequence[Taps], node_count: int) -> Array:
    """As ``rows_of``, from the taps alone."""
    rows = np.zeros((len(taps), node_count))
    for k, tapped in enumerate(taps):
        for node, coeff in tapped:
            rows[k, node] += coeff
    return np.ascontiguousarray(rows[:, 1:])


def between(a: int, b: int, node_count: int) -> Array:
    """Row that reads the volts from node ``a`` to node ``b``, or injects a current at ``a``."""
    row = np.zeros(node_count)
    row[a] += 1.0
    row[b] -= 1.0
    return row[1:]


class Equations:
    """Cut-set equations: sum over branches of rows^T * admittance * (rows v + emf) = injected.

    Admittances may be real or complex. A branch of zero admittance carries nothing but still
    has a drop, so it reads like a voltmeter. ``weight`` ranks branches for the tree when the
    admittance alone would not do (default: its magnitude).
    """

    def __init__(self, rows: Array, admittance: Volts, weight: Array | None = None) -> None:
        self.rows = rows
        self.admittance = admittance
        strength = np.abs(admittance) if weight is None else weight
        self.tree = strongest_tree(rows, strength)
        self.inverse = clean(np.asarray(np.linalg.inv(rows[self.tree]), float))
        self.coords = clean(rows @ self.inverse)
        self._factor(strength)

    def again(self, admittance: Volts) -> Equations:
        """The same branches with other admittances over the same tree, which need not be the
        strongest any more but is strong still."""
        other = copy(self)
        other.admittance = admittance
        other._factor(np.abs(admittance))
        return other

    def _factor(self, strength: Array) -> None:
        admittance = self.admittance
        matrix = (self.coords.T * admittance) @ self.coords
        self._scale = 1.0 / np.sqrt(strength @ (self.coords * self.coords))
        scaled = self._scale[:, None] * matrix * self._scale
        self._lu = lu_factor(scaled, check_finite=False)

    def respond(self, emf: Volts) -> Volts:
        """Tree unknowns w for branch emfs [V], one column per case."""
        pull = self.coords.T @ (self.admittance[:, None] * self.offsets(_columns(emf)))
        w = self._solve(-pull)
        return w[:, 0] if emf.ndim == 1 else w

    def respond_and_push(self, emf: Volts, coords: Volts) -> tuple[Volts, Volts]:
        """As ``respond`` for one case and ``push``, at the cost of one."""
        pull = self.coords.T @ (self.admittance * self.offsets(emf))
        both = self._solve(np.column_stack([-pull, coords.T]))
        return both[:, 0], both[:, 1:]

    def inject(self, node_rows: Volts) -> Volts:
        """Tree unknowns for 1 A entering as each row of ``node_rows`` says, one column each."""
        return self._solve((np.atleast_2d(node_rows) @ self.inverse).T)

    def push(self, coords: Volts) -> Volts:
        """Tree unknowns for 1 A entering across each row already in tree coordinates."""
        return self._solve(np.atleast_2d(coords).T)

    def offsets(self, emf: Volts) -> Volts:
        """Emf of every branch less what the emfs of the tree already put across it [V]."""
        left: Volts = emf - self.coords @ emf[self.tree]
        return left

    def drops(self, w: Volts, emf: Volts | None = None) -> Volts:
        """Volts across the impedance of every branch (node volts plus emf)."""
        across: Volts = self.coords @ w
        return across if emf is None else across + self.offsets(emf)

    def volts(self, row: Volts, w: Volts, emf: Volts | None = None) -> Volts:
        """Node volts combined by ``row`` (see ``between``)."""
        read: Volts = (row @ self.inverse) @ (w if emf is None else w - emf[self.tree])
        return read

    def node_volts(self, w: Volts, emf: Volts | None = None) -> Volts:
        """Volts of every node to chassis, the chassis first."""
        v = self.inverse @ (w if emf is None else w - emf[self.tree])
        return np.concatenate([np.zeros((1, *v.shape[1:]), dtype=v.dtype), v])

    def _solve(self, right: Volts) -> Volts:
        scale, (lu, pivots) = self._scale[:, None], self._lu
        if right.size == 0:
            return right
        whole = np.iscomplexobj(lu) or np.iscomplexobj(right)
        scaled, _ = (zgetrs if whole else dgetrs)(lu, pivots, scale * right)
        found: Volts = scale * scaled
        return found


def _columns(emf: Volts) -> Volts:
    return emf[:, None] if emf.ndim == 1 else emf


def _pair(a: int, b: int) -> Taps:
    return ((a, 1.0), (b, -1.0))


def _resistor(r: Resistor) -> Branch:
    return Branch(r.name, "resistor", _pair(r.a, r.b), max(r.ohms, LEAST_OHMS), r, r.part)


def _switch(s: Switch, closed: bool) -> Branch:
    ohms = max(s.closed_ohms, LEAST_OHMS) if closed else s.open_ohms
    return Branch(s.name, "switch", _pair(s.a, s.b), ohms, s, s.part)


def _inductive(x: Inductive) -> Branch:
    ohms = x.ohms if x.henries > LEAST_HENRIES else max(x.ohms, LEAST_OHMS)
    return Branch(x.name, "inductive", x.taps, ohms, x, x.part)


def _capacitive(c: Capacitive) -> Branch:
    return Branch(c.name, "capacitive", _pair(c.a, c.b), max(c.esr_ohms, LEAST_OHMS), c, c.part)


def _with_ohms(branch: Branch, ohms: Mapping[str, float]) -> Branch:
    value = ohms.get(branch.name, branch.ohms)
    return Branch(branch.name, branch.kind, branch.taps, value, branch.item, branch.part)
