"""A start as an event carries it: how it was heard, how a report judges it, thinned lines.

Enough to draw and argue about a start years later without a solver. Knows traces; must know no
act and no mark.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from trainer.circuit.channels import Channel, Event, Trace
from trainer.circuit.elements import Sense
from trainer.session.judging import judged
from trainer.starts.thinning import packed
from trainer.unit.circuit import elements_of, parts_of
from trainer.unit.state import Unit

#: A start this soon after a hand moved something is judged from before the move. [s]
AT_ONCE_S = 1.0
#: Share of synchronous speed that counts as running, and speed that counts as standing [rad/s].
RUNS, STANDS = 0.9, 1.0
#: Longest record of a start [s].
LONGEST_S = 10.0

Floats = NDArray[np.float64]


def start_lines(unit: Unit) -> list[Channel]:
    """What is recorded whenever the unit is in motion: line amps, speed, volts start to common."""
    parts = parts_of(unit.parts)
    comp = next((n for n, p in parts.items() if p.role == "compressor"), None)
    if comp is None:
        return []
    elements, nodes = elements_of(unit)
    machine = next((m.name for m in elements.machines if m.part == comp or m.name == comp), None)
    if machine is None:
        return []
    ends = nodes.at(f"{comp}.S"), nodes.at(f"{comp}.C")
    return [
        Channel("common_a", Sense(amps=((f"{machine}.main", 1.0), (f"{machine}.aux", 1.0)))),
        Channel("start_winding_a", Sense(amps=((f"{machine}.aux", 1.0),))),
        Channel("start_to_common_v", Sense(volts=ends)),
        Channel("speed_rad_s", machine=machine, quantity="speed_rad_s"),
    ]


def start_data(
    before: Unit,
    hums: Sequence[str],
    traces: Sequence[Trace],
    events: Sequence[Event],
    acts: Sequence[tuple[str, bool]],
    until_s: float,
) -> dict[str, Any] | None:
    """The data of a start event; None when no compressor was energised from rest.

    ``acts`` are the contacts that a hand moved at the beginning of the ``until_s`` that passed;
    ``hums`` are motors that were fed and stood already: theirs is the same start going on.
    """
    if _compressor(before) in hums:
        return None
    seen = [t for t in traces if "speed_rad_s" in t.values and t.t_s.size > 1]
    if not seen:
        return None
    t = np.concatenate([x.t_s for x in seen])
    keep = t <= t[0] + LONGEST_S
    lines = {n: np.concatenate([x.values[n] for x in seen])[keep] for n in seen[0].values}
    t, speed, amps = t[keep], lines["speed_rad_s"], lines["common_a"]
    if abs(float(speed[0])) > STANDS or float(np.max(np.abs(amps))) < 1.0:
        return None
    found: dict[str, Any] = {
        "course": course(t, speed, amps, events, synchronous_of(before)),
        "began_ms": round(1000.0 * float(t[0])),
    }
    if t[0] < AT_ONCE_S:
        return {**found, **judged(before, acts, until_s)}
    kept = {"t_s": packed(t), **{name: packed(values) for name, values in lines.items()}}
    return {**found, "near": kept}


def _compressor(unit: Unit) -> str:
    """The machine of the unit's compressor, or ""."""
    parts = parts_of(unit.parts)
    machines = elements_of(unit)[0].machines
    driven = [m.name for m in machines if parts[m.part or m.name].role == "compressor"]
    return driven[0] if driven else ""


def synchronous_of(unit: Unit) -> float:
    """Synchronous speed of the compressor on its supply [rad/s]."""
    elements, _ = elements_of(unit)
    parts = parts_of(unit.parts)
    hz = elements.sources[0].hz if elements.sources else 60.0
    driven = [m for m in elements.machines if parts[m.part or m.name].role == "compressor"]
    return driven[0].params.synchronous_rad_s(hz)


def course(
    t: Floats, speed: Floats, amps: Floats, events: Sequence[Event], sync: float
) -> dict[str, Any]:
    """Plain words of a start as it was heard: whether it runs, when, how many amps."""
    there = np.flatnonzero(speed > RUNS * sync)
    tripped = [e.name for e in events if e.kind == "tripped"]
    runs = bool(there.size) and bool(speed[-1] > RUNS * sync)
    outcome = "runs" if runs else ("trips" if tripped else "stands and hums")
    if there.size and not runs:
        outcome = "ran and stopped"
    return {
        "outcome": outcome,
        "to_speed_ms": round(1000.0 * float(t[there[0]] - t[0])) if there.size else None,
        "peak_a": round(float(np.max(np.abs(amps))), 1),
        "tripped": tripped,
    }
