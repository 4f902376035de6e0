"""What of a unit matters to a mark: its sources, what opens them, what must be proved, kinds.

Read from the layout and the catalogue once for each unit. Knows their records; must know no
event, no rule and no solver.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from trainer.unit.catalogue import electrical, type_of
from trainer.unit.conductor import part_of, terminal_of
from trainer.unit.layout import Layout

CHASSIS = "chassis"
#: Kinds of part whose terminals belong to the 24 V circuit, and terminals of coils elsewhere.
CONTROL_KINDS = frozenset((
    "thermostat_supply", "pressure_switch", "delay_timer", "reversing_valve", "defrost_control",
    "control_transformer",
))  # fmt: skip
COIL_TERMINALS = frozenset(("A1", "A2"))
CAPACITOR_KINDS = frozenset(("run_capacitor", "dual_capacitor", "start_capacitor"))
Pair = tuple[str, str]


@dataclass(frozen=True)
class Source:
    """A feed: ``contacts`` are those its isolator opens, any of ``or_by`` isolates it as well."""

    name: str
    isolated_by: str
    lockable: bool
    live_side: tuple[str, ...]
    contacts: tuple[str, ...]
    or_by: tuple[str, ...] = ()


@dataclass(frozen=True)
class Site:
    """``line_pairs`` and ``control_pairs`` must be proved dead; ``grounds`` are on the chassis."""

    sources: tuple[Source, ...]
    line_pairs: frozenset[Pair]
    control_pairs: frozenset[Pair]
    capacitors: tuple[Pair, ...]
    covers: Mapping[str, tuple[str, ...]]
    where: Mapping[str, str]
    grounds: frozenset[str]

    @property
    def locked_sources(self) -> list[Source]:
        return [s for s in self.sources if s.lockable]

    def capacitors_of(self, parts: Iterable[str]) -> list[Pair]:
        """The pairs of terminals whose capacitor is in the unit now."""
        here = set(parts)
        return [pair for pair in self.capacitors if part_of(pair[0]) in here]

    def guards(self, cover: str) -> bool:
        """Whether a cover keeps hands off parts in the unit, not only off an isolator."""
        hides = self.covers.get(cover, ())
        return any(self.where.get(part_of(p), "unit") == "unit" for p in hides)

    def over_terminals(self, cover: str, parts: Mapping[str, Any]) -> bool:
        """Whether it is the barrier over a compressor's terminals."""
        hides = {part_of(p) for p in self.covers.get(cover, ())}
        return any(kind_of(parts[p]["type"]) in COMPRESSORS for p in hides if p in parts)


COMPRESSORS = frozenset(("motor", "compressor"))


@lru_cache(maxsize=256)
def kind_of(type_name: str) -> str:
    """The kind of part a type is, or "" for a mere joining place."""
    part = type_of(type_name).part
    return "" if part is None else str(part["kind"])


def pair(a: str, b: str) -> Pair:
    """Two places as a pair without an order, tabs left out."""
    first, second = sorted((terminal_of(a), terminal_of(b)))
    return first, second


def site_of(layout: Layout) -> Site:
    """The facts of a layout."""
    kinds = {name: kind_of(spot.type) for name, spot in layout.parts.items()}
    pairs = [pair(a, b) for a, b in layout.must_prove]
    control = frozenset(p for p in pairs if all(_control(t, kinds) for t in p))
    grounds = {
        f"{name}.{terminal}"
        for name, spot in layout.parts.items()
        if type_of(spot.type).earth
        for terminal in type_of(spot.type).terminals
    }
    return Site(
        sources=tuple(_source(feed, layout) for feed in layout.feeds),
        line_pairs=frozenset(pairs) - control,
        control_pairs=control,
        capacitors=tuple(pair(a, b) for a, b in layout.capacitors),
        covers={name: tuple(cover.hides) for name, cover in layout.covers.items()},
        where={name: spot.where for name, spot in layout.parts.items()},
        grounds=frozenset(grounds | _on_ground(layout) | {CHASSIS}),
    )


def _control(place: str, kinds: Mapping[str, str]) -> bool:
    if place == CHASSIS:
        return False
    part, _, terminal = place.partition(".")
    return kinds.get(part, "") in CONTROL_KINDS or terminal in COIL_TERMINALS


def _on_ground(layout: Layout) -> set[str]:
    """Terminals called PE or G: a second reference for a test to ground."""
    return {
        f"{name}.{terminal}"
        for name, spot in layout.parts.items()
        for terminal in type_of(spot.type).terminals
        if terminal in ("PE", "G")
    }


def _source(feed: Any, layout: Layout) -> Source:
    part = feed.isolated_by
    spot = layout.parts[part]
    body = electrical(spot.type, spot.set)
    verbs = {} if body is None else body.hand(part)
    contacts = tuple(name for name, _ in verbs.get("open", ()))
    own = {place.replace(".", "~") for place in feed.live_side}
    named = tuple(c for c in contacts if c in own)
    upstream = _upstream(layout, part) if feed is layout.feeds[0] else ()
    return Source(
        feed.name, part, feed.lockable, tuple(feed.live_side), named or contacts, upstream
    )


def _upstream(layout: Layout, isolator: str) -> tuple[str, ...]:
    """Breakers in the panel: open and locked, they isolate the branch as well."""
    return tuple(
        name
        for name, spot in layout.parts.items()
        if spot.where == "panel" and name != isolator and kind_of(spot.type) == "breaker"
    )
