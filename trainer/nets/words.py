"""Moves in the words of a shop: which wire, where it is, where it belongs.

Terminals are called by what is printed on them and by their device. Knows moves and part types;
must know no consequence.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from trainer.nets.moves import Move
from trainer.nets.wires import Wire
from trainer.unit.catalogue import type_of

#: Colour codes as they are said.
COLOURS = {
    "BK": "black", "RD": "red", "WH": "white", "GN": "green", "YE": "yellow", "BU": "blue",
    "BN": "brown", "OR": "orange", "VT": "violet", "PU": "purple", "GY": "grey", "PK": "pink",
}  # fmt: skip
#: Kinds of part as they are said.
DEVICES = {
    "compressor": "compressor", "fan_motor": "fan", "dual_capacitor": "dual capacitor",
    "run_capacitor": "run capacitor", "start_capacitor": "start capacitor",
    "potential_relay": "relay", "current_relay": "relay", "contactor": "contactor",
    "disconnect": "disconnect", "breaker": "breaker", "thermostat_supply": "24 V supply",
    "crankcase_heater": "crankcase heater", "ptc": "thermistor", "soft_starter": "soft starter",
    "timed_starter": "electronic starter", "split_phase_service": "service",
    "transfer_switch": "transfer switch", "generator": "generator", "inverter": "inverter",
    "pressure_switch": "pressure switch", "delay_timer": "timer",
    "reversing_valve": "reversing valve", "defrost_control": "defrost control", "fuse": "fuse",
}  # fmt: skip
#: How grave a move is, the worst first.
RANK = {"swap": 0, "move": 0, "remove": 1, "join": 2, "extra": 3}


def places(types: Mapping[str, str]) -> Callable[[str], str]:
    """A function from a terminal to its words; parts of a kind there are two of by name."""
    kinds = {name: _kind(type_name) for name, type_name in types.items()}
    counted = [DEVICES.get(kind, name) for name, kind in kinds.items()]

    def said(place: str) -> str:
        part, _, terminal = place.partition(".")
        if part not in types:
            return place
        device = DEVICES.get(kinds[part], part)
        if counted.count(device) > 1:
            device = f"{device} {part}" if device not in part else part
        marking = _marking(types[part], terminal)
        return f"{marking} of the {device}"

    return said


def _kind(type_name: str) -> str:
    part = type_of(type_name).part
    return "" if part is None else str(part["kind"])


def _marking(type_name: str, terminal: str) -> str:
    found = type_of(type_name).terminals.get(terminal)
    return (found.marking if found else "") or terminal


def named(wire: Wire) -> str:
    colour = COLOURS.get(wire.colour, wire.colour)
    return " ".join(f"the {colour} wire {wire.tag}".split())


def sentences(told: Sequence[Move], said: Callable[[str], str]) -> list[str]:
    """One sentence for each move, the gravest first."""
    ranked = sorted(told, key=lambda move: RANK[move.kind])
    return [_capital(_SAY[move.kind](move, said)) for move in ranked]


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _move(move: Move, said: Callable[[str], str]) -> str:
    assert move.wire is not None
    return (
        f"{named(move.wire)} from {said(move.stays)} is on {said(move.start)}; "
        f"it belongs on {said(move.goal)}."
    )


def _swap(move: Move, said: Callable[[str], str]) -> str:
    assert move.with_ is not None
    both = " ".join(_capital(_move(m, said)) for m in (move, move.with_))
    one, other = said(move.start), said(move.goal)
    if one.partition(" of ")[2] == other.partition(" of ")[2]:
        one = one.partition(" of ")[0]
    return " ".join((f"{one} and {other} are exchanged:", both))


def _remove(move: Move, said: Callable[[str], str]) -> str:
    assert move.wire is not None
    return (
        f"{named(move.wire)} joins {said(move.wire.a)} and {said(move.wire.b)}, "
        "which do not belong together; it comes off."
    )


def _join(move: Move, said: Callable[[str], str]) -> str:
    ends = f"{said(move.start)} to {said(move.goal)}"
    if move.wire is not None and move.wire.tag and not move.wire.whole:
        return f"{named(move.wire)} is not landed: it belongs from {ends}."
    return f"a wire is missing from {ends}."


def _extra(move: Move, said: Callable[[str], str]) -> str:
    assert move.wire is not None
    return (
        f"{named(move.wire)} from {said(move.wire.a)} to {said(move.wire.b)} is one too many; "
        "it is harmless here: take it out."
    )


_SAY: dict[str, Callable[[Move, Callable[[str], str]], str]] = {
    "move": _move, "swap": _swap, "remove": _remove, "join": _join, "extra": _extra,
}  # fmt: skip
