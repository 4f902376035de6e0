"""What of a bench can be seen on the board, as plain values: the only thing the drawing reads.

A live conductor is seen as any other. Knows the bench; must tell nothing that a person standing
there would not see.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import count

from trainer.session.bench import Bench
from trainer.session.doing import site_of
from trainer.unit.catalogue import type_of
from trainer.unit.circuit import end_name
from trainer.unit.conductor import SIDES, End, Side, part_of, terminal_of
from trainer.unit.layout import Layout
from trainer.view.board.placing import Plan, Stand, plan

#: For a bench that nobody watches: free ends hang in their order.
NO_SLOTS: Mapping[str, int] = {}


@dataclass(frozen=True)
class SeenEnd:
    """One end of a conductor; ``place`` is where a probe finds it when it hangs free."""

    tag: str
    side: Side
    colour: str
    on: str
    place: str
    fitting: str
    crimp: str
    stripped_mm: float
    capped: bool
    parked: bool
    label: str
    seated: bool
    #: Where on the rail it hangs when it is free, or -1 for the next that is not taken.
    slot: int = -1

    @property
    def name(self) -> str:
        return f"{self.tag}.{self.side}"


@dataclass(frozen=True)
class SeenPart:
    name: str
    type: str
    printed: str
    closed: bool
    #: The cover that hides it, or "".
    cover: str
    locked: str
    tag: str
    turning: bool


@dataclass(frozen=True, eq=False)
class Seen:
    """A board as seen now. Boards that look alike are one object: see ``seen``."""

    parts: tuple[SeenPart, ...]
    ends: tuple[SeenEnd, ...]
    #: Terminal -> its marking; dirty ones are in ``dirty``.
    markings: tuple[tuple[str, str], ...]
    dirty: frozenset[str]
    stands: tuple[Stand, ...]

    def part(self, name: str) -> SeenPart | None:
        return next((p for p in self.parts if p.name == name), None)

    def ends_on(self, place: str) -> list[SeenEnd]:
        return [e for e in self.ends if e.on == place]

    def is_on(self, name: str) -> bool:
        """Whether an end is on a terminal."""
        end = self.end(name)
        return end is not None and bool(end.on)

    def end(self, name: str) -> SeenEnd | None:
        return next((e for e in self.ends if e.name == name), None)


def layout_of(bench: Bench) -> Layout:
    return bench.own_layout or site_of(bench.unit.layout, bench.unit.digest)


#: Boards by what is seen of them, and the bench that was looked at last.
_BOARDS: dict[object, Seen] = {}
_LAST: dict[str, tuple[Bench, object, Seen, object]] = {}
BOARDS_MOST = 64


def seen(
    bench: Bench,
    spots: Mapping[str, tuple[float, float, float]],
    slots: Mapping[str, int] = NO_SLOTS,
) -> Seen:
    """``spots`` is where parts stand that the layout does not know, in mm with their turn.

    ``slots`` is where free ends hang, so that the others stay where they are when one is landed.
    """
    last = _LAST.get("")
    if last is not None and last[0] is bench and last[1] is spots and last[3] is slots:
        return last[2]
    made = _seen(bench, spots, slots)
    key = (made.parts, made.ends, made.markings, made.dirty, made.stands)
    if len(_BOARDS) > BOARDS_MOST:
        _BOARDS.clear()
    made = _BOARDS.setdefault(key, made)
    _LAST[""] = bench, spots, made, slots
    return made


def _seen(
    bench: Bench, spots: Mapping[str, tuple[float, float, float]], slots: Mapping[str, int]
) -> Seen:
    layout = layout_of(bench)
    unit = bench.unit
    covers = {
        part: name
        for name, cover in layout.covers.items()
        if name not in unit.covers_off
        for part in cover.hides
    }
    shut = {n.partition("~")[0] for n, closed in unit.electrics.closed.items() if closed}
    turning = {n for n, m in unit.electrics.machines.items() if abs(m.speed_rad_s) > 5.0}
    parts = tuple(
        SeenPart(
            name, p.type, type_of(p.type).printed, name in shut, covers.get(name, ""),
            bench.locks[name].owner if name in bench.locks else "",
            bench.locks[name].tag if name in bench.locks else "",
            any(n.partition("~")[0] == name for n in turning),
        )
        for name, p in unit.parts.items()
    )  # fmt: skip
    dirty = frozenset(d for d in bench.dirty if d not in unit.wiped)
    return Seen(parts, _ends(bench, slots), _markings(bench), dirty, _stands(bench, layout, spots))


def hanging(before: Mapping[str, int], bench: Bench) -> dict[str, int]:
    """Free end -> its slot: where it hung before, or the first that nothing hangs in."""
    free = [
        f"{tag}.{side}"
        for tag, c in bench.unit.conductors.items() for side in SIDES if c.end(side).on is None
    ]  # fmt: skip
    found = {name: before[name] for name in free if name in before}
    open_slots = (n for n in count() if n not in set(found.values()))
    return found | {name: next(open_slots) for name in free if name not in found}


def _ends(bench: Bench, slots: Mapping[str, int]) -> tuple[SeenEnd, ...]:
    return tuple(
        _end(tag, c.colour, side, c.end(side), slots.get(f"{tag}.{side}", -1))
        for tag, c in bench.unit.conductors.items()
        for side in SIDES
    )


def _end(tag: str, colour: str, side: Side, end: End, slot: int) -> SeenEnd:
    return SeenEnd(
        tag, side, colour, end.on or "", end_name(tag, side), end.fitting, end.crimp,
        end.stripped_mm, end.capped, end.parked, end.label, end.seated >= 1.0, slot,
    )  # fmt: skip


def _markings(bench: Bench) -> tuple[tuple[str, str], ...]:
    return tuple(
        (f"{name}.{terminal}", spec.marking)
        for name, p in bench.unit.parts.items()
        for terminal, spec in type_of(p.type).terminals.items()
    )


def _stands(
    bench: Bench, layout: Layout, spots: Mapping[str, tuple[float, float, float]]
) -> tuple[Stand, ...]:
    found = []
    for name, placed in bench.unit.parts.items():
        spot = layout.parts.get(name)
        where = placed.where if spot is None else spot.where
        x, y, angle = spots.get(name, (1e4, 1e4, 0.0)) if spot is None else (*spot.at, spot.turn)
        found.append(Stand(name, placed.type, where, (x, y), int(angle)))
    return tuple(found)


@lru_cache(maxsize=16)
def plan_of(stands: tuple[Stand, ...]) -> Plan:
    return plan(stands)


__all__ = ["Seen", "SeenEnd", "SeenPart", "part_of", "plan_of", "seen", "terminal_of"]
