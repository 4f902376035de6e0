"""Where the wiring at the end differs from what was wanted, shown on the board itself.

A ring stands where an end is and should not be, a dashed square where one belongs, an arrow with the
wire's tag leads from the one to the other. Knows rows of a comparison; compares nothing.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Any, NamedTuple

from trainer.report.wiring import joints
from trainer.view import fonts
from trainer.view.board.seen import Seen, plan_of
from trainer.view.board.targets import Camera
from trainer.view.language import tr
from trainer.view.pen import Pen
from trainer.view.shapes import Point, Rect, Size

#: From this level of a comparison on, the wiring is not the diagram's circuit.
NOT_TO_DIAGRAM = 4
RING, SQUARE = 17.0, 21.0
#: Least share of their size, for a board that is seen whole.
FAR = 0.7
#: How far an arrow bends aside, so that two that change places lie apart. [logical px]
BEND = 26.0


class Mark(NamedTuple):
    """One end of a wire: where it is, where it belongs; "" is nowhere."""

    wire: str
    on: str
    wanted: str


def differing(page: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """Rows of wires that differ; none where another wiring makes the same circuit."""
    wiring = page.get("mark", {}).get("wiring", {})
    rows = wiring.get("rows", ())
    if int(wiring.get("level", 1)) < NOT_TO_DIAGRAM:
        return []
    names = {j.wire for j in joints(rows) if j.status == "differs"}
    return [r for r in rows if str(r["wire"]) in names]


def marks(rows: Sequence[Mapping[str, Any]]) -> list[Mark]:
    """Each end that is off its place, with the place it belongs on."""
    found: list[Mark] = []
    for row in rows:
        built = [str(p) for p in (row.get("from"), row.get("to")) if p]
        wanted = [str(p) for p in (row.get("wanted_from"), row.get("wanted_to")) if p]
        off = [p for p in built if p not in wanted]
        missing = [p for p in wanted if p not in built]
        for n in range(max(len(off), len(missing))):
            on = off[n] if n < len(off) else ""
            to = missing[n] if n < len(missing) else ""
            found.append(Mark(str(row["wire"]), on, to))
    return found


@lru_cache(maxsize=8)
def uncovered(seen: Seen) -> Seen:
    """The same board with every cover off, so that its terminals are seen."""
    return replace(seen, parts=tuple(replace(p, cover="") for p in seen.parts))


def draw(pen: Pen, lie: Camera, now: Seen, found: Sequence[Mark], view: Rect) -> None:
    ring, square = (r * min(max(lie.zoom, FAR), 1.0) for r in (RING, SQUARE))
    spots = [(m, *_spots(now, m, found)) for m in found]
    at = [(m, a and lie.point(a), b and lie.point(b)) for m, a, b in spots]
    with pen.clipped(view):
        for _, on, wanted in at:
            if on is not None:
                pen.ring(on, ring, "", "danger", 3.0)
            if wanted is not None:
                pen.line(_square(wanted, square), "good", 3.0, dashed=True)
        for mark, on, wanted in at:
            if on is not None and wanted is not None:
                _tag(pen, _arrow(pen, on, wanted, ring, square), mark.wire)
            elif on is not None:
                _tag(pen, (on[0], on[1] - ring - 12.0), tr("not {wire}", wire=mark.wire), "danger")
            elif wanted is not None:
                _tag(pen, (wanted[0], wanted[1] - square - 12.0), mark.wire)


def _spots(now: Seen, mark: Mark, every: Sequence[Mark]) -> tuple[Point | None, Point | None]:
    """Where an end is and where it belongs: there on a tab that is left, or one that is free."""
    off = {(m.wire, m.on) for m in every if m.on}
    taken = {e.on: e.tag for e in now.ends if e.on}
    here = [p for p in _tabs(now, mark.on) if taken.get(p) == mark.wire]
    there = _tabs(now, mark.wanted)
    left = [p for p in there if (taken.get(p), mark.wanted) in off]
    free = [p for p in there if p not in taken]
    spots = plan_of(now.stands).spots
    begin, end = here or _tabs(now, mark.on), left or free or there
    return (spots[begin[0]].at if begin else None), (spots[end[0]].at if end else None)


def _tabs(now: Seen, terminal: str) -> list[str]:
    """Places of a terminal; some have several."""
    spots = plan_of(now.stands).spots
    return [p for p in spots if terminal and p.partition(":")[0] == terminal.partition(":")[0]]


def _square(at: Point, r: float) -> Iterator[Point]:
    x, y = at
    return iter(((x - r, y - r), (x + r, y - r), (x + r, y + r), (x - r, y + r), (x - r, y - r)))


def _arrow(pen: Pen, a: Point, b: Point, ring: float, square: float) -> Point:
    """A bent arrow from border to border; returns its middle."""
    far = max(math.dist(a, b), 1.0)
    ux, uy = (b[0] - a[0]) / far, (b[1] - a[1]) / far
    bend = min(BEND, far / 2.0)
    middle = (a[0] + b[0]) / 2.0 + uy * bend, (a[1] + b[1]) / 2.0 - ux * bend
    begin, end = _towards(a, middle, ring), _towards(b, middle, square + 4.0)
    pen.line((begin, middle, end), "good", 3.0, round_by=12.0)
    way = math.atan2(end[1] - middle[1], end[0] - middle[0])
    for turn in (2.6, -2.6):
        tip = end[0] + 11.0 * math.cos(way + turn), end[1] + 11.0 * math.sin(way + turn)
        pen.line((end, tip), "good", 3.0)
    return middle


def _towards(a: Point, b: Point, by: float) -> Point:
    far = max(math.dist(a, b), 1.0)
    share = min(by / far, 0.5)
    return a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])


def _tag(pen: Pen, at: Point, words: str, ink: str = "good") -> None:
    wide = max(fonts.width(words, "tag", True) + 10.0, 20.0)
    rect = Rect(at[0] - wide / 2.0, at[1] - 9.0, wide, 18.0)
    pen.box(rect, "sheet", ink, 1.5, 4.0)
    with pen.ground("sheet"):
        pen.words(rect.centre, words, "tag", True, ink, "middle", wide - 4.0)


def legend(pen: Pen, rect: Rect) -> None:
    """What ring, square and arrow say, in words; one below the other where both do not fit."""
    off, missing = (
        tr("an end that should not be here"),
        tr("an end belongs here, by its wire's tag"),
    )
    half = rect.w / 2.0
    low = max(fonts.width(off), fonts.width(missing)) > half - 32.0
    size: Size = "tag" if low else "body"
    first = rect.x + 11.0, rect.y + (8.0 if low else rect.h / 2.0)
    second = (first[0], first[1] + 17.0) if low else (first[0] + half, first[1])
    r, room = (6.0, rect.w - 28.0) if low else (9.0, half - 32.0)
    pen.ring(first, r, "", "danger", 2.5)
    pen.words((first[0] + 17.0, first[1]), off, size, room=room)
    pen.line(_square(second, r), "good", 2.5, dashed=not low)
    pen.words((second[0] + 17.0, second[1]), missing, size, room=room)
