"""Brings a unit into the state a reading asks for and takes it, as an instrument would.

Knows units through time and instruments; must know no learner, no mark and what no reading
should be.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from trainer.base.errors import TrainerError
from trainer.circuit.channels import Channel, Event
from trainer.circuit.elements import Sense
from trainer.instruments import clamp
from trainer.instruments.shown import Health, Shown
from trainer.instruments.table import read
from trainer.scenario.model import Proof
from trainer.scenario.readings import Reading
from trainer.unit.changes import lift
from trainer.unit.circuit import parts_of
from trainer.unit.conductor import terminal_of
from trainer.unit.layout import Layout
from trainer.unit.state import Unit
from trainer.unit.world import Advance, advance, remembering

INRUSH = "inrush"
#: Time for hands before a call, and after everything is opened. [ms]
HANDS_MS, COAST_MS = 200, 20_000
#: Settings with a source of their own, for which capacitors are emptied first.
OWN_SOURCE = ("ohms", "continuity", "farads")


@dataclass(frozen=True)
class Ran:
    """A unit after a call, and what happened since the call."""

    unit: Unit
    events: tuple[Event, ...]
    inrush: Shown | None = None


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
    later = advance(unit, round(1000 * after_s), [(thermostat(unit), proof.call)], channels=lines)
    return Ran(later.unit, later.events, _caught(later) if jaws else None)


def _caught(later: Advance) -> Shown:
    t = np.concatenate([x.t_s for x in later.traces])
    amps = np.concatenate([x.values[INRUSH] for x in later.traces])
    return clamp.inrush(t, amps, Health())


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
