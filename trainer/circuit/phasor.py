"""Steady state at one frequency: volts and amps as complex rms phasors.

A source ``volts_peak * sin(2 pi hz t + phase)`` is the phasor ``volts_peak/sqrt(2) * e^(j phase)``,
so an instantaneous value is ``sqrt(2) * Im(phasor * e^(j 2 pi hz t))``. Contacts stand still, iron
is linear, machines turn at the speeds given (see ``equilibrium`` for finding them). Sources of
another frequency are silent: solve once for each of ``frequencies`` and add the squares.

``prepare`` reduces a contact state once to the terminals of its machines; ``PreparedPhasor.at``
then costs one small solve for each new set of speeds, and everything else on demand.
Knows elements and the machine's admittance; knows no time, no device and no instrument.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from copy import copy
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from trainer.circuit.elements import Capacitive, Elements, Inductive, Resistor
from trainer.circuit.network import (
    Branch,
    Equations,
    branch_again,
    branches_of,
    leaks_of,
    rows_of,
)
from trainer.circuit.phasor_solution import PhasorSolution
from trainer.circuit.shape import Changes
from trainer.motor.phasor import system, torque_of

Array = NDArray[np.float64]
Complex = NDArray[Any]
Speeds = Mapping[str, float]
Temps = Mapping[str, tuple[float, float]]

#: Used when no source says otherwise; nothing moves then. [Hz]
IDLE_HZ = 60.0


def frequencies(elements: Elements) -> tuple[float, ...]:
    """Frequencies of the sources that some branch uses, lowest first [Hz]."""
    used = {x.source for x in elements.inductives if x.source >= 0}
    return tuple(sorted({elements.sources[k].hz for k in used}))


def prepare(
    elements: Elements,
    closed: Mapping[str, bool] | None = None,
    hz: float | None = None,
    *,
    extra: Sequence[Resistor] = (),
    ohms: Mapping[str, float] | None = None,
    emf: Mapping[str, complex] | None = None,
    temps: Temps | None = None,
) -> PreparedPhasor:
    """Reduce one contact state. ``hz`` given: every source runs at it (a generator slowing).

    ``hz`` None: the lowest source frequency, other sources silent. ``ohms`` replaces resistances
    by name, ``emf`` the rms phasor of a source by name, ``temps`` winding temperatures
    (main, aux) [deg C] by machine.
    """
    found = frequencies(elements)
    at = hz if hz is not None else (found[0] if found else IDLE_HZ)
    table = branches_of(elements, closed, extra, ohms) + leaks_of(elements)
    count = range(len(elements.sources))
    phasors = [_source_phasor(elements, k, at, hz is not None, emf) for k in count]
    return PreparedPhasor(elements, table, at, phasors, dict(temps or {}))


#: Contact states reduced lately: (elements, what they were reduced with, the result).
_RECENT: list[tuple[Elements, tuple[object, ...], PreparedPhasor]] = []
RECENT_MOST = 12
#: Solutions kept by a reduction: a machine at rest is asked for both ways, over and over.
SOLVED_MOST = 4


def prepared_again(
    elements: Elements,
    closed: Mapping[str, bool],
    hz: float | None,
    *,
    ohms: Mapping[str, float],
    emf: Mapping[str, complex],
    temps: Temps,
) -> PreparedPhasor:
    """As ``prepare``, quick when the same elements stood like this a moment ago.

    Winding temperatures enter after the reduction, so they may differ. The elements must not
    have been changed in between.
    """
    key = (tuple(closed.items()), hz, tuple(ohms.items()), tuple(emf.items()))
    for known, how, reduced in _RECENT:
        if known is elements and how == key:
            return reduced.at_temperatures(temps)
    made = prepare(elements, closed, hz, ohms=ohms, emf=emf, temps=temps)
    _RECENT.append((elements, key, made))
    del _RECENT[:-RECENT_MOST]
    return made


def solve(
    elements: Elements,
    closed: Mapping[str, bool] | None = None,
    speeds: Speeds | None = None,
    hz: float | None = None,
    extra: Sequence[Resistor] = (),
) -> PhasorSolution:
    """One steady state; a machine without a speed stands still."""
    return prepare(elements, closed, hz, extra=extra).at(speeds or {})


class PreparedPhasor:
    """A contact state reduced to its machine terminals, with the windings at standstill stamped.

    Speeds then change the windings by dY only: V = V0 - Z dY V at the terminals, which stays
    well conditioned for floating, open or series windings.
    """

    def __init__(
        self,
        elements: Elements,
        table: list[Branch],
        hz: float,
        source_phasors: Sequence[complex],
        temps: dict[str, tuple[float, float]],
    ) -> None:
        self.elements, self.table, self.hz, self.temps = elements, table, hz, temps
        #: Solutions lately asked for, by the speeds as bytes: -0.0 is another than 0.0.
        self._solved: dict[bytes, PhasorSolution] = {}
        self.machines = list(elements.machines)
        self.params = {m.name: replace(m.params, core_ohms=0.0) for m in self.machines}
        self.index = {b.name: k for k, b in enumerate(table)}
        self.emf = np.array([_branch_emf(b, source_phasors) for b in table])
        self.ports = [k for k, b in enumerate(table) if b.kind == "winding"]
        self.admittance = np.array([_admittance(b, hz) for b in table], dtype=complex)
        #: Windings at standstill: asked for again with every change of numbers.
        self._still = {m.name: self.winding(m.name, 0.0) for m in self.machines}
        self.admittance[self.ports] = self._block(self._still).diagonal()
        rows = rows_of(table, len(elements.nodes))
        self.equations = Equations(rows, self.admittance)
        self._reduce()

    def _reduce(self) -> None:
        """Terminal volts with the windings as stamped, and what a terminal current changes."""
        eq = self.equations
        self.w0, self.w_port = eq.respond_and_push(self.emf, eq.coords[self.ports])
        self.v0 = eq.drops(self.w0, self.emf)[self.ports]
        self.z = eq.coords[self.ports] @ self.w_port
        self._one = np.eye(len(self.ports))
        self._diagonal = np.diag_indices(len(self.ports))
        self._stamped = self.admittance[self.ports]

    def at_temperatures(self, temps: Temps) -> PreparedPhasor:
        """The same reduction with windings as warm as this."""
        if temps == self.temps:
            return self
        other = copy(self)
        other.temps, other._solved = dict(temps), {}
        other._still = {m.name: other.winding(m.name, 0.0) for m in self.machines}
        return other

    def with_numbers(self, elements: Elements, found: Changes) -> PreparedPhasor:
        """The same contact state of a circuit of the same shape with other numbers.

        ``found`` is where it differs (shape.changes). A fifth of the work: the tree is kept.
        Machines must be the same but for their loads.
        """
        other = copy(self)
        other.elements = elements
        if set(found) <= {"machines", "devices"}:
            return other
        other._solved, other.table = {}, list(self.table)
        other.admittance, first = self.admittance.copy(), 0
        for kind in ("resistors", "switches", "inductives", "capacitives"):
            for n in found.get(kind, ()):
                k = first + n
                branch = branch_again(self.table[k], getattr(elements, kind)[n])
                other.table[k], other.admittance[k] = branch, _admittance(branch, self.hz)
            first += len(getattr(elements, kind))
        if "sources" in found or "inductives" in found:
            count = range(len(elements.sources))
            phasors = [_source_phasor(elements, k, self.hz, False, None) for k in count]
            other.emf = np.array([_branch_emf(b, phasors) for b in other.table])
        other.equations = self.equations.again(other.admittance)
        other._reduce()
        return other

    def winding(self, name: str, speed_rad_s: ArrayLike) -> Complex:
        """Currents (main, aux, rotor q, rotor d) of a machine per volt on main and on aux [S].

        The first two rows are the admittance of its windings. ``speed_rad_s`` may be an array.
        """
        held = system(self.params[name], self.hz, speed_rad_s, self.temps.get(name))
        inverse: Complex = np.linalg.inv(held)
        return inverse[..., :, :2]

    def at(self, speeds: Speeds) -> PhasorSolution:
        """The circuit with its machines held at ``speeds`` [rad/s]; a missing one stands still."""
        held = {m.name: float(speeds.get(m.name, 0.0)) for m in self.machines}
        key = np.array(list(held.values())).tobytes()
        if key not in self._solved:
            if len(self._solved) >= SOLVED_MOST:
                self._solved.pop(next(iter(self._solved)), None)
            self._solved[key] = self._solve_at(held)
        return self._solved[key]

    def _solve_at(self, held: dict[str, float]) -> PhasorSolution:
        blocks = {
            name: self._still[name] if str(speed) == "0.0" else self.winding(name, speed)
            for name, speed in held.items()
        }
        change = self.change(blocks)
        v = np.linalg.solve(self._one + self.z @ change, self.v0)
        return PhasorSolution(self, held, blocks, v, change @ v)

    def change(self, blocks: Mapping[str, Complex]) -> Complex:
        """Admittance of the windings beyond what is stamped for standstill [S]."""
        change = self._block(blocks)
        change[self._diagonal] -= self._stamped
        return change

    def torque_curve(self, name: str, speeds_rad_s: Array, others: Speeds) -> Array:
        """Mean torque of one machine at many speeds, the others held [N m]."""
        k = next(k for k, m in enumerate(self.machines) if m.name == name)
        own = slice(2 * k, 2 * k + 2)
        blocks = {m.name: self.winding(m.name, others.get(m.name, 0.0)) for m in self.machines}
        swept = self.winding(name, speeds_rad_s)
        change = np.tile(self._block(blocks), (len(speeds_rad_s), 1, 1))
        change[:, own, own] = swept[:, :2, :]
        change[:, self._diagonal[0], self._diagonal[1]] -= self._stamped
        right = np.tile(self.v0[:, None], (len(speeds_rad_s), 1, 1))
        v = np.linalg.solve(self._one + self.z @ change, right)[:, own, 0]
        return torque_of(self.params[name], np.einsum("sij,sj->si", swept, v))

    def _block(self, blocks: Mapping[str, Complex]) -> Complex:
        whole = np.zeros((len(self.ports), len(self.ports)), dtype=complex)
        for k, machine in enumerate(self.machines):
            whole[2 * k : 2 * k + 2, 2 * k : 2 * k + 2] = blocks[machine.name][:2]
        return whole


def _source_phasor(
    elements: Elements, k: int, hz: float, forced: bool, emf: Mapping[str, complex] | None
) -> complex:
    source = elements.sources[k]
    if emf and source.name in emf:
        return complex(emf[source.name])
    if not forced and source.hz != hz:
        return 0.0j
    angle = complex(math.cos(source.phase_rad), math.sin(source.phase_rad))
    return source.volts_peak / math.sqrt(2.0) * angle


def _branch_emf(branch: Branch, source_phasors: Sequence[complex]) -> complex:
    item = branch.item
    if not isinstance(item, Inductive) or item.source < 0:
        return 0.0j
    return item.source_scale * source_phasors[item.source]


def _admittance(branch: Branch, hz: float) -> complex:
    """Admittance of a branch at a frequency [S]; windings are stamped by their machine."""
    w, item = 2.0 * math.pi * hz, branch.item
    if isinstance(item, Inductive):
        return 1.0 / (branch.ohms + 1j * w * item.henries)
    if isinstance(item, Capacitive):
        return 1j * w * item.farads / (1.0 + 1j * w * item.farads * branch.ohms)
    return 1.0 / branch.ohms
