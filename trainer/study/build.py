"""From a study to the elements of its circuit and the roles a report asks for.

Knows parts as a protocol and wires; must know no analysis and no outcome.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from trainer.circuit.elements import CHASSIS, Elements, Sense
from trainer.parts import Part, Supply
from trainer.parts.part import amps
from trainer.study.model import Study, Watch, Wire

IDLE_HZ = 60.0


class Move(NamedTuple):
    """At a time a contact is told where to go."""

    at_s: float
    contact: str
    closed: bool


@dataclass(frozen=True)
class Roles:
    """Names in the circuit of what a report looks for.

    ``watch`` role -> part, ``marks`` part -> (what -> element), ``nodes`` "part.terminal" ->
    node. Legs are the nodes of the watched supply; ``volts_rms`` its no-load volts between them.
    """

    watch: Mapping[str, str]
    marks: Mapping[str, Mapping[str, str]]
    nodes: Mapping[str, int]
    hz: float = IDLE_HZ
    volts_rms: float = 0.0
    legs: tuple[int, int] = (CHASSIS, CHASSIS)
    neutral: int | None = None
    wires: tuple[str, ...] = field(default=())

    def part(self, role: str) -> str | None:
        """The watched part of a role, if the study has one."""
        return self.watch.get(role)

    def element(self, role: str, mark: str) -> str | None:
        """The element that the watched part of a role marks so, if there is one."""
        part = self.watch.get(role)
        return None if part is None else self.marks[part].get(mark)

    def node(self, terminal: str) -> int:
        """The node of "part.terminal" or of the chassis."""
        return CHASSIS if terminal == "chassis" else self.nodes[terminal]

    def at(self, role: str, terminal: str) -> int | None:
        """The node of a terminal of the watched part of a role."""
        part = self.watch.get(role)
        return None if part is None else self.nodes.get(f"{part}.{terminal}")

    @property
    def line(self) -> Sense | None:
        """Amps out of the first leg of the watched supply."""
        branch = self.element("supply", "line")
        return None if branch is None else amps(branch)

    @property
    def start_capacitor(self) -> str | None:
        """The start capacitor: a part of its own, or one inside an electronic starter."""
        own = self.element("start_capacitor", "capacitor")
        inside = self.element("relay", "capacitor") or self.element("soft_starter", "capacitor")
        return own or inside

    @property
    def start_contact(self) -> str | None:
        """The contact that takes the start capacitor out of the circuit."""
        return self.element("relay", "contact") or self.element("soft_starter", "contact")


def build(study: Study) -> tuple[Elements, Roles]:
    """Every part and wire as elements, and where to find things in them."""
    into = Elements()
    for name, part in study.parts.items():
        for terminal in part.terminals():
            into.node(f"{name}.{terminal}")
        part.write(name, into)
    wires = tuple(_wire(wire, into) for wire in study.wires)
    return into, _roles(study, into, wires)


def moves(study: Study) -> tuple[Move, ...]:
    """The acts as moves of contacts, in order of time; acts of one instant as written."""
    acts = sorted(study.acts, key=lambda act: act.at)
    return tuple(
        Move(act.at, contact, closed)
        for act in acts
        for contact, closed in study.parts[act.part].hand(act.part)[act.verb]
    )


def _wire(wire: Wire, into: Elements) -> str:
    """A conductor as a resistor; several between the same terminals are numbered."""
    plain = f"{wire.begin}>{wire.end}"
    taken = sum(r.name.split("#")[0] == plain for r in into.resistors)
    name = f"{plain}#{taken + 1}" if taken else plain
    into.resistor(name, _node(wire.begin, into), _node(wire.end, into), wire.total_ohms, "wires")
    return name


def _node(terminal: str, into: Elements) -> int:
    return CHASSIS if terminal == "chassis" else into.node(terminal)


def watched(parts: Mapping[str, Part], watch: Watch) -> dict[str, str]:
    """Role -> part: as the study says, else the only part of that role."""
    found: dict[str, str] = {}
    for role in Watch.model_fields:
        said = getattr(watch, role)
        fitting = [name for name, part in parts.items() if part.role == role]
        if said or len(fitting) == 1:
            found[role] = said or fitting[0]
    return found


def _roles(study: Study, into: Elements, wires: tuple[str, ...]) -> Roles:
    nodes = {
        f"{name}.{terminal}": into.node(f"{name}.{terminal}")
        for name, part in study.parts.items()
        for terminal in part.terminals()
    }
    return roles_in(study.parts, watched(study.parts, study.watch), nodes, wires)


def roles_in(
    parts: Mapping[str, Part],
    watch: Mapping[str, str],
    nodes: Mapping[str, int],
    wires: tuple[str, ...] = (),
) -> Roles:
    """What a report looks for among these parts; ``nodes`` by "part.terminal"."""
    marks = {name: part.marks(name) for name, part in parts.items()}
    supply = parts[watch["supply"]] if "supply" in watch else None
    if not isinstance(supply, Supply):
        return Roles(watch, marks, nodes, wires=wires)
    of = {t: nodes[f"{watch['supply']}.{t}"] for t in supply.terminals()}
    return Roles(
        watch,
        marks,
        nodes,
        hz=supply.hz,
        volts_rms=supply.volts,
        legs=(of[supply.legs[0]], of[supply.legs[1]]),
        neutral=of[supply.neutral],
        wires=wires,
    )
