"""What a part of a circuit is: terminals, a hand's verbs, and how it writes itself down.

A part is a small frozen record read from a study. It knows its own terminals and elements;
it must know nothing of other parts, of wires or of what a report asks.

Naming: the node of a terminal is ``part.terminal``, a node inside is ``part~what``; the main
element or device bears the part's own name, every other one ``part~what``.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass
from typing import Annotated, ClassVar

from trainer.base.fields import Quantity
from trainer.circuit.elements import Elements, Inductive, Sense, Switch
from trainer.parts.plausible import Plausible

#: A hand or a call moves these contacts to these positions.
Moves = tuple[tuple[str, bool], ...]
#: How many times something: "200 %" or "2 pu"; at least once.
Multiple = Annotated[float, Quantity("ratio", least=1.0)]


class Part(Plausible, ABC):
    """What the study builder asks of every kind of part.

    ``role`` is what reports call it (several kinds share one), ``slow`` names the states that
    the running layer moves because they take minutes: heat, pressure, defrost.
    """

    role: ClassVar[str] = ""
    slow: ClassVar[tuple[str, ...]] = ()

    @abstractmethod
    def terminals(self) -> tuple[str, ...]:
        """Terminal names as printed on the part."""

    @abstractmethod
    def write(self, name: str, into: Elements) -> None:
        """Add the elements of this part, called ``name``, to the circuit."""

    def hand(self, name: str) -> dict[str, Moves]:
        """What a person may do to it: verb -> contacts and where they go."""
        return {}

    def marks(self, name: str) -> dict[str, str]:
        """Elements that a report looks for: what it is -> name of the element."""
        return {}

    def source_hz(self) -> float | None:
        """Frequency it feeds the circuit with; None for a part that is no source."""
        return None


@dataclass(frozen=True)
class Pen:
    """Writes the elements of one part under the part's name."""

    name: str
    into: Elements

    def called(self, what: str) -> str:
        return f"{self.name}~{what}" if what else self.name

    def at(self, terminal: str) -> int:
        return self.into.node(f"{self.name}.{terminal}")

    def inside(self, what: str) -> int:
        return self.into.node(f"{self.name}~{what}")

    def resistor(self, what: str, a: int, b: int, ohms: float) -> str:
        self.into.resistor(self.called(what), a, b, ohms, self.name)
        return self.called(what)

    def contact(self, what: str, a: int, b: int, closed: bool, **more: float) -> str:
        """A contact; ``more`` are the other fields of Switch."""
        self.into.add(Switch(self.called(what), a, b, closed, part=self.name, **more))  # type: ignore[arg-type]
        return self.called(what)

    def branch(self, what: str, a: int, b: int, ohms: float, henries: float) -> str:
        """A plain series R-L from a to b."""
        self.tapped(what, ((a, 1.0), (b, -1.0)), ohms, henries)
        return self.called(what)

    def tapped(
        self, what: str, taps: tuple[tuple[int, float], ...], ohms: float, henries: float
    ) -> str:
        """A series R-L fed by several nodes: a winding of an ideal transformer."""
        self.into.add(Inductive(self.called(what), taps, ohms, henries, part=self.name))
        return self.called(what)


def amps(*names: str) -> Sense:
    """The sum of the currents of the named elements."""
    return Sense(amps=tuple((name, 1.0) for name in names))


def volts(a: int, b: int) -> Sense:
    return Sense(volts=(a, b))
