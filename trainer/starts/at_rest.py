"""The circuit with every machine held at rest, for each set of contact positions it went through.

Says whether the supply reaches the compressor, whether it sees a short, and with what torque the
compressor would break away. A motor that coasts makes volts of its own, so the record of a start
cannot tell the first two. Knows phasors; must know no finding and no course of time.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations

import numpy as np

from trainer.circuit.elements import Elements, Machine
from trainer.circuit.phasor import prepare
from trainer.circuit.phasor_solution import PhasorSolution
from trainer.circuit.shape import changes
from trainer.motor.phasor import system
from trainer.starts import watching as w
from trainer.starts.thresholds import Thresholds
from trainer.study.build import Roles

#: Amps out of a leg below this are none [A rms].
NO_AMPS = 1e-3


class AtRest:
    """Solves each set of contact positions once; supplies count at their no-load emf.

    ``like``: the same of a circuit that differs in numbers only; what it solved is taken up.
    """

    def __init__(
        self, elements: Elements, roles: Roles, limits: Thresholds, like: AtRest | None = None
    ) -> None:
        self.elements, self.roles = elements, roles
        self.machine = w.compressor(elements, roles)
        self._least_v = limits.powered.value * roles.volts_rms
        self._least_ohms = self._short_ohms(limits)
        self._known: dict[frozenset[str], PhasorSolution] = {}
        self._like = like
        self._found = changes(like.elements, elements) if like else {}

    def solution(self, closed: Mapping[str, bool]) -> PhasorSolution:
        key = frozenset(name for name, shut in closed.items() if shut)
        if key not in self._known:
            if self._like is None:
                made = prepare(self.elements, closed)
            else:
                known = self._like.solution(closed).prepared
                made = known.with_numbers(self.elements, self._found)
            self._known[key] = made.at({})
        return self._known[key]

    def fed(self, closed: Mapping[str, bool]) -> bool:
        """Whether some two compressor terminals have a share of the line volts."""
        ends = [self.roles.at("compressor", t) for t in ("C", "S", "R")]
        nodes = [n for n in ends if n is not None]
        if len(nodes) < 2 or self._least_v <= 0.0:
            return False
        found = self.solution(closed)
        return any(abs(found.volts(a, b)) >= self._least_v for a, b in combinations(nodes, 2))

    def shorted(self, closed: Mapping[str, bool]) -> bool:
        """Whether a leg of the supply sees next to nothing, to the other leg or to neutral.

        To neutral half of the leg-to-leg ohms count, as half of the load would show there.
        """
        found = self.solution(closed)
        one, two = self.roles.legs
        neutral = self.roles.neutral
        for leg, branch in zip((one, two), w.line_names(self.elements, self.roles), strict=False):
            amps = abs(found.amps(branch))
            if amps < NO_AMPS:
                continue
            ohms = [abs(found.volts(one, two)) / amps]
            if neutral is not None and neutral not in self.roles.legs:
                ohms.append(2.0 * abs(found.volts(leg, neutral)) / amps)
            if min(ohms) < self._least_ohms:
                return True
        return False

    def torque_nm(self, closed: Mapping[str, bool]) -> float | None:
        """Mean torque of the compressor [N m]; None behind a soft starter's late firing."""
        if self.machine is None or self.roles.part("soft_starter") is not None:
            return None
        return self.solution(closed).torque(self.machine.name)

    def _short_ohms(self, limits: Thresholds) -> float:
        if self.machine is None:
            return limits.short_ohms.value
        return locked_ohms(self.machine, self.roles.hz) / limits.short_circuit.value


def locked_ohms(machine: Machine, hz: float) -> float:
    """Impedance of the main winding at rest, the auxiliary open [ohm]."""
    held = system(machine.params, hz, 0.0)
    keep = [0, 2, 3]
    return float(1.0 / abs(np.linalg.inv(held[np.ix_(keep, keep)])[0, 0]))
