"""What is pointed at on a sheet, marked on the board: a conductor along its run, or a terminal.

Covers lie over the marks as over all else. Knows a plan and a harness; must know no bench.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from trainer.view.board.harness import BEND, Drawn
from trainer.view.board.placing import Plan
from trainer.view.board.targets import Camera
from trainer.view.pen import Pen
from trainer.view.shapes import Point, Rect, bounds

#: A flag hangs on one of the first pieces of its conductor.
NEAR_END = 4


def mark(pen: Pen, what: str, plan: Plan, made: Drawn, lie: Camera) -> None:
    """A conductor traced, with both its flags framed, or the places of a terminal ringed."""
    kind, _, of = what.partition(":")
    if kind == "wire" and of in made.runs:
        flags = [made.flags.get(f"{of}.{side}") for side in ("a", "b")]
        run = [lie.point(p) for p in _between(made.runs[of], flags)]
        pen.line(run, "focus", 8.0 * lie.zoom, BEND * lie.zoom)
        pen.line(run, "sheet", 3.0 * lie.zoom, BEND * lie.zoom)
        for flag in flags:
            if flag is not None:
                pen.box(lie.rect(flag).inset(-3.0), "", "focus", 3.0, 4.0)
    elif kind == "terminal":
        pen.halos([lie.point(at) for at in _places(of, plan)], max(13.0 * lie.zoom, 10.0), "focus")


def _places(terminal: str, plan: Plan) -> list[Point]:
    return [s.at for place, s in plan.spots.items() if place.partition(":")[0] == terminal]


def _between(points: Sequence[Point], flags: Sequence[Rect | None]) -> list[Point]:
    """The run from flag to flag, so that neither is painted over."""
    first, last = flags
    return _from(list(_from(list(points), first))[::-1], last)[::-1]


def _from(points: list[Point], flag: Rect | None) -> list[Point]:
    """The run without its beginning up to where it leaves a flag."""
    if flag is None:
        return points
    edge = flag.inset(-1.0)
    pairs = list(pairwise(points))[:NEAR_END]
    k = max((n for n, pair in enumerate(pairs) if bounds(pair).inset(-0.5).meets(edge)), default=0)
    (x, y), (to_x, to_y) = points[k], points[k + 1]
    if abs(to_x - x) < 0.01 and edge.x <= x <= edge.right:
        y = min(edge.bottom, to_y) if to_y > y else max(edge.y, to_y)
    elif abs(to_y - y) < 0.01 and edge.y <= y <= edge.bottom:
        x = min(edge.right, to_x) if to_x > x else max(edge.x, to_x)
    return [(x, y), *points[k + 1 :]]


def turned_to(what: str, plan: Plan, made: Drawn, lie: Camera) -> dict[str, float]:
    """How the board is to be scrolled so that something of what is marked is in sight."""
    kind, _, of = what.partition(":")
    spots = _places(of, plan)
    if kind == "wire":
        flags = (made.flags.get(f"{of}.{side}") for side in ("a", "b"))
        spots = [f.centre for f in flags if f is not None]
    if not spots or any(lie.view.has(lie.point(at)) for at in spots):
        return {}
    x, y = spots[0]
    return {
        "board.x": x * lie.zoom - lie.view.w / 2.0, "board": y * lie.zoom - lie.view.h / 2.0,
    }  # fmt: skip
