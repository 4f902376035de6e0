"""What devices and channels look at, and in which column of the solver's readings it stands.

A place is named by kind and number first; its column is known once everything to be observed
is (``settle``). Recorded places come before those that only devices look at, since the kernel
computes the latter only when they look. Knows elements and columns, no physics.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal, NamedTuple

import numpy as np

from trainer.base.errors import TrainerError
from trainer.circuit import layout as lay
from trainer.circuit.elements import Elements, Sense


class Place(NamedTuple):
    """Amps of a port or contact, a probe (volts, or amps of a resistor), or a sum of amps."""

    kind: Literal["port", "contact", "probe", "sum"]
    number: int


def padded(count: int) -> int:
    """The next multiple of the kernel's lanes."""
    return -(-count // lay.LANES) * lay.LANES


@dataclass
class Probes:
    """Everything observed in one circuit, gathered while its devices and channels are laid.

    ``seen`` and ``wide`` count the columns of volts that a sample and a look need.
    """

    elements: Elements
    ports: dict[str, int]
    seen: int = 0
    wide: int = 0
    _probes: list[tuple[int, int, int]] = field(default_factory=list)  # nodes, resistor or -1
    _sums: list[list[tuple[Place, float]]] = field(default_factory=list)
    _recorded: list[Place] = field(default_factory=list)
    _columns: dict[Place, int] = field(default_factory=dict)

    def volts(self, a: int, b: int) -> Place:
        return self._probe((a, b, -1))

    def amps(self, name: str) -> Place:
        """The current of a named element. Raises TrainerError if there is none."""
        if name in self.ports:
            return Place("port", self.ports[name])
        for s, switch in enumerate(self.elements.switches):
            if switch.name == name:
                return Place("contact", s)
        for number, r in enumerate(self.elements.resistors):
            if r.name == name:
                return self._probe((r.a, r.b, number))
        raise TrainerError(f"no element named {name!r} carries a current that can be sensed")

    def sense(self, sense: Sense) -> Place:
        """Where a sense is found; sums get a column of their own."""
        if sense.volts is not None:
            return self.volts(*sense.volts)
        terms = [(self.amps(name), sign) for name, sign in sense.amps]
        if len(terms) == 1 and terms[0][1] == 1.0:
            return terms[0][0]
        if terms not in self._sums:
            self._sums.append(terms)
        return Place("sum", self._sums.index(terms))

    def recorded(self, place: Place) -> Place:
        """The same place, to be computed at every sample."""
        if place.kind != "port" and place not in self._recorded:
            self._recorded.append(place)
        return place

    def settle(self) -> None:
        """Give every place its column: ports, what is recorded, the rest, then amps of ports."""
        p = padded(len(self.ports))
        every = [Place("contact", s) for s in range(len(self.elements.switches))]
        every += [Place("probe", i) for i in range(len(self._probes))]
        every += [Place("sum", q) for q in range(len(self._sums))]
        rest = [place for place in every if place not in self._recorded]
        self.seen = p + padded(len(self._recorded))
        self.wide = self.seen + padded(len(rest))
        self._columns = {place: p + i for i, place in enumerate(self._recorded)}
        self._columns |= {place: self.seen + i for i, place in enumerate(rest)}
        self._columns |= {Place("port", j): self.wide + j for j in range(p)}

    def column(self, place: Place) -> int:
        return self._columns[place]

    def contact_columns(self) -> list[int]:
        """Where the amps of each contact stand."""
        return [self.column(Place("contact", s)) for s in range(len(self.elements.switches))]

    def arrays(self) -> tuple[np.ndarray, np.ndarray]:
        """Observed columns, and the terms of sums."""
        p = padded(len(self.ports))
        observed = np.zeros(self.wide - p, dtype=lay.OBSERVED)
        observed["contact"] = observed["resistor"] = -1
        for s, switch in enumerate(self.elements.switches):
            at = self.column(Place("contact", s)) - p
            observed[at] = (switch.a, switch.b, s, -1)
        for i, (a, b, resistor) in enumerate(self._probes):
            observed[self.column(Place("probe", i)) - p] = (a, b, -1, resistor)
        terms = [
            (self.column(place), self.column(Place("sum", q)), sign)
            for q, parts in enumerate(self._sums)
            for place, sign in parts
        ]
        return observed, np.array(terms, dtype=lay.TERM)

    def _probe(self, nodes: tuple[int, int, int]) -> Place:
        if nodes not in self._probes:
            self._probes.append(nodes)
        return Place("probe", self._probes.index(nodes))
