"""What one steady state holds: volts, amps, watts and machine results, each when asked for.

Made by ``PreparedPhasor.at`` and by nobody else. All volts and amps are complex rms phasors.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from trainer.circuit.elements import Capacitive, Inductive
from trainer.circuit.network import Branch, between
from trainer.motor.phasor import OperatingPoint, operating_point, torque_of

if TYPE_CHECKING:
    from trainer.circuit.phasor import PreparedPhasor

Complex = NDArray[Any]


@dataclass(frozen=True)
class Balance:
    """Power of the whole circuit [W]: what sources give against where it goes."""

    source_w: float
    dissipated_w: float
    shaft_w: float

    @property
    def gap_w(self) -> float:
        return self.source_w - self.dissipated_w - self.shaft_w

    @property
    def gap_ratio(self) -> float:
        """Gap over the largest of the three; 0 for a dead circuit."""
        size = max(abs(self.source_w), abs(self.dissipated_w), abs(self.shaft_w))
        return abs(self.gap_w) / size if size > 0.0 else 0.0


class PhasorSolution:
    """Every volt, amp and watt of one steady state; values are computed when asked for."""

    def __init__(
        self,
        prepared: PreparedPhasor,
        speeds: dict[str, float],
        blocks: Mapping[str, Complex],
        terminal_v: Complex,
        change_a: Complex,
    ) -> None:
        self.prepared, self.speeds, self.hz = prepared, speeds, prepared.hz
        self._blocks, self._terminal_v, self._change_a = blocks, terminal_v, change_a

    @cached_property
    def _w(self) -> Complex:
        w: Complex = self.prepared.w0 - self.prepared.w_port @ self._change_a
        return w

    @cached_property
    def _amps(self) -> Complex:
        p = self.prepared
        amps: Complex = p.admittance * p.equations.drops(self._w, p.emf)
        for k, machine in enumerate(p.machines):
            pair = self._blocks[machine.name][:2] @ self._terminal_v[2 * k : 2 * k + 2]
            amps[p.ports[2 * k : 2 * k + 2]] = pair
        return amps

    def volts(self, a: int, b: int = 0) -> complex:
        """Volts of node ``a`` above node ``b`` [V rms]."""
        p = self.prepared
        row = between(a, b, len(p.elements.nodes))
        return complex(p.equations.volts(row, self._w, p.emf))

    def impedance(self, a: int, b: int = 0) -> complex:
        """What a meter between two nodes sees, sources dead, machines at their speeds [ohm].

        By Thevenin the volts with R across them are V R / (R + Z).
        """
        p = self.prepared
        row = between(a, b, len(p.elements.nodes))
        w = p.equations.inject(row)[:, 0]
        change = p.change(self._blocks)
        seen = np.linalg.solve(np.eye(len(p.ports)) + p.z @ change, p.equations.coords[p.ports] @ w)
        return complex(p.equations.volts(row, w - p.w_port @ (change @ seen)))

    @cached_property
    def node_volts(self) -> Complex:
        """Volts of every node to chassis [V rms]."""
        return self.prepared.equations.node_volts(self._w, self.prepared.emf)

    def amps(self, name: str) -> complex:
        """Current through an element, or through ``machine.main`` or ``machine.aux`` [A rms]."""
        return complex(self._amps[self.prepared.index[name]])

    def power(self, name: str) -> float:
        """Heat in the resistance of a branch [W]; for a winding its copper."""
        k = self.prepared.index[name]
        branch = self.prepared.table[k]
        if branch.kind == "winding":
            return self._copper(branch)
        return float(abs(self._amps[k]) ** 2 * branch.ohms)

    def plates(self, name: str) -> complex:
        """Volts on the plates of a capacitor, without its series resistance [V rms]."""
        item = self.prepared.table[self.prepared.index[name]].item
        assert isinstance(item, Capacitive)
        charge = self.amps(name) / (2j * math.pi * self.hz)
        return charge / item.farads if item.farads > 0.0 else 0.0j

    @cached_property
    def machines(self) -> dict[str, OperatingPoint]:
        """Winding amps, torque and losses of every machine; iron loss is a part's resistor."""
        return {m.name: self._machine(k) for k, m in enumerate(self.prepared.machines)}

    def winding_amps(self, name: str) -> tuple[complex, complex, complex, complex]:
        """Currents of main, auxiliary, rotor main axis, rotor auxiliary axis [A rms]."""
        k = next(k for k, m in enumerate(self.prepared.machines) if m.name == name)
        amps = self._blocks[name] @ self._terminal_v[2 * k : 2 * k + 2]
        main, aux, rotor_q, rotor_d = (complex(i) for i in amps)
        return main, aux, rotor_q, rotor_d

    def torque(self, name: str) -> float:
        """Mean air-gap torque of a machine [N m]."""
        k = next(k for k, m in enumerate(self.prepared.machines) if m.name == name)
        amps = self._blocks[name] @ self._terminal_v[2 * k : 2 * k + 2]
        return float(torque_of(self.prepared.params[name], amps))

    @cached_property
    def source_va(self) -> dict[str, complex]:
        """Complex power given by each source: sum of emf times conjugate current [VA]."""
        given = {s.name: 0.0j for s in self.prepared.elements.sources}
        for k, b in enumerate(self.prepared.table):
            if isinstance(b.item, Inductive) and b.item.source >= 0:
                name = self.prepared.elements.sources[b.item.source].name
                given[name] += self.prepared.emf[k] * np.conj(self._amps[k])
        return given

    def balance(self) -> Balance:
        """Power given by the sources against heat and shaft work, each computed on its own."""
        named = [b for b in self.prepared.table if b.kind != "winding"]
        heat = math.fsum(self.power(b.name) for b in named)
        heat += sum(m.stator_copper_w + m.rotor_copper_w for m in self.machines.values())
        shaft = sum(m.converted_w for m in self.machines.values())
        return Balance(float(sum(self.source_va.values(), 0.0j).real), heat, shaft)

    def _machine(self, k: int) -> OperatingPoint:
        name = self.prepared.machines[k].name
        params = self.prepared.params[name]
        v_main, v_aux = self._terminal_v[2 * k : 2 * k + 2]
        speed, temps = self.speeds[name], self.prepared.temps.get(name)
        return operating_point(params, self.hz, speed, complex(v_main), complex(v_aux), temps)

    def _copper(self, branch: Branch) -> float:
        machine, _, side = branch.name.rpartition(".")
        point = self.machines[machine]
        return point.main_copper_w if side == "main" else point.aux_copper_w
