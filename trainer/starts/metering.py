"""A meter put between two terminals of a study, before anything is done to it or at an instant.

Brings the circuit to that instant and hands it to the instruments of the circuit layer. A live
reading is the steady state of that instant's contacts, speeds and temperatures. Knows studies
and instruments; must know no finding.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from trainer.base.errors import TrainerError, quoted
from trainer.circuit import measure
from trainer.circuit.channels import Channel, Trace
from trainer.circuit.elements import Elements, Source
from trainer.circuit.longrun import LongRun
from trainer.circuit.measure import Left
from trainer.circuit.meter import Reading
from trainer.circuit.state import CircuitState
from trainer.circuit.transient import Transient
from trainer.parts.slow import rules_of
from trainer.study.build import build, moves, watched
from trainer.study.model import Study

FUNCTIONS = measure.FUNCTIONS
#: Up to here every instant is stepped; beyond, the long run takes turns. [s]
STEPPED_S = 10.0
#: Idle frequency for the length of a cycle.
IDLE_HZ = 60.0
#: Cycles over which alternating volts on a capacitor are averaged away.
CYCLES = 6


def meter(study: Study, function: str, a: str, b: str, at_s: float | None = None) -> Reading:
    """What an instrument shows between terminals such as ``comp.C``.

    ``at_s`` None: every supply off, contacts as found, charge as the study says. Amps are those
    of the conductor between the two terminals.
    """
    elements, _ = build(study)
    dead = at_s is None
    circuit = _without_sources(elements) if dead else elements
    left = _as_found(elements) if at_s is None else left_at(study, elements, at_s)
    if function == "amps":
        return measure.read(circuit, function, of=conductor(elements, a, b), left=left)
    return measure.read(circuit, function, a, b, left=left)


def left_at(study: Study, elements: Elements, at_s: float) -> Left:
    """The state of a study's circuit after ``at_s``; alternating volts are no charge left."""
    cycle = 1.0 / (elements.sources[0].hz if elements.sources else IDLE_HZ)
    channels = [Channel(f"c:{c.name}", capacitor=c.name) for c in elements.capacitives]
    channels += [
        Channel(f"m:{m.name}", machine=m.name, quantity="speed_rad_s") for m in elements.machines
    ]
    run = _brought_to(study, elements, channels, max(0.0, at_s - CYCLES * cycle))
    trace = run.run(at_s)
    return _left(elements, run.snapshot(), trace, round(cycle / run.plan.step_s))


def _brought_to(
    study: Study, elements: Elements, channels: list[Channel], until_s: float
) -> Transient:
    """A transient that stands at ``until_s`` with every later act still to come."""
    if until_s <= STEPPED_S:
        run = Transient(elements, channels)
        for move in moves(study):
            run.act(*move)
        run.run(until_s)
        return run
    watch = watched(study.parts, study.watch)
    rules = rules_of(study.parts, elements, watch.get("compressor"), watch.get("fan"))
    long = LongRun(elements, rules=rules)
    for move in moves(study):
        if move.at_s < until_s:
            long.act(*move)
    long.run(until_s)
    run = Transient(elements, channels, state=long.state())
    for move in moves(study):
        if move.at_s >= until_s:
            run.act(*move)
    return run


def conductor(elements: Elements, a: str, b: str) -> str:
    """The conductor between two terminals, whichever end is named first."""
    for end in (a, b):
        measure.node_of(elements, end)
    wires = [r.name for r in elements.resistors if r.part == "wires"]
    found = [n for n in wires if n.split("#")[0] in (f"{a}>{b}", f"{b}>{a}")]
    if found:
        return found[0]
    ends = [other for n in wires for other in _other_end(n, a)]
    hint = f"from {a} conductors go to {', '.join(ends)}" if ends else f"nothing lands on {a}"
    raise TrainerError(f"no conductor runs from {quoted(a)} to {quoted(b)}", hint=hint)


def _other_end(wire: str, end: str) -> list[str]:
    ends = wire.split("#")[0].split(">")
    return [ends[1 - ends.index(end)]] if end in ends else []


def _left(elements: Elements, state: CircuitState, trace: Trace, cycle: int) -> Left:
    """What is direct of capacitor volts, the last cycle's mean speed, the rest as it is."""
    charge = {
        c.name: _mean(trace, f"c:{c.name}", state.capacitor_v[c.name], CYCLES * cycle)
        for c in elements.capacitives
    }
    speeds = {
        m.name: _mean(trace, f"m:{m.name}", state.machines[m.name].speed_rad_s, cycle)
        for m in elements.machines
    }
    return Left(
        closed=state.closed,
        speeds=speeds,
        charge_v=charge,
        temps={n: (m.main_c, m.aux_c) for n, m in state.machines.items()},
        ohms=state.resistor_ohms,
        emf=dict(_emf(elements.sources, state.source_peak)),
    )


def _mean(trace: Trace, name: str, otherwise: float, count: int) -> float:
    values = trace.values.get(name)
    return float(np.mean(values[-count:])) if values is not None and values.size else otherwise


def _emf(sources: Iterable[Source], peaks: Iterable[float]) -> Iterable[tuple[str, complex]]:
    """Source phasors as they are now: a generator may have sagged, an inverter shut down."""
    for source, peak in zip(sources, peaks, strict=True):
        angle = complex(np.cos(source.phase_rad), np.sin(source.phase_rad))
        yield source.name, peak / np.sqrt(2.0) * angle


def _as_found(elements: Elements) -> Left:
    charge = {c.name: c.volts for c in elements.capacitives}
    return Left(charge_v=charge if any(charge.values()) else None)


def _without_sources(elements: Elements) -> Elements:
    """The same circuit with every supply off."""
    silent = [replace(s, volts_peak=0.0) for s in elements.sources]
    return replace(elements, sources=silent)
