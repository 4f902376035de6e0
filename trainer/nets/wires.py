"""A wire as a pair of terminals, and what wires join: union-find on plain names.

Tabs of one terminal are one place; a loose end joins nothing. Knows names only.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from trainer.unit.conductor import terminal_of
from trainer.unit.state import Unit

Partition = frozenset[frozenset[str]]


@dataclass(frozen=True)
class Wire:
    """A conductor with the terminals its ends are on, "" for a loose end."""

    tag: str
    a: str
    b: str
    colour: str = ""
    gauge: str = ""

    @property
    def whole(self) -> bool:
        return bool(self.a and self.b)

    def end(self, side: str) -> str:
        return self.a if side == "a" else self.b


def wires_of(unit: Unit) -> list[Wire]:
    """The conductors of a unit."""
    return [
        Wire(c.tag, _terminal(c.a.on), _terminal(c.b.on), c.colour, c.gauge)
        for c in unit.conductors.values()
    ]


def wires_in(conductors: Mapping[str, Mapping[str, Any]]) -> list[Wire]:
    """The conductors of a log's plain data."""
    return [
        Wire(tag, _terminal(c["a"]["on"]), _terminal(c["b"]["on"]), c["colour"], c["gauge"])
        for tag, c in conductors.items()
    ]


def _terminal(on: str | None) -> str:
    return terminal_of(on) if on else ""


class Joined:
    """Terminals joined so far; each group has one root."""

    def __init__(self, wires: Iterable[Wire] = ()) -> None:
        self.parent: dict[str, str] = {}
        for wire in wires:
            if wire.whole:
                self.join(wire.a, wire.b)

    def root(self, place: str) -> str:
        parent = self.parent
        while parent.get(place, place) != place:
            parent[place] = parent.get(parent[place], parent[place])
            place = parent[place]
        return place

    def join(self, a: str, b: str) -> bool:
        """Whether they were apart before."""
        one, other = self.root(a), self.root(b)
        self.parent.setdefault(a, a)
        self.parent.setdefault(b, b)
        self.parent[one] = other
        return one != other

    def same(self, a: str, b: str) -> bool:
        return self.root(a) == self.root(b)

    def groups(self) -> Partition:
        """Groups of at least two."""
        found: dict[str, set[str]] = {}
        for place in self.parent:
            found.setdefault(self.root(place), set()).add(place)
        return frozenset(frozenset(g) for g in found.values() if len(g) > 1)


def groups_of(wires: Iterable[Wire]) -> Partition:
    return Joined(wires).groups()


def renamed(groups: Partition, names: Mapping[str, str]) -> Partition:
    """The same groups with some terminals called otherwise."""
    return frozenset(frozenset(names.get(t, t) for t in group) for group in groups)
