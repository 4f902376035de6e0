"""Where an instrument meets a unit: its circuit, the state it is in, and points on it.

Live volts are the steady solution that holds with shafts at their present speed; the direct
volts are what capacitors hold beside it. Knows units and analyses; must know no instrument's
display.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from trainer.circuit.charge import Decay
from trainer.circuit.dead import Dead
from trainer.circuit.elements import CHASSIS, Elements, Resistor
from trainer.circuit.instant import plates_at
from trainer.circuit.measure import Left, steady
from trainer.circuit.phasor_solution import PhasorSolution
from trainer.circuit.state import CircuitState
from trainer.unit.circuit import Nodes, elements_of
from trainer.unit.state import Unit
from trainer.unit.world import mean_speeds

#: Direct volts far below the last place of any display: rounding of an uncharged circuit.
NOTHING_V = 1e-6
#: Meetings kept: a lead that is lifted is read and landed again.
LAST_MOST = 4
_LAST: list[Meeting] = []


@dataclass(frozen=True)
class Meeting:
    """A circuit in a state; readings load it and leave it as it was."""

    elements: Elements
    nodes: Nodes
    state: CircuitState
    #: Cycles repeat, so shafts have a mean speed about which they swing.
    settled: bool = False

    @cached_property
    def speeds(self) -> dict[str, float]:
        """Mean speed of every shaft [rad/s]; the state's own is that of one instant."""
        return mean_speeds(self.elements, self.state, self.settled)

    def has(self, place: str) -> bool:
        return place in self.nodes

    def at(self, place: str) -> int:
        return self.nodes.at(place)

    @cached_property
    def left(self) -> Left:
        """The state as the measuring analyses take it, with trapped volts apart from live ones."""
        return replace(self._fed, charge_v=self._trapped())

    @cached_property
    def _fed(self) -> Left:
        """The state without any charge: all that live volts come from."""
        s = self.state
        emf = {
            source.name: cmath.rect(peak / math.sqrt(2.0), source.phase_rad)
            for source, peak in zip(self.elements.sources, s.source_peak, strict=False)
        }
        temps = {name: (m.main_c, m.aux_c) for name, m in s.machines.items()}
        return Left(s.closed, self.speeds, None, temps, s.resistor_ohms, emf)

    def _trapped(self) -> dict[str, float]:
        """Volts on every capacitor beside its alternating ones."""
        now = self.state.capacitor_v
        held = {c.name: now.get(c.name, c.volts) for c in self.elements.capacitives}
        turns = self.state.source_turns
        if not turns or not self.elements.sources:
            return held
        turn = 2.0 * math.pi * turns[0] - self.elements.sources[0].phase_rad
        complete = all(m.name in self.state.machines for m in self.elements.machines)
        if not complete:
            return held
        live = plates_at(self.bare[0], turn)
        return {name: volts - live.get(name, 0.0) for name, volts in held.items()}

    def solutions(self, extra: tuple[Resistor, ...] = ()) -> list[PhasorSolution]:
        return steady(self.elements, self.left, extra)

    @cached_property
    def bare(self) -> list[PhasorSolution]:
        """The steady state with nothing added."""
        return steady(self.elements, self._fed)

    def no_more_than(self, a: int, b: int) -> float:
        """Volts that nothing laid on two nodes can meet more of [V].

        What is behind them is passive at its frequency, so a load only lowers the alternating
        volts, and resistances pass on no more of a capacitor's volts than it has.
        """
        live = math.hypot(*(abs(s.volts(a, b)) for s in self.bare))
        return live + self.charge

    @cached_property
    def charge(self) -> float:
        """The sum of all direct volts on capacitors, whatever their sign [V]."""
        return sum(map(abs, (self.left.charge_v or {}).values()))

    def volts_ac(self, a: int, b: int, load_ohms: float) -> float:
        """rms volts between two nodes with an instrument's own resistance across them [V].

        V R / (R + Z) at every source frequency (Thevenin).
        """
        if a == b:
            return 0.0
        shares = [s.volts(a, b) * load_ohms / (load_ohms + s.impedance(a, b)) for s in self.bare]
        return math.hypot(*(abs(volts) for volts in shares))

    def volts_dc(self, a: int, b: int, load_ohms: float) -> float:
        """Direct volts from ``a`` to ``b`` as the instrument touches [V].

        V R / (R + R0) of the charge as it stands (Thevenin): capacitors hold their volts at first.
        """
        if a == b or self.charge < NOTHING_V:
            return 0.0
        held = self.held
        behind = held.modes.at_once(a, b)
        return held.volts_between(a, b, 0.0) * load_ohms / (load_ohms + behind)

    @cached_property
    def held(self) -> Decay:
        """The trapped charge with nothing added."""
        return self.decay()

    def decay(self, extra: Sequence[Resistor] = ()) -> Decay:
        """How the trapped charge goes with something added."""
        charge = self.left.charge_v
        return Decay(self.elements, self.left.closed, charge, extra, ohms=self.left.ohms)

    def dead(self, a: int, b: int, load_ohms: float) -> Dead:
        """The circuit as a reading on a dead one meets it; live volts spoil that."""
        live = self.volts_ac(a, b, load_ohms)
        left = self.left
        return Dead(
            self.elements, left.closed, left.charge_v, live, temps=left.temps, ohms=left.ohms
        )

    def to_earth(self, a: int) -> float:
        """rms volts of a node to the chassis, nothing added [V]."""
        return math.hypot(*(abs(s.volts(a, CHASSIS)) for s in self.bare))

    def amps(self, signed: Sequence[tuple[str, float]]) -> float:
        """rms of the sum of currents through elements, each with its sign [A]."""
        sums = [sum(sign * s.amps(name) for name, sign in signed) for s in self.bare]
        return math.hypot(*(abs(total) for total in sums))


def meet(unit: Unit) -> Meeting:
    """Where instruments meet a unit as it is; several readings of one instant share the work."""
    elements, nodes = elements_of(unit)
    for last in _LAST:
        same = last.elements is elements and last.state is unit.electrics
        if same and last.settled == unit.settled:
            return last
    made = Meeting(elements, nodes, unit.electrics, unit.settled)
    _LAST.append(made)
    del _LAST[:-LAST_MOST]
    return made
