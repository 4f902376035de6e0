"""Readings on a unit with the instruments of the tray, and units a while after a call.

Units are kept, so that tests which ask about the same start pay for it once.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from trainer.instruments.table import read
from trainer.unit.changes import lift
from trainer.unit.faults import plant
from trainer.unit.layout import load_layout
from trainer.unit.state import Unit
from trainer.unit.world import advance, at_rest, remembering

CALL = [("indoor", "call")]


@cache
def idle(layout: str, *planted: str) -> Unit:
    """A unit at rest with conditions planted."""
    unit = at_rest(load_layout(layout), layout)
    for fault in planted:
        unit = remembering(plant(unit, fault))
    return unit


@cache
def called(layout: str, ms: int, *planted: str) -> Unit:
    """The same so long after a call."""
    return advance(idle(layout, *planted), ms, CALL).unit


def isolated(unit: Unit, *lifted: str) -> Unit:
    """The call gone, the disconnect open for ten minutes, and leads off these terminals."""
    unit = advance(unit, 600_000, [("indoor", "uncall"), ("disconnect", "open")]).unit
    for terminal in lifted:
        unit = lift(unit, terminal)
    return remembering(unit)


def meter(unit: Unit, red: str, black: str, setting: str = "V ac") -> float:
    """What the multimeter shows; over range is infinite."""
    shown = read("meter", unit, {"red": red, "black": black}, setting)
    if shown.text == "OL":
        return float("inf")
    assert shown.value is not None, shown
    return abs(shown.value)


def ohms(unit: Unit, red: str, black: str) -> float:
    return meter(unit, red, black, "ohms")


def clamp(unit: Unit, *wires: str) -> float:
    """What the clamp shows round these conductors."""
    shown = read("clamp", unit, {"jaws": ",".join(wires)}, "A ac")
    assert shown.value is not None, shown
    return shown.value


def speed(unit: Unit, machine: str = "comp") -> float:
    return unit.electrics.machines[machine].speed_rad_s


def moments(unit: Unit, ms: int, name: str, moves: Iterable[tuple[str, str]] = CALL) -> list[str]:
    """What happened to one contact or device in a while, in order."""
    return [e.kind for e in advance(unit, ms, moves).events if e.name == name]
