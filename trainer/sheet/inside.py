"""What a diagram shows inside each kind of part: symbols between terminals, and what they are.

A drawing's view only: values and behaviour are in ``parts``. Knows kinds and terminals; must
know no layout.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Any, Literal, NamedTuple

from trainer.unit.catalogue import type_of

Role = Literal["source", "switch", "load"]


class Inner(NamedTuple):
    """One symbol between terminals ``a`` and ``b``."""

    symbol: str
    a: str
    b: str
    says: str
    role: Role = "load"


_POLE_1 = Inner("contact", "L1", "T1", "pole 1, open at rest", "switch")
_HALVES: tuple[str, Role] = ("half winding", "source")
_COIL_24 = Inner("secondary", "R", "C", "24 V winding", "source")
_TWO: dict[str, tuple[str, str, Role]] = {
    "run_capacitor": ("capacitor", "run capacitor", "load"),
    "start_capacitor": ("start capacitor", "start capacitor", "load"),
    "fuse": ("overload", "overload", "switch"),
    "coil_sensor": ("thermistor", "coil sensor", "load"),
    "reversing_valve": ("solenoid", "valve coil", "load"),
    "crankcase_heater": ("resistor", "crankcase heater", "load"),
    "resistive_load": ("resistor", "load", "load"),
    "ptc": ("thermistor", "thermistor", "load"),
}
INSIDE: dict[str, tuple[Inner, ...]] = {
    "contactor": (
        _POLE_1, Inner("contact", "L2", "T2", "pole 2, open at rest", "switch"),
        Inner("coil", "A1", "A2", "coil"),
    ),
    "dual_capacitor": (
        Inner("capacitor", "H", "C", "HERM section"), Inner("capacitor", "F", "C", "FAN section"),
    ),
    "compressor": (
        Inner("winding", "C", "R", "run winding"), Inner("winding", "C", "S", "start winding"),
    ),
    "fan_motor": (
        Inner("winding", "1", "2", "main winding"), Inner("winding", "1", "3", "auxiliary winding"),
        Inner("link", "2", "4", "joined inside", "switch"),
    ),
    "breaker": (
        Inner("breaker", "1i", "1o", "pole 1", "switch"),
        Inner("breaker", "2i", "2o", "pole 2", "switch"),
    ),
    "disconnect": (
        Inner("blade", "L1", "T1", "blade 1", "switch"),
        Inner("blade", "L2", "T2", "blade 2", "switch"),
    ),
    "potential_relay": (
        Inner("contact closed", "1", "2", "contact, closed at rest", "switch"),
        Inner("coil", "5", "2", "coil"),
    ),
    "current_relay": (
        Inner("coil", "L", "M", "coil", "switch"),
        Inner("contact", "L", "S", "contact, open at rest", "switch"),
    ),
    "timed_starter": (
        Inner("start capacitor", "P", "Q", "timed start capacitor"),
        Inner("board", "SN", "P", "sensing"),
    ),
    "soft_starter": (
        Inner("valves", "IN", "OUT", "ramp", "switch"), Inner("board", "IN", "REF", "reference"),
        Inner("timed", "AUX", "REF", "boost"),
    ),
    "delay_timer": (
        Inner("timed", "IN", "OUT", "contact, closes late", "switch"),
        Inner("board", "IN", "COM", "timer"),
    ),
    "defrost_control": (
        Inner("board", "R", "C", "board"),
        Inner("contact closed", "Y", "CO", "cooling call", "switch"),
        Inner("contact closed", "O", "RV", "valve feed", "switch"),
        Inner("contact", "R", "W", "auxiliary heat", "switch"),
        Inner("contact closed", "f1", "f2", "fan, open in defrost", "switch"),
        Inner("board", "d1", "d2", "sensor input"),
    ),
    "thermostat_supply": (
        _COIL_24, Inner("thermostat", "R", "Y", "call", "switch"),
        Inner("thermostat", "R", "O", "valve call", "switch"),
        Inner("thermostat", "R", "W", "heat call", "switch"),
        Inner("winding", "H1", "H2", "primary"),
    ),
    "pressure_switch": (Inner("pressure", "1", "2", "pressure switch, closed at rest", "switch"),),
    "transfer_switch": tuple(
        Inner("blade", f"{side}{leg}", f"O{leg}", f"{name} {leg}", "switch")
        for side, name in (("U", "utility"), ("G", "other source"))
        for leg in "12N"
    ),
    "control_transformer": (
        Inner("winding", "H1", "H2", "primary"), Inner("secondary", "X1", "X2", "24 V", "source"),
    ),
    "split_phase_service": (
        Inner("secondary", "L1", "N", *_HALVES), Inner("secondary", "N", "L2", *_HALVES),
    ),
    "generator": (
        Inner("generator", "1", "N", *_HALVES), Inner("generator", "N", "2", *_HALVES),
    ),
    "inverter": (
        Inner("inverter", "1", "N", *_HALVES), Inner("inverter", "N", "2", *_HALVES),
    ),
}  # fmt: skip


def inside(type_name: str, settings: dict[str, Any]) -> tuple[Inner, ...]:
    """The symbols in a part of this type, of those terminals that it has."""
    spec = type_of(type_name)
    if spec.part is None:
        return ()
    kind, has = str(spec.part["kind"]), list(spec.terminals)
    if kind in _TWO:
        name, says, role = _TWO[kind]
        return (Inner(name, has[0], has[1], says, role),)
    if kind == "contactor" and {**spec.part, **settings}.get("poles") == 1:
        shunt = Inner("link", "L2", "T2", "shunt bar", "switch")
        return (_POLE_1, shunt, INSIDE[kind][2])
    if kind not in INSIDE:
        return tuple(Inner("board", a, b, kind.replace("_", " ")) for a, b in pairwise(has))
    return tuple(one for one in INSIDE[kind] if one.a in has and one.b in has)
