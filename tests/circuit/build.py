"""Tiny builders for circuits in tests: nodes by name, one line an element. Invented values."""

from __future__ import annotations

import math

from trainer.circuit.elements import (
    Capacitive,
    Elements,
    Inductive,
    Machine,
    Source,
    Switch,
)
from trainer.motor.params import LoadParams, MotorParams

#: Compressor-size two-pole machine, 230 V 60 Hz: Fitzgerald, Kingsley, Umans, *Electric
#: Machinery* 6th ed., Example 9.5, in stationary-frame form with the rotor leakage in the stator.
FITZGERALD_9_5 = MotorParams(
    r_main=0.58,
    l_main=2.653 / (120.0 * math.pi),
    r_aux=3.37,
    l_aux=7.614 / (120.0 * math.pi),
    r_rotor=0.5885,
    l_rotor=0.0,
    l_mutual=27.73 / (120.0 * math.pi),
    ratio=1.5459,
    pole_pairs=1,
    inertia_kg_m2=0.00197,
)


class Bench:
    """An ``Elements`` being laid out; every method takes node names ("chassis" is node 0)."""

    def __init__(self) -> None:
        self.elements = Elements()

    def node(self, name: str) -> int:
        return self.elements.node(name)

    def r(self, name: str, a: str, b: str, ohms: float) -> Bench:
        self.elements.resistor(name, self.node(a), self.node(b), ohms)
        return self

    def s(self, name: str, a: str, b: str, closed: bool = True, ohms: float = 1e-3) -> Bench:
        self.elements.add(Switch(name, self.node(a), self.node(b), closed, closed_ohms=ohms))
        return self

    def c(
        self, name: str, a: str, b: str, farads: float, esr: float = 0.1, volts: float = 0.0
    ) -> Bench:
        self.elements.add(Capacitive(name, self.node(a), self.node(b), farads, esr, volts))
        return self

    def l(self, name: str, a: str, b: str, ohms: float, henries: float) -> Bench:  # noqa: E743
        taps = ((self.node(a), 1.0), (self.node(b), -1.0))
        self.elements.add(Inductive(name, taps, ohms, henries))
        return self

    def transformer(
        self, name: str, h1: str, h2: str, x1: str, x2: str, turns: float, ohms: float = 0.5
    ) -> Bench:
        """Ideal transformer behind its impedance (seen at H): X1-X2 has volts of H1-H2 / turns."""
        ends = (self.node(h1), self.node(h2), self.node(x1), self.node(x2))
        taps = tuple(zip(ends, (1.0, -1.0, -turns, turns), strict=True))
        self.elements.add(Inductive(name, taps, ohms, 2e-3))
        return self

    def line(
        self,
        name: str,
        plus: str,
        minus: str,
        volts_rms: float,
        hz: float = 60.0,
        phase_rad: float = 0.0,
        ohms: float = 0.02,
        henries: float = 50e-6,
    ) -> Bench:
        """A supply that lifts ``plus`` above ``minus`` behind its own impedance."""
        k = self.elements.source(Source(name, volts_rms * math.sqrt(2.0), hz, phase_rad))
        taps = ((self.node(minus), 1.0), (self.node(plus), -1.0))
        self.elements.add(Inductive(f"{name}.z", taps, ohms, henries, source=k))
        return self

    def machine(
        self,
        name: str,
        common: str,
        start: str,
        run: str,
        params: MotorParams = FITZGERALD_9_5,
        load: LoadParams | None = None,
    ) -> Bench:
        """Main winding from run to common, auxiliary from start to common."""
        c, s, r = self.node(common), self.node(start), self.node(run)
        self.elements.add(Machine(name, (r, c), (s, c), params, load or LoadParams()))
        return self
