"""Brings a unit into the state a reading asks for and takes it, as an instrument would.

Knows units through time and instruments; must know no learner, no mark and what no reading
should be.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from trainer.base.errors import TrainerError
from trainer.circuit.channels import Channel, Event
from trainer.circuit.elements import Sense
from trainer.instruments import clamp
from trainer.instruments.clamp import INRUSH
from trainer.instruments.meeting import meet
from trainer.instruments.shown import Health, Shown
from trainer.instruments.table import read
from trainer.scenario.model import Proof
from trainer.scenario.readings import Reading
from trainer.unit.changes import lift
from trainer.unit.circuit import elements_of, parts_of
from trainer.unit.conductor import terminal_of
from trainer.unit.layout import Layout
from trainer.unit.state import Unit
from trainer.unit.world import Advance, advance, remembering

Floats = NDArray[np.float64]
#: A shaft faster than this has begun to turn. [rad/s]
MOVES_RAD_S = 1.0
#: Time for hands before a call, and after everything is opened. [ms]
HANDS_MS, COAST_MS = 200, 20_000
#: Share of its synchronous speed at which each machine counts as running.
COMPRESSOR_RUNS, FAN_RUNS = 0.9, 0.5
#: More than this in a start capacitor's lead and it has not left. [A rms]
LEFT_A = 0.5
#: Happenings no clean start has.
UNCLEAN = ("tripped", "welded", "gave_up")
#: Settings with a source of their own, for which capacitors are emptied first.
OWN_SOURCE = ("ohms", "continuity", "farads")


@dataclass(frozen=True)
class Ran:
    """A unit after a call, and what happened since the call."""

    unit: Unit
    events: tuple[Event, ...]
    inrush: Shown | None = None
    #: Compressors that took longer from rest to speed than the file allows.
    slow: tuple[str, ...] = ()


def usual_setting(reading: Reading) -> str:
    """The setting a reading means when it names none."""
    usual = {"meter": "V ac", "tester": "on", "clamp": "A ac", "insulation": "500 V"}
    return reading.setting or usual[reading.with_]


def take(unit: Unit, reading: Reading, layout: Layout, proof: Proof) -> Shown:
    """What the display shows. Raises TrainerError when it cannot be taken."""
    for place in reading.lifted:
        unit = lift(unit, terminal_of(place))
    unit, setting = remembering(unit), usual_setting(reading)
    if reading.when == "running":
        jaws = reading.at if setting == INRUSH else ()
        ran = energised(unit, layout, proof, reading.after, jaws)
        if setting == INRUSH:
            return ran.inrush or clamp.inrush(np.zeros(2), np.zeros(2), Health())
        unit = ran.unit
    elif reading.when == "dead":
        unit = made_dead(unit, layout)
    elif reading.when == "idle":
        unit = advance(unit, HANDS_MS, fed(unit, layout, proof)).unit
    if setting in OWN_SOURCE or reading.with_ == "insulation":
        unit = emptied(unit)
    if reading.with_ == "clamp":
        return read("clamp", unit, {"jaws": ",".join(reading.at)}, setting)
    return read(reading.with_, unit, {"red": reading.at[0], "black": reading.at[1]}, setting)


def energised(
    unit: Unit, layout: Layout, proof: Proof, after_s: float, jaws: Sequence[str] = ()
) -> Ran:
    """Everything that isolates closed, hands done, then the call and ``after_s``."""
    unit = advance(unit, HANDS_MS, fed(unit, layout, proof)).unit
    lines = [Channel(INRUSH, Sense(amps=tuple(clamp.signed(list(jaws)))))] if jaws else []
    machines = _compressors(unit)
    lines += [Channel(name, machine=name, quantity="speed_rad_s") for name in machines]
    later = advance(unit, round(1000 * after_s), [(thermostat(unit), proof.call)], channels=lines)
    slow = tuple(n for n, fast in machines.items() if _took(later, n, fast) > proof.within)
    return Ran(later.unit, later.events, _caught(later) if jaws else None, slow)


def _compressors(unit: Unit) -> dict[str, float]:
    """Machines of compressors, and the speed at which each counts as running [rad/s]."""
    parts, elements = parts_of(unit.parts), elements_of(unit)[0]
    hz = elements.sources[0].hz if elements.sources else 60.0
    return {
        m.name: COMPRESSOR_RUNS * m.params.synchronous_rad_s(hz)
        for m in elements.machines
        if parts[m.part or m.name].role == "compressor"
    }


def _took(later: Advance, machine: str, fast: float) -> float:
    """Time from its first movement to speed [s]; 0 when it was never there."""
    t, speed = _line(later, machine)
    there, moves = np.flatnonzero(speed > fast), np.flatnonzero(np.abs(speed) > MOVES_RAD_S)
    return float(t[there[0]] - t[moves[0]]) if there.size else 0.0


def _line(later: Advance, name: str) -> tuple[Floats, Floats]:
    traces = [x for x in later.traces if name in x.values]
    if not traces:
        return np.zeros(0), np.zeros(0)
    return np.concatenate([x.t_s for x in traces]), np.concatenate([x.values[name] for x in traces])


def _caught(later: Advance) -> Shown:
    return clamp.inrush(*_line(later, INRUSH), Health())


def course_of(ran: Ran) -> frozenset[str]:
    """What is not clean about a start; empty for a clean one, the same for the same course."""
    found = {f"{e.name} {e.kind.replace('_', ' ')}" for e in ran.events if e.kind in UNCLEAN}
    found |= {f"{n} stands or is slow" for n in _slow(ran.unit)}
    found |= {f"{n} comes up slowly" for n in ran.slow}
    pulls = Counter(e.name for e in ran.events if e.kind == "picked_up")
    found |= {f"{n} pulls in more than once" for n, times in pulls.items() if times > 1}
    return frozenset(found | {f"{n} stays in" for n in _staying(ran.unit)})


def _slow(unit: Unit) -> list[str]:
    elements, fast = elements_of(unit)[0], _compressors(unit)
    hz = elements.sources[0].hz if elements.sources else 60.0
    slow = []
    for machine in elements.machines:
        least = fast.get(machine.name, FAN_RUNS * machine.params.synchronous_rad_s(hz))
        if unit.electrics.machines[machine.name].speed_rad_s < least:
            slow.append(machine.name)
    return slow


def _staying(unit: Unit) -> list[str]:
    cans = [n for n, p in parts_of(unit.parts).items() if p.role == "start_capacitor"]
    meeting = meet(unit) if cans else None
    return [n for n in cans if meeting and meeting.amps([(n, 1.0)]) > LEFT_A]


def fed(unit: Unit, layout: Layout, proof: Proof) -> list[tuple[str, str]]:
    """The hands that feed the unit: isolators closed, no call, and what the file says."""
    moves = [(thermostat(unit), "uncall")]
    moves += [(part, "close") for part in isolators(unit, layout, "close")]
    return [*moves, *proof.hands.items()]


def made_dead(unit: Unit, layout: Layout) -> Unit:
    """No call, every isolator open, everything come to rest."""
    moves = [(thermostat(unit), "uncall")]
    moves += [(part, "open") for part in isolators(unit, layout, "open")]
    return advance(unit, COAST_MS, moves).unit


def isolators(unit: Unit, layout: Layout, verb: str) -> list[str]:
    """The parts that isolate this cabinet and can be told to do ``verb``."""
    parts = parts_of(unit.parts)
    named = dict.fromkeys(feed.isolated_by for feed in layout.feeds)
    return [n for n in named if n in parts and verb in parts[n].hand(n)]


def thermostat(unit: Unit) -> str:
    """The part that calls. Raises TrainerError when there is none."""
    for name, part in parts_of(unit.parts).items():
        if part.role == "thermostat":
            return name
    raise TrainerError("nothing on this unit calls for cooling", hint="a layout with a thermostat")


def emptied(unit: Unit) -> Unit:
    """The unit with every capacitor empty."""
    none = dict.fromkeys(unit.electrics.capacitor_v, 0.0)
    return replace(unit, electrics=replace(unit.electrics, capacitor_v=none), settled=False)
