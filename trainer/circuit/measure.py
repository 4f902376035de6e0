"""One front door for instruments on a circuit: volts, amps, ohms, farads, insulation.

Given the state somebody left a circuit in (contacts, speeds, charge, temperatures), ``read``
says what the instrument shows between two points, or in the jaws of a clamp. Live readings are
steady phasors; a reading meant for a dead circuit checks for volts by itself and says so.
Knows analyses and meters; knows no study, no session and no learner.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from typing import Any

from trainer.base.errors import TrainerError, quoted
from trainer.circuit import dead
from trainer.circuit.charge import Decay
from trainer.circuit.elements import Elements, Resistor
from trainer.circuit.meter import HAND_METER, Meter, Reading
from trainer.circuit.phasor import frequencies, prepare, prepared_again
from trainer.circuit.phasor_solution import PhasorSolution

FUNCTIONS = ("volts", "volts_dc", "amps", "ohms", "continuity", "farads", "insulation")
Node = str | int

#: Direct volts worth saying beside an alternating reading [V].
WORTH_SAYING_V = 0.5
#: Name of the meter's own input resistance in the circuit.
METER = "meter~input"


@dataclass(frozen=True)
class Left:
    """The state a circuit was left in; what is not said is as the elements have it.

    ``closed`` by switch; ``speeds`` [rad/s] and ``temps`` (main, aux) [deg C] by machine;
    ``charge_v`` by capacitor (None: discharged); ``ohms`` by element; ``emf`` rms by source.
    """

    closed: Mapping[str, bool] = field(default_factory=dict)
    speeds: Mapping[str, float] = field(default_factory=dict)
    charge_v: Mapping[str, float] | None = None
    temps: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    ohms: Mapping[str, float] = field(default_factory=dict)
    emf: Mapping[str, complex] = field(default_factory=dict)


def read(
    elements: Elements,
    function: str,
    a: Node = 0,
    b: Node = 0,
    *,
    of: str = "",
    left: Left | None = None,
    meter: Meter = HAND_METER,
    test_volts: float = 500.0,
) -> Reading:
    """What an instrument shows; ``of`` names the element inside the clamp for amps."""
    state = left or Left()
    if function == "amps":
        return clamp(elements, of, state)
    points = node_of(elements, a), node_of(elements, b)
    if function in LIVE_FUNCTIONS:
        return LIVE_FUNCTIONS[function](elements, *points, state, meter)
    if function == "insulation":
        return dead.insulation(_as_dead(elements, *points, state, meter), *points, test_volts)
    if function in DEAD_FUNCTIONS:
        return DEAD_FUNCTIONS[function](_as_dead(elements, *points, state, meter), *points, meter)
    raise TrainerError(f"no function {quoted(function)}", hint=f"use {', '.join(FUNCTIONS)}")


def volts(elements: Elements, a: int, b: int, left: Left, meter: Meter = HAND_METER) -> Reading:
    """Alternating volts [V rms] across the meter's own resistance; direct volts as a note."""
    shown = math.hypot(*(abs(s.volts(a, b)) for s in steady(elements, left, _load(a, b, meter))))
    direct = volts_dc(elements, a, b, left, meter).value or 0.0
    note = f"and {direct:.3g} V dc" if abs(direct) > WORTH_SAYING_V else ""
    return Reading(shown, "V", note)


def volts_dc(elements: Elements, a: int, b: int, left: Left, meter: Meter = HAND_METER) -> Reading:
    """Direct volts of charged capacitors at the first instant the meter touches [V]."""
    if not left.charge_v:
        return Reading(0.0, "V")
    start = {c.name: left.charge_v.get(c.name, 0.0) for c in elements.capacitives}
    decay = Decay(elements, left.closed, start, _load(a, b, meter), ohms=left.ohms)
    return Reading(decay.volts_between(a, b, 0.0), "V")


def clamp(elements: Elements, of: str, left: Left) -> Reading:
    """Alternating amps [A rms] through one element, or one winding as ``machine.main``."""
    solutions = steady(elements, left)
    names = solutions[0].prepared.index
    if of not in names:
        raise TrainerError(f"nothing called {quoted(of)} to clamp", hint=_nearest(of, names))
    return Reading(math.hypot(*(abs(s.amps(of)) for s in solutions)), "A")


def steady(
    elements: Elements, left: Left, extra: tuple[Resistor, ...] = ()
) -> list[PhasorSolution]:
    """The steady state at every source frequency in turn; rms values add as squares."""
    found = []
    for hz in frequencies(elements) or (None,):
        silent = {s.name: 0.0j for s in elements.sources if s.hz != hz}
        given = {n: v for n, v in left.emf.items() if n not in silent}
        how: dict[str, Any] = {
            "ohms": left.ohms, "emf": {**silent, **given}, "temps": left.temps,
        }  # fmt: skip
        prepared = (
            prepare(elements, left.closed, hz, extra=extra, **how)
            if extra
            else prepared_again(elements, left.closed, hz, **how)
        )
        found.append(prepared.at(left.speeds))
    return found


def node_of(elements: Elements, node: Node) -> int:
    """Number of a node given by name or number; unknown ones are refused with near names."""
    if isinstance(node, int):
        if 0 <= node < len(elements.nodes):
            return node
        raise TrainerError(f"no node number {node}", hint=f"0 to {len(elements.nodes) - 1} exist")
    if not elements.has_node(node):
        raise TrainerError(f"no point called {quoted(node)}", hint=_nearest(node, elements.nodes))
    return elements.node(node)


def _load(a: int, b: int, meter: Meter) -> tuple[Resistor, ...]:
    return (Resistor(METER, a, b, meter.load_ohms),)


def _as_dead(elements: Elements, a: int, b: int, left: Left, meter: Meter) -> dead.Dead:
    live = volts(elements, a, b, left, replace(meter, load_ohms=meter.source_ohms)).value or 0.0
    return dead.Dead(elements, left.closed, left.charge_v, live, temps=left.temps, ohms=left.ohms)


def _nearest(name: str, known: Iterable[str]) -> str:
    near = get_close_matches(name, list(known), n=3)
    return f"did you mean {' or '.join(near)}" if near else "name a point of the circuit"


LIVE_FUNCTIONS = {"volts": volts, "volts_dc": volts_dc}
DEAD_FUNCTIONS = {"ohms": dead.ohms, "continuity": dead.continuity, "farads": dead.farads}
