"""Nets of a unit: which terminals its conductors join, whatever way they run.

Tabs of one terminal are one place; a loose end belongs to no net. Knows conductors; must know no
ohms, no part's inside and no right wiring.
"""

from __future__ import annotations

from dataclasses import dataclass

from trainer.unit.conductor import SIDES, terminal_of
from trainer.unit.state import Unit


@dataclass(frozen=True)
class Net:
    """Terminals that are one, and the conductors that make them so, both sorted."""

    terminals: tuple[str, ...]
    wires: tuple[str, ...]


def nets_of(unit: Unit) -> list[Net]:
    """Every net of at least two terminals, sorted."""
    parent: dict[str, str] = {}
    for conductor in unit.conductors.values():
        ends = [terminal_of(on) for side in SIDES if (on := conductor.end(side).on)]
        for place in ends:
            parent.setdefault(place, place)
        if len(ends) == 2:
            parent[_root(parent, ends[0])] = _root(parent, ends[1])
    groups: dict[str, list[str]] = {}
    for place in parent:
        groups.setdefault(_root(parent, place), []).append(place)
    nets = [Net(tuple(sorted(places)), _wires(unit, set(places))) for places in groups.values()]
    return sorted((n for n in nets if len(n.terminals) > 1), key=lambda n: n.terminals)


def _root(parent: dict[str, str], place: str) -> str:
    while parent[place] != place:
        parent[place] = parent[parent[place]]
        place = parent[place]
    return place


def _wires(unit: Unit, places: set[str]) -> tuple[str, ...]:
    on = [
        tag
        for tag, c in unit.conductors.items()
        if all(c.end(s).on and terminal_of(str(c.end(s).on)) in places for s in SIDES)
    ]
    return tuple(sorted(on, key=in_order))


def in_order(tag: str) -> tuple[int, str]:
    """For sorting tags as a person counts them."""
    return (int(tag), "") if tag.isdigit() else (10**6, tag)


def partition(unit: Unit) -> frozenset[frozenset[str]]:
    """The nets as sets of terminals, to compare one unit's wiring with another's."""
    return frozenset(frozenset(net.terminals) for net in nets_of(unit))
