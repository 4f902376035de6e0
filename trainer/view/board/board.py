"""The board in its viewport: layers to paint, and everything on it that can be pointed at.

What can be pointed at follows from what is there and what the tool takes, never from what is
right. Knows what is seen; must know no act.
"""

from __future__ import annotations

from collections.abc import Collection
from functools import lru_cache

from trainer.view.board.harness import Drawn
from trainer.view.board.marked import mark, turned_to
from trainer.view.board.placing import Plan
from trainer.view.board.plate import covers, plate
from trainer.view.board.seen import Seen, plan_of
from trainer.view.board.targets import (
    CHASSIS,
    PITCH,
    Camera,
    board_nodes,
    drawn,
    far_nodes,
    is_far,
)
from trainer.view.language import spoken, tr
from trainer.view.pen import Pen
from trainer.view.shapes import Layer, Rect, Ring, Shape, Words
from trainer.view.theme import TARGET
from trainer.view.widgets import bar, button

#: Enlargement at most; at least so much that targets keep their size.
ZOOM_MOST = 1.8
#: The zoom that shows the whole board, however small; FIRST: that one where it can be read.
WHOLE, FIRST = -1.0, -2.0
#: Below this the letters of the board cannot be read.
READ = 0.45
#: Room for the button beside the level bar that changes between whole and close.
CHANGE = 120.0


def first_sight(seen: Seen, room: Rect, zoom: float) -> float:
    """The zoom of a board that nobody has brought closer yet: all of it where it can be read."""
    if zoom != FIRST:
        return zoom
    wide, high = plan_of(seen.stands).size
    whole = min(room.w / wide, (room.h - TARGET) / high)
    return WHOLE if READ <= whole < TARGET / PITCH else 0.0


def camera(seen: Seen, view: Rect, scrolls: dict[str, float], zoom: float = 0.0) -> Camera:
    """As large as it fits, but never so small that targets shrink; then it scrolls."""
    wide, high = plan_of(seen.stands).size
    fit = min(view.w / wide, view.h / high, ZOOM_MOST)
    chosen = fit if zoom == WHOLE else zoom or max(fit, TARGET / PITCH)
    most_x, most_y = max(wide * chosen - view.w, 0.0), max(high * chosen - view.h, 0.0)
    begin = plan_of(seen.stands).near_x * chosen
    x = min(max(scrolls.get("board.x", begin), 0.0), most_x)
    y = min(max(scrolls.get("board", 0.0), 0.0), most_y)
    if not most_x:
        x = -(view.w - wide * chosen) / 2.0
    if zoom == WHOLE:  # the same, however high the options beneath are
        y = 0.0
    elif not most_y:
        y = -(view.h - high * chosen) / 2.0
    return Camera(view, chosen, x, y, (wide * chosen, high * chosen))


def board(
    pen: Pen, view: Rect, seen: Seen, held: str, takes: Collection[str], picks: Collection[str],
    zoom: float = 0.0, marked: str = "", then: Seen | None = None,
) -> Camera:  # fmt: skip
    """Draws it. ``takes``: kinds that answer now (place, end, part, wire, cover). ``marked`` is
    what is pointed at on a sheet: ``wire:TAG``, ``terminal:PART.TERMINAL`` or "";
    ``then`` is how parts looked at the instant of a replay.
    """
    plan = plan_of(seen.stands)
    room, view = view, _beside_bars(seen, view, zoom)
    made = drawn(seen, held)
    lie = camera(seen, view, pen.scrolls, zoom)
    pen.scrolls |= turned_to(marked, plan, made, lie)
    lie = camera(seen, view, pen.scrolls, zoom)
    whole = Rect(view.x - lie.x, view.y - lie.y, *lie.size)
    with pen.clipped(view):
        shows = then or seen
        under, over = _layers(shows, seen, held, whole, lie.zoom, view, spoken())
        pen.extend(under)
        mark(pen, marked, plan, made, lie)
        pen.extend(over)
        if is_far(lie):
            pen.nodes.extend(far_nodes(seen, held, lie, view, spoken()))
        else:
            pen.nodes.extend(board_nodes(seen, held, lie, view, frozenset(takes), spoken()))
        for name in picks:
            _picked(pen, name, seen, plan, made, lie)
    _bars(pen, room, lie)
    _change(pen, room, lie, zoom)
    return lie


def _change(pen: Pen, room: Rect, lie: Camera, zoom: float) -> None:
    """Whole board, or close enough to work: where both differ."""
    wide, high = lie.size[0] / lie.zoom, lie.size[1] / lie.zoom
    if zoom != WHOLE and lie.view == room:
        return
    if zoom == WHOLE and min(room.w / wide, room.h / high) >= TARGET / PITCH:
        return
    place = Rect(room.right - CHANGE, room.bottom - TARGET - 1.0, CHANGE, TARGET)
    label, to = (tr("Go closer"), 0.0) if zoom == WHOLE else (tr("Whole board"), WHOLE)
    button(pen, "board.change", place, label, ("zoomed", to), "chip")


@lru_cache(maxsize=16)
def _layers(
    shows: Seen, seen: Seen, held: str, whole: Rect, zoom: float, view: Rect, language: str
) -> tuple[tuple[Shape, ...], tuple[Shape, ...]]:
    """The plate and its wires, and what covers them: the same objects while nothing changed."""
    wires, cover = drawn(seen, held).shapes, _covers(seen, language)
    under = (
        Layer(("plate", shows, language), whole, _plate(shows, language), zoom, view),
        Layer(("wires", seen, held), whole, wires, zoom, view),
    )
    return under, (Layer(("covers", seen, language), whole, cover, zoom, view),)


@lru_cache(maxsize=16)
def _covers(seen: Seen, language: str) -> tuple[Shape, ...]:
    return tuple(covers(seen, plan_of(seen.stands)))


@lru_cache(maxsize=16)
def _plate(seen: Seen, language: str) -> tuple[Shape, ...]:
    plan = plan_of(seen.stands)
    x, y = plan.plate.x + CHASSIS[0], plan.plate.y + CHASSIS[1]
    mark = (
        Ring((x, y), 9.0, "metal", "casing", 1.5), Ring((x, y), 3.5, "brass", "casing", 1.0),
        Words((x, y + 19.0), tr("chassis"), "tag", False, "ink", "middle", 56.0, "metal"),
    )  # fmt: skip
    return (*plate(seen, plan), *mark)


def _picked(pen: Pen, name: str, seen: Seen, plan: Plan, made: Drawn, lie: Camera) -> None:
    """A ring round what was picked for the tool in hand."""
    if name in plan.spots:
        at = plan.spots[name].at
    elif name == "chassis":
        at = plan.plate.x + CHASSIS[0], plan.plate.y + CHASSIS[1]
    elif name in made.flags:
        at = made.flags[name].centre
    else:
        return
    pen.halos([lie.point(at)], 17.0, "action")


def _beside_bars(seen: Seen, room: Rect, zoom: float) -> Rect:
    """The viewport without the bars that it needs."""
    if zoom == WHOLE:  # nothing scrolls; the way back stands beneath
        return Rect(room.x, room.y, room.w, room.h - TARGET - 2.0)
    lie = camera(seen, room, {}, zoom)
    down, across = lie.size[1] > room.h + 1.0, lie.size[0] > room.w + 1.0
    wide, high = room.w - TARGET * down, room.h - TARGET * across
    down, across = down or lie.size[1] > high + 1.0, across or lie.size[0] > wide + 1.0
    return Rect(room.x, room.y, room.w - TARGET * down, room.h - TARGET * (across or down))


def _bars(pen: Pen, room: Rect, lie: Camera) -> None:
    """How far the board is scrolled, when it is, and arrows to page it by clicks."""
    view = lie.view
    if lie.size[1] > view.h + 1.0:
        most = lie.size[1] - view.h
        pen.node(
            "scroll.board", "scroll", view, "board", focus=False, value=f"{most:.0f} {lie.y:.0f}"
        )
        bar(pen, "board", Rect(view.right, view.y, TARGET, view.h), lie.y, view.h, lie.size[1])
    if lie.size[0] > view.w + 1.0:
        most = lie.size[0] - view.w
        pen.node(
            "scroll.board.x",
            "scroll",
            view,
            "board, sideways",
            focus=False,
            value=f"{most:.0f} {lie.x:.0f}",
        )
        place = Rect(view.x, view.bottom, room.w - CHANGE - 4.0, TARGET)
        bar(pen, "board.x", place, lie.x, view.w, lie.size[0], level=True)
