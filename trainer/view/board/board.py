"""The board in its viewport: layers to paint, and everything on it that can be pointed at.

What can be pointed at follows from what is there and what the tool takes, never from what is
right. Knows what is seen; must know no act.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass
from functools import lru_cache

from trainer.view.board.harness import Drawn, harness, router_of
from trainer.view.board.placing import Plan, Spot
from trainer.view.board.plate import called, covers, plate
from trainer.view.board.seen import Seen, SeenEnd, plan_of
from trainer.view.language import spoken, term, tr
from trainer.view.pen import Pen
from trainer.view.shapes import Layer, Node, Point, Rect, Ring, Shape, Words
from trainer.view.theme import TARGET
from trainer.view.widgets import bar, button

#: A bare spot of the chassis to probe and to land on [logical px from the plate's corner].
CHASSIS = (24.0, 58.0)
#: Enlargement at most; at least so much that targets keep their size.
ZOOM_MOST, PITCH = 1.8, 26.0
#: The zoom that shows the whole board, however small; then only parts answer, to go closer.
WHOLE = -1.0
#: Room for the button beside the level bar that changes between whole and close.
CHANGE = 120.0


@dataclass(frozen=True)
class Camera:
    """How the board lies in its viewport."""

    view: Rect
    zoom: float
    x: float
    y: float
    size: Point

    def rect(self, r: Rect) -> Rect:
        z = self.zoom
        return Rect(
            self.view.x + r.x * z - self.x, self.view.y + r.y * z - self.y, r.w * z, r.h * z
        )

    def point(self, p: Point) -> Point:
        return self.view.x + p[0] * self.zoom - self.x, self.view.y + p[1] * self.zoom - self.y


@lru_cache(maxsize=32)
def drawn(seen: Seen, held: str) -> Drawn:
    plan = plan_of(seen.stands)
    return harness(seen, plan, router_of(seen.stands), held)


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
    if not most_y:
        y = -(view.h - high * chosen) / 2.0
    return Camera(view, chosen, x, y, (wide * chosen, high * chosen))


def board(
    pen: Pen, view: Rect, seen: Seen, held: str, takes: Collection[str], picks: Collection[str],
    zoom: float = 0.0,
) -> Camera:  # fmt: skip
    """Draws it. ``takes``: kinds that answer now (place, end, part, wire, cover)."""
    plan = plan_of(seen.stands)
    room, view = view, _beside_bars(seen, view, zoom)
    lie = camera(seen, view, pen.scrolls, zoom)
    made = drawn(seen, held)
    whole = Rect(view.x - lie.x, view.y - lie.y, *lie.size)
    with pen.clipped(view):
        pen.add(Layer(("plate", seen, spoken()), whole, _plate(seen, spoken()), lie.zoom, view))
        pen.add(Layer(("wires", seen, held), whole, made.shapes, lie.zoom, view))
        pen.add(Layer(("covers", seen, spoken()), whole, _covers(seen, spoken()), lie.zoom, view))
        if lie.zoom < TARGET / PITCH - 0.001:
            pen.nodes.extend(_far_nodes(seen, lie, pen.clip or view))
        else:
            pen.nodes.extend(_nodes(seen, held, lie, pen.clip or view, frozenset(takes), spoken()))
        for name in picks:
            _picked(pen, name, seen, plan, made, lie)
    _bars(pen, room, lie)
    _change(pen, room, lie, zoom)
    return lie


def _far_nodes(seen: Seen, lie: Camera, clip: Rect) -> list[Node]:
    """From afar a part is only something to go closer to: terminals are too small to hit."""
    found = []
    near, plan = TARGET / PITCH, plan_of(seen.stands)
    for part in seen.parts:
        here = plan.parts[part.name]
        x, y = here.rect.centre
        on = ("closer", x * near - lie.view.w / 2.0, y * near - lie.view.h / 2.0)
        words = tr("{part}: go closer", part=called(part.name, here))
        found.append(Node(f"far.{part.name}", "button", lie.rect(here.rect), words, on, clip=clip))
    return found


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


@lru_cache(maxsize=64)
def _nodes(
    seen: Seen, held: str, lie: Camera, clip: Rect, takes: frozenset[str], language: str
) -> tuple[Node, ...]:
    """Everything on the board that answers, kept while the board lies as it does."""
    plan, made = plan_of(seen.stands), drawn(seen, held)
    found: list[Node] = []

    def node(name: str, role: str, rect: Rect, label: str, *on: object, **more: object) -> None:
        found.append(Node(name, role, lie.rect(rect), label, on, clip=clip, **more))  # type: ignore[arg-type]

    for part in seen.parts:
        here = plan.parts[part.name]
        if part.cover:
            words = tr("cover {cover} over {part}", cover=term("cover", part.cover), part=part.name)
            node(f"cover.{part.name}", "cover", here.rect, words, "cover", part.cover, part.name)
        elif "part" in takes:
            words = f"{called(part.name, here)}, {part.printed}"
            node(f"part.{part.name}", "part", here.rect, words, "part", part.name)
    _places(node, seen, plan)
    for end in seen.ends:
        if end.name in made.flags:
            rect = made.flags[end.name]
            place = Rect(rect.x - 0.5, rect.y, rect.w + 1.0, rect.h if end.on else 58.0)
            node(f"end.{end.name}", "end", place, words_of(end), "end", end.name, grab=True)
    x, y = plan.plate.x + CHASSIS[0], plan.plate.y + CHASSIS[1]
    node("place.chassis", "place", _about((x, y)), tr("chassis, bare metal"), "place", "chassis",
         accept=True)  # fmt: skip
    return tuple(found)


def _places(node: Callable[..., None], seen: Seen, plan: Plan) -> None:
    hidden = {p.name for p in seen.parts if p.cover}
    for spot in plan.spots.values():
        if spot.part not in hidden:
            words = place_words(spot, seen)
            node(f"place.{spot.place}", "place", _about(spot.at), words, "place", spot.place,
                 accept=True, grab=bool(seen.ends_on(spot.place)))  # fmt: skip


def place_words(spot: Spot, seen: Seen) -> str:
    """What a reader says of a place: its part, its marking if that can be read, what is on it."""
    terminal = spot.place.partition(":")[0]
    marking = dict(seen.markings).get(terminal, "")
    read = tr("marking under dirt") if terminal in seen.dirty else (marking or tr("no marking"))
    on = ", ".join(
        tr("wire {tag} {colour}", tag=e.tag, colour=e.colour) for e in seen.ends_on(spot.place)
    )
    return f"{spot.place}, {read}, {on or tr('nothing on it')}"


def words_of(end: SeenEnd) -> str:
    where = (
        tr("on {place}", place=end.on)
        if end.on
        else tr("capped")
        if end.capped
        else tr("hangs free")
    )
    return tr("wire {tag} {colour}, end {side}, {where}", tag=end.tag, colour=end.colour,
              side=end.side, where=where)  # fmt: skip


def _about(at: Point) -> Rect:
    return Rect(at[0] - 13.0, at[1] - 13.0, 26.0, 26.0)


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
    pen.ring(lie.point(at), 17.0, "", "action", 3.0)


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
