"""Conductors as shapes: a tidy harness with dark casing, flags at both ends, ties in between.

A free end hangs at the rail below the plate, bare or capped. Knows what is seen and a plan; must
know no state of the program.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from trainer.view.board.placing import Plan, Stand
from trainer.view.board.routing import Exit, Route, Router, routes
from trainer.view.board.seen import Seen, SeenEnd, plan_of
from trainer.view.shapes import Box, Line, Point, Rect, Ring, Shape, Words
from trainer.view.theme import wire_colour

#: A conductor and its casing, the radius of its corners, a flag.
WIDE, CASING, BEND = 4.0, 6.5, 9.0
FLAG = (25.0, 29.0)
#: Pitch of free ends on the rail, at most and at least.
SLOT, SLOT_LEAST = 42.0, 27.0
STEPS = {"up": (0.0, -1.0), "down": (0.0, 1.0), "left": (-1.0, 0.0), "right": (1.0, 0.0)}


@dataclass(frozen=True)
class Drawn:
    """A harness: shapes in order, where the flag of each end hangs, the free ends' spots, and the
    run of each conductor.
    """

    shapes: tuple[Shape, ...]
    flags: Mapping[str, Rect]
    free: Mapping[str, Point]
    runs: Mapping[str, tuple[Point, ...]]


@lru_cache(maxsize=16)
def router_of(stands: tuple[Stand, ...]) -> Router:
    return Router(plan_of(stands))


def harness(seen: Seen, plan: Plan, router: Router, held: str = "") -> Drawn:
    """The harness of a board; the end called ``held`` is in the hand and not on the rail."""
    free = free_ends(seen, plan)
    exits = {e.name: _exit(e, plan, router, free) for e in seen.ends}
    pairs = _pairs(seen, exits)
    runs = routes(router, pairs)
    flags: dict[str, Rect] = {}
    shapes: list[Shape] = []
    along: dict[str, tuple[Point, ...]] = {}
    for tag, (a, b) in _ends_by_tag(seen).items():
        if tag in runs:
            along[tag] = (_tip(a, plan, free), *runs[tag].points, _tip(b, plan, free))
            shapes += _conductor(a.colour, along[tag])
    stacked: dict[str, int] = {}
    for end in seen.ends:
        if end.name in exits and exits[end.name] is not None and _shown(end, seen):
            shapes += _end_shapes(end, plan, free)
            flags[end.name] = _clear(
                _flag_rect(end, plan, free, stacked), end, plan, flags.values()
            )
    for end in seen.ends:
        if end.name in flags:
            shapes += _flag(end, flags[end.name], end.name == held)
    return Drawn(tuple(shapes), flags, free, along)


def free_ends(seen: Seen, plan: Plan) -> dict[str, Point]:
    """Free end -> the point at the top of the rail from which it hangs."""
    loose = [e for e in seen.ends if not e.on]
    if not loose:
        return {}
    room = plan.rail.w - 20.0
    slots = {e.name: e.slot if e.slot >= 0 else n for n, e in enumerate(loose)}
    pitch = SLOT if max(slots.values()) < int(room // SLOT) else SLOT_LEAST
    across = max(int(room // pitch), 1)
    return {
        name: (plan.rail.x + 24.0 + pitch * (n % across), plan.rail.y + 6.0)
        for name, n in slots.items()
    }


def _exit(end: SeenEnd, plan: Plan, router: Router, free: Mapping[str, Point]) -> Exit | None:
    if not end.on:
        last = max(n for n in plan.channels if n.startswith("H"))
        return Exit(free[end.name], last)
    spot = plan.spots.get(end.on)
    return router.exit_of(spot) if spot else None


def _pairs(seen: Seen, exits: Mapping[str, Exit | None]) -> dict[str, tuple[Exit, Exit]]:
    found = {}
    for tag, (a, b) in _ends_by_tag(seen).items():
        one, two = exits[a.name], exits[b.name]
        if one is not None and two is not None:
            found[tag] = one, two
    return found


def _ends_by_tag(seen: Seen) -> dict[str, tuple[SeenEnd, SeenEnd]]:
    pairs = zip(seen.ends[::2], seen.ends[1::2], strict=True)
    return {a.tag: (a, b) for a, b in pairs}


def _shown(end: SeenEnd, seen: Seen) -> bool:
    """An end under a cover is not seen."""
    part = seen.part(end.on.partition(".")[0]) if end.on else None
    return part is None or not part.cover


def _conductor(colour: str, points: tuple[Point, ...]) -> Iterator[Shape]:
    ground, stripe = wire_colour(colour)
    yield Line(points, "casing", CASING, BEND)
    yield Line(points, ground, WIDE, BEND)
    if stripe:
        yield Line(points, stripe, 1.4, BEND, dashed=True)


def _tip(end: SeenEnd, plan: Plan, free: Mapping[str, Point]) -> Point:
    if end.on and end.on in plan.spots:
        return plan.spots[end.on].at
    x, y = free.get(end.name, (0.0, 0.0))
    return x, y + 34.0


def _end_shapes(end: SeenEnd, plan: Plan, free: Mapping[str, Point]) -> Iterator[Shape]:
    x, y = _tip(end, plan, free)
    yield from fitted(end, x, y) if end.on else _free_end(end, x, y)


def fitted(end: SeenEnd, x: float, y: float) -> Iterator[Shape]:
    """An end on its place."""
    if end.fitting in ("ring", "fork"):
        yield Ring((x, y), 9.0, "brass", "casing", 1.5)
        yield Ring((x, y), 4.0, "metal", "casing", 1.0)
    elif end.fitting == "female_250":
        yield Box(Rect(x - 8.0, y - 9.0, 16.0, 18.0), "brass", "casing", 1.5, 3.0)
        if not end.seated:
            yield Box(Rect(x - 5.0, y - 2.0, 10.0, 4.0), "metal", "casing", 1.0)
    else:
        yield Ring((x, y), 5.5, "#B5713A", "casing", 1.5)


def _free_end(end: SeenEnd, x: float, y: float) -> Iterator[Shape]:
    """From the bottom of the rail upwards: cap, or fitting, or bare copper, or nothing bared."""
    if end.capped:
        yield Box(Rect(x - 7.0, y - 3.0, 14.0, 20.0), "#D97A2A", "casing", 1.5, 6.0)
    elif end.fitting != "none":
        yield Box(Rect(x - 7.0, y - 2.0, 14.0, 18.0), "brass", "casing", 1.5, 3.0)
        yield Line(((x, y + 3.0), (x, y + 12.0)), "casing", 1.0)
    elif end.stripped_mm > 0.0:
        long = 6.0 + min(end.stripped_mm, 16.0)
        yield Line(((x, y - 2.0), (x, y + long)), "casing", 5.0)
        yield Line(((x, y - 2.0), (x, y + long)), "#D08A4E", 3.0)
    if end.parked:
        yield Box(Rect(x - 10.0, y - 12.0, 20.0, 4.0), "ink", radius=2.0)


def _flag_rect(
    end: SeenEnd, plan: Plan, free: Mapping[str, Point], stacked: dict[str, int]
) -> Rect:
    """Beside the border of the part, further out for each end that is there already."""
    wide, high = FLAG
    if not end.on or end.on not in plan.spots:
        x, y = free.get(end.name, (0.0, 0.0))
        return Rect(x - wide / 2.0, y, wide, high)
    spot = plan.spots[end.on]
    n = stacked[end.on] = stacked.get(end.on, -1) + 1
    dx, dy = STEPS[spot.out]
    away = 2.0 + (wide if dx else high) / 2.0 + n * ((wide if dx else high) + 2.0)
    x, y = spot.edge[0] + dx * away, spot.edge[1] + dy * away
    return Rect(x - wide / 2.0, y - high / 2.0, wide, high)


def _clear(flag: Rect, end: SeenEnd, plan: Plan, others: Iterable[Rect]) -> Rect:
    """The flag moved outwards until it lies on no other; where it was when that does not help."""
    if end.on not in plan.spots:
        return flag
    dx, dy = STEPS[plan.spots[end.on].out]
    taken = list(others)
    for n in range(6):
        moved = flag.moved(7.0 * n * dx, 7.0 * n * dy)
        if not any(moved.inset(1.5).meets(t) for t in taken):
            return moved
    return flag


def _flag(end: SeenEnd, rect: Rect, held: bool) -> Iterator[Shape]:
    fill = "wash" if held else "sheet"
    yield Box(rect, fill, "action" if held else "casing", 2.0 if held else 1.0, 3.0)
    letters = end.colour.partition("/")[0]
    ground, stripe = wire_colour(end.colour)
    yield Box(Rect(rect.x + 1.0, rect.y + 1.0, rect.w - 2.0, 4.0), ground)
    if stripe:
        yield Box(Rect(rect.centre[0] - 3.0, rect.y + 1.0, 6.0, 4.0), stripe)
    x = rect.centre[0]
    yield Words((x, rect.y + 11.0), letters, "tag", False, "ink", "middle", rect.w - 2.0, fill)
    yield Words((x, rect.y + 22.0), end.tag, "tag", True, "ink", "middle", rect.w, fill)


def ties(router: Router, drawn: Sequence[Route]) -> Iterator[Shape]:
    """A tie across every channel in which three or more conductors run side by side."""
    for channel in router.plan.channels.values():
        if not channel.level:
            continue
        across = sorted(
            y
            for run in drawn
            for (x1, y), (x2, y2) in zip(run.points, run.points[1:], strict=False)
            if y == y2 and abs(y - channel.middle) <= channel.breadth
            and min(x1, x2) < channel.low + 0.5 * (channel.high - channel.low) < max(x1, x2)
        )  # fmt: skip
        if len(across) >= 3:
            x = channel.low + 0.5 * (channel.high - channel.low)
            yield Box(
                Rect(x - 3.0, across[0] - 5.0, 6.0, across[-1] - across[0] + 10.0), "sheet",
                "casing", 1.0, 3.0,
            )  # fmt: skip
