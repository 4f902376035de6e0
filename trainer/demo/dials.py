"""The sliders of a study: what it has that can be turned, between which ends.

Each turns one thing that ``starts.varying`` changes in a study, in the unit of that row, so a
slider says exactly what a value in the study's file says. Knows studies; must know no start.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from trainer.base.errors import UsageError, quoted
from trainer.parts import Part, Supply
from trainer.parts.capacitors import StartCapacitor
from trainer.parts.gear import gear
from trainer.parts.motors import Compressor
from trainer.parts.relays import PotentialRelay
from trainer.parts.startgear import TimedStarter
from trainer.starts.varying import varied
from trainer.study.build import watched
from trainer.study.model import Study

#: Ends of the slider of line volts, of the volts that this kind of supply is made for. Invented:
#: from where hardly a motor starts to where iron saturates.
LINE_LOW, LINE_HIGH = 0.70, 1.15
#: Ends of the slider of a start capacitor [uF]: the smallest and largest can of a range of them
#: (common practice, no source).
CAN_LOW, CAN_HIGH = 40.0, 330.0
#: Steps on the slider of the load, and how far it goes beyond the compressor's own.
LOAD_STEPS, LOAD_REACH = 100, 2.0


@dataclass(frozen=True)
class Dial:
    """``value`` is the study's own, in ``unit``; ``words`` say what is turned."""

    name: str
    words: str
    unit: str
    low: float
    high: float
    step: float
    value: float


def dials_of(study: Study) -> tuple[Dial, ...]:
    """Only what the study has; ends are moved out where its own value lies beyond."""
    found = []
    for role, make in _MAKERS:
        name = watched(study.parts, study.watch).get(role)
        part = study.parts[name] if name else None
        found += make(part) if part is not None else []
    return tuple(found)


def turned(study: Study, dials: tuple[Dial, ...], values: Mapping[str, float]) -> Study:
    """The study with these values; a slider at its own value changes nothing.

    Raises UsageError for a slider that is not there or a value beyond its ends.
    """
    known = {dial.name: dial for dial in dials}
    for name, value in values.items():
        if name not in known:
            hint = f"turn one of {', '.join(known)}" if known else "this study has none"
            raise UsageError(f"this study has no slider {quoted(name)}", hint=hint)
        _within(known[name], value)
    for name, dial in known.items():
        value = float(values.get(name, dial.value))
        if value != dial.value:
            study = varied(study, name, value)
    return study


def _within(dial: Dial, value: float) -> None:
    if math.isfinite(value) and dial.low <= value <= dial.high:
        return
    raise UsageError(
        f"{dial.words} cannot be {value:g} {dial.unit}".rstrip(),
        hint=f"give {dial.low:g} to {dial.high:g} {dial.unit}".rstrip(),
    )


def _dial(
    name: str, words: str, unit: str, ends: tuple[float, float], step: float, value: float
) -> Dial:
    # 98e-6 F times a million is 98.00000000000001
    own = float(f"{value:.12g}")
    return Dial(name, words, unit, min(ends[0], own), max(ends[1], own), step, own)


def _of_can(part: Part) -> list[Dial]:
    if not isinstance(part, StartCapacitor | TimedStarter):
        return []
    own = 1e6 * part.capacitance
    return [_dial("start_uf", "start capacitor", "uF", (CAN_LOW, CAN_HIGH), 1.0, own)]


def _of_relay(part: Part) -> list[Dial]:
    if isinstance(part, TimedStarter):
        return _of_can(part)
    if not isinstance(part, PotentialRelay):
        return []
    pickups = [volts for row in gear().relay_classes.values() for volts in row.pickup]
    words = "pickup of the relay, its drop-out in proportion"
    return [_dial("relay_v", words, "V", (min(pickups), max(pickups)), 1.0, part.pickup_v)]


def _of_supply(part: Part) -> list[Dial]:
    if not isinstance(part, Supply):
        return []
    made_for = float(type(part).model_fields["volts"].default)
    ends = (round(LINE_LOW * made_for), round(LINE_HIGH * made_for))
    words = f"line volts, {LINE_LOW:.0%} to {LINE_HIGH:.0%} of {made_for:g} V".replace("%", " %")
    return [_dial("line_v", words, "V", ends, 1.0, part.volts)]


def _of_compressor(part: Part) -> list[Dial]:
    if not isinstance(part, Compressor):
        return []
    machine = part.sheet().load.run_nm
    own = machine if part.load.torque is None else part.load.torque
    most = LOAD_REACH * max(machine, own)
    step = 10.0 ** math.floor(math.log10(most / LOAD_STEPS)) if most > 0.0 else 0.1
    high = step * math.ceil(most / step)
    found = [_dial("load_nm", "torque of the gas, pressures parted", "N.m", (0.0, high), step, own)]
    if part.load.kind != "constant":
        there = float(part.load.pressures == "standing")
        words = "pressures standing from the first instant (1) or equal (0)"
        found.append(_dial("standing", words, "", (0.0, 1.0), 1.0, there))
    return found


_MAKERS: tuple[tuple[str, Callable[[Any], list[Dial]]], ...] = (
    ("start_capacitor", _of_can),
    ("relay", _of_relay),
    ("supply", _of_supply),
    ("compressor", _of_compressor),
)
