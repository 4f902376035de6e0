"""How conductors run: from a place into its channel, along channels, and side by side in them.

Which channels a conductor takes depends on its two places alone; only the lane within a channel
depends on its neighbours, so landing one conductor moves the others by a lane at most. Knows a
plan of the board; must know no drawing.
"""

from __future__ import annotations

import heapq
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import count

from trainer.view.board.placing import Channel, Plan, Spot
from trainer.view.shapes import Point

#: What a turn costs beside the way [logical px], and the usual distance of lanes.
TURN, PITCH = 40.0, 9.0
#: Conductors beside each other are told apart from this distance on [logical px].
APART = 4.0


#: (conductor, which of its channels) -> the middle of its lane there.
Lanes = dict[tuple[str, int], float]


@dataclass(frozen=True)
class Exit:
    """Where a conductor comes into a channel: the point it comes from, and the channel's name."""

    at: Point
    channel: str


@dataclass(frozen=True)
class Route:
    """Points from end a to end b."""

    tag: str
    points: tuple[Point, ...]


def crossings(plan: Plan) -> dict[tuple[str, str], Point]:
    """Where two channels meet."""
    found = {}
    level = [c for c in plan.channels.values() if c.level]
    upright = [c for c in plan.channels.values() if not c.level]
    for h in level:
        for v in upright:
            if h.low - 1.0 <= v.middle <= h.high + 1.0 and v.low - 1.0 <= h.middle <= v.high + 1.0:
                found[h.name, v.name] = (v.middle, h.middle)
    return found


class Router:
    """Ways on one plan, each found once and kept."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.meets: dict[str, dict[str, Point]] = defaultdict(dict)
        for (h, v), at in crossings(plan).items():
            self.meets[h][v] = at
            self.meets[v][h] = at
        self._ways: dict[tuple[Exit, Exit], tuple[str, ...]] = {}

    def exit_of(self, spot: Spot) -> Exit:
        return Exit(spot.edge, self.plan.channel_of(spot))

    def way(self, a: Exit, b: Exit) -> tuple[str, ...]:
        """Names of channels from one exit to the other; the shortest with few turns."""
        key = a, b
        if key not in self._ways:
            self._ways[key] = self._found(a, b)
        return self._ways[key]

    def _found(self, a: Exit, b: Exit) -> tuple[str, ...]:
        order = count()
        queue: list[tuple[float, int, str, float, tuple[str, ...]]] = [
            (0.0, next(order), a.channel, self._along(a), (a.channel,))
        ]
        best: dict[tuple[str, int], float] = {}
        while queue:
            far, _, channel, at, way = heapq.heappop(queue)
            if way[-1] == "":
                return way[:-1]
            if best.get((channel, round(at)), 1e9) <= far:
                continue
            best[channel, round(at)] = far
            if channel == b.channel:
                rest = far + abs(self._along(b) - at)
                heapq.heappush(queue, (rest, next(order), channel, at, (*way, "")))
            level = self.plan.channels[channel].level
            for other, point in self.meets[channel].items():
                here = point[0] if level else point[1]
                there = point[1] if level else point[0]
                cost = far + abs(here - at) + TURN
                heapq.heappush(queue, (cost, next(order), other, there, (*way, other)))
        return (a.channel, b.channel)

    def _along(self, exit_: Exit) -> float:
        return exit_.at[0] if self.plan.channels[exit_.channel].level else exit_.at[1]


@dataclass(frozen=True)
class Stretch:
    """One conductor along its n-th channel, and where it comes in from beside: (along, side).

    A side is -1 for what comes from above or from the left, 1 for the other one.
    """

    tag: str
    n: int
    low: float
    high: float
    stubs: tuple[tuple[float, int], ...]

    def before(self, other: Stretch) -> bool:
        """Whether its lane has to be the nearer one to -1, lest both come in upon one another."""
        return any(
            side < 0 < beside and abs(at - there) < APART
            for at, side in self.stubs
            for there, beside in other.stubs
        )


def routes(router: Router, ends: Mapping[str, tuple[Exit, Exit]]) -> dict[str, Route]:
    """Every conductor's run: ``ends`` gives tag -> its two exits.

    Where a conductor turns off is known once the channels across have their lanes, so lanes are
    given in turn: uprights, level ones, and again.
    """
    ways = {tag: router.way(a, b) for tag, (a, b) in ends.items()}
    lanes: Lanes = {}
    for level in (False, True, False, True, False):
        rows: dict[str, list[Stretch]] = defaultdict(list)
        for tag, way in ways.items():
            for n, name in enumerate(way):
                if router.plan.channels[name].level == level:
                    rows[name].append(_stretch(router, way, tag, n, ends[tag], lanes))
        for name, stretches in rows.items():
            lanes |= _lanes(router.plan.channels[name], stretches)
    return {tag: Route(tag, _points(router, ways[tag], lanes, tag, *ends[tag])) for tag in ends}


def _stretch(
    router: Router, way: Sequence[str], tag: str, n: int, ends: tuple[Exit, Exit], lanes: Lanes
) -> Stretch:
    """Where it turns into a channel whose lane is not known yet, it is taken for longer."""
    channel = router.plan.channels[way[n]]
    k = 0 if channel.level else 1
    found: list[tuple[float, float]] = []
    stubs: list[tuple[float, int]] = []
    for end, beside in ((ends[0], n - 1), (ends[1], n + 1)):
        if not 0 <= beside < len(way):
            found.append((end.at[k], 0.0))
            stubs.append((end.at[k], -1 if end.at[1 - k] < channel.middle else 1))
        elif (tag, beside) in lanes:
            at = lanes[tag, beside]
            found.append((at, 0.0))
            far = _span(router, way, beside, *ends)[0 if beside < n else 1]
            stubs.append((at, -1 if far < channel.middle else 1))
        else:
            found.append((_meeting(router, way[n], way[beside])[k], _half(router, way, beside)))
    (low, less), (high, more) = sorted(found)
    return Stretch(tag, n, low - less, high + more, tuple(stubs))


def _half(router: Router, way: Sequence[str], n: int) -> float:
    """Half the breadth of a channel on the way, 0 beyond its ends."""
    return router.plan.channels[way[n]].breadth / 2.0 if 0 <= n < len(way) else 0.0


def _span(router: Router, way: Sequence[str], n: int, a: Exit, b: Exit) -> tuple[float, float]:
    """From where to where a conductor runs along its n-th channel."""
    level = router.plan.channels[way[n]].level
    k = 0 if level else 1
    before = a.at[k] if n == 0 else _meeting(router, way[n - 1], way[n])[k]
    after = b.at[k] if n == len(way) - 1 else _meeting(router, way[n], way[n + 1])[k]
    return before, after


def _meeting(router: Router, one: str, other: str) -> Point:
    found = router.meets[one].get(other)
    if found is not None:
        return found
    a, b = router.plan.channels[one], router.plan.channels[other]
    level, upright = (a, b) if a.level else (b, a)
    return upright.middle, level.middle


def _lanes(channel: Channel, rows: list[Stretch]) -> Lanes:
    """A lane for every stretch such that those side by side do not lie on each other.

    Lanes are filled from the first on, each from its low end; a stretch that has to be before
    another is placed before it. Where two have to be before each other, the lower one goes first.
    """
    left = sorted(rows, key=lambda r: (r.low, r.high, r.tag))
    given: list[tuple[Stretch, int]] = []
    lane = 0
    while left:
        ready = [r for r in left if not any(o.before(r) for o in left if o is not r)] or left[:1]
        end = -1e9
        for row in ready:
            if row.low > end + APART:
                given.append((row, lane))
                left.remove(row)
                end = row.high
        lane += 1
    pitch = min(PITCH, channel.breadth / max(lane - 1, 1))
    first = channel.middle - pitch * (lane - 1) / 2.0
    return {(row.tag, row.n): first + pitch * k for row, k in given}


def _points(
    router: Router, way: Sequence[str], lanes: Lanes, tag: str,
    a: Exit, b: Exit,
) -> tuple[Point, ...]:  # fmt: skip
    points = [a.at]
    for n, name in enumerate(way):
        level = router.plan.channels[name].level
        lane = lanes[tag, n]
        x, y = points[-1]
        points.append((x, lane) if level else (lane, y))
        if n + 1 < len(way):
            following = lanes[tag, n + 1]
            points.append((following, lane) if level else (lane, following))
        else:
            points.append((b.at[0], lane) if level else (lane, b.at[1]))
    points.append(b.at)
    return _plain(points)


def _plain(points: Sequence[Point]) -> tuple[Point, ...]:
    """Without doubled points and without points between two on one line."""
    found: list[Point] = []
    for p in points:
        if found and abs(found[-1][0] - p[0]) < 0.01 and abs(found[-1][1] - p[1]) < 0.01:
            continue
        while len(found) > 1 and _between(found[-2], found[-1], p):
            found.pop()
        found.append(p)
    return tuple(found)


def _between(a: Point, b: Point, c: Point) -> bool:
    return (abs(a[0] - b[0]) < 0.01 and abs(b[0] - c[0]) < 0.01) or (
        abs(a[1] - b[1]) < 0.01 and abs(b[1] - c[1]) < 0.01
    )
