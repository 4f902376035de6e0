"""Lays a few parts on a bench and joins their terminals through next to nothing."""

from __future__ import annotations

import math

from trainer.circuit.channels import Channel, Trace
from trainer.circuit.elements import CHASSIS, Elements, Inductive, Resistor, Sense, Source
from trainer.circuit.transient import Transient
from trainer.parts.part import Part

#: A join that costs nothing: far below any conductor of a unit.
JOIN_OHMS = 1e-6


def bench(parts: dict[str, Part], *joins: tuple[str, str]) -> Elements:
    """Parts by name with these terminals joined; "chassis" is the chassis."""
    e = Elements()
    for name, part in parts.items():
        for terminal in part.terminals():
            e.node(f"{name}.{terminal}")
        part.write(name, e)
    for a, b in joins:
        e.resistors.append(Resistor(f"{a}>{b}", node(e, a), node(e, b), JOIN_OHMS))
    return e


def node(e: Elements, name: str) -> int:
    if name == "chassis":
        return CHASSIS
    assert e.has_node(name), f"no terminal {name}"
    return e.node(name)


def line(e: Elements, a: str, b: str, rms: float, hz: float = 60.0, ohms: float = 1e-4) -> None:
    """A stiff source "line" between two terminals; its branch carries the amps out of ``a``."""
    number = e.source(Source("line", math.sqrt(2.0) * rms, hz))
    taps = ((node(e, b), 1.0), (node(e, a), -1.0))
    e.add(Inductive("line", taps, ohms, 1e-9, number))


def between(e: Elements, a: str, b: str) -> Sense:
    return Sense(volts=(node(e, a), node(e, b)))


def run(e: Elements, until_s: float, acts=(), **senses: Sense) -> tuple[Transient, Trace]:
    """Energise the bench; ``acts`` are (time, contact, closed)."""
    transient = Transient(e, [Channel(name, sense=sense) for name, sense in senses.items()])
    for at, contact, closed in acts:
        transient.act(at, contact, closed)
    return transient, transient.run(until_s)


def times(trace: Trace, kind: str, name: str) -> list[float]:
    return [float(event.t_s) for event in trace.events if (event.kind, event.name) == (kind, name)]
