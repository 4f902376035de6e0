"""Where the ends of a unit's conductors are, in the words of a study.

A place of a study is ``part.TERMINAL`` or the chassis; a loose end that an accident joins to
something is a splice of one way. Knows units; must know no circuit and no file.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from trainer.study.checks import CHASSIS
from trainer.unit.catalogue import type_of
from trainer.unit.circuit import end_name, stray_to
from trainer.unit.conductor import SIDES, Conductor, part_of, terminal_of
from trainer.unit.joints import STRAY_OHMS
from trainer.unit.state import Unit

#: Longest piece of a name that a study takes beside what is put before it.
_NAME_MOST = 24


def touched_ends(unit: Unit) -> dict[str, str]:
    """Loose ends that an accident joins to something -> the splice that stands for each."""
    joined = {place for a, b, _ in unit.joins for place in (a, b)}
    ends = {
        end_name(tag, side)
        for tag, conductor in unit.conductors.items()
        for side in SIDES
        if landed(unit, conductor.end(side).on) is None
    }
    return {
        end: f"end-{re.sub('[^A-Za-z0-9_-]', '-', end.removeprefix('wire:'))[-_NAME_MOST:]}"
        for end in sorted(ends & joined)
    }


def landed(unit: Unit, place: str | None) -> str | None:
    """A place as a study writes it; None where there is nothing to land on."""
    if place is None:
        return None
    part = part_of(place)
    if part == CHASSIS:
        return CHASSIS
    if part not in unit.parts:
        return None
    return CHASSIS if type_of(unit.parts[part].type).earth else terminal_of(place)


def place_of(unit: Unit, place: str, loose: Mapping[str, str]) -> str | None:
    """The terminal of a place or of a conductor's end ("wire:TAG.a")."""
    if place in loose:
        return f"{loose[place]}.1"
    if not place.startswith("wire:"):
        return landed(unit, place)
    tag, _, side = place.removeprefix("wire:").rpartition(".")
    ends = {"a": unit.conductors[tag].a, "b": unit.conductors[tag].b}
    return landed(unit, ends[side].on)


def ends_of(unit: Unit, c: Conductor, loose: Mapping[str, str]) -> list[str | None]:
    return [place_of(unit, end_name(c.tag, side), loose) for side in SIDES]


def touching(unit: Unit) -> Iterator[tuple[str, str, float]]:
    """What touches what should not, and with how many ohms."""
    yield from unit.joins
    types = {name: placed.type for name, placed in unit.parts.items()}
    for c in unit.conductors.values():
        for side in SIDES:
            end = c.end(side)
            found = stray_to(end, types)
            if end.on and found:
                yield end.on, found, STRAY_OHMS


def set_aside(unit: Unit, name: str) -> bool:
    """On the tray with nothing landed on it: it takes no part, and its role is free."""
    landed = any(
        part_of(c.end(s).on or "") == name for c in unit.conductors.values() for s in SIDES
    )
    joined = any(name in (part_of(a), part_of(b)) for a, b, _ in unit.joins)
    return unit.parts[name].where == "tray" and not landed and not joined


def is_wired(unit: Unit, name: str) -> bool:
    ends = [c.end(side).on for c in unit.conductors.values() for side in SIDES]
    return any(part_of(on) == name for on in ends if on is not None)
