"""The loupe: an enlarged picture of the part or the end that was looked at, beside it on the board.

Shows what an eye sees and no more: dirt hides a marking, nothing tells whether a thing is live.
Knows what is seen and facts of ends; changes nothing.
"""

from __future__ import annotations

from functools import lru_cache

from trainer.session.bench import Bench
from trainer.unit.catalogue import Place, place_in
from trainer.view.board.end_near import Sight, end_near, marks, ruler
from trainer.view.board.harness import fitted
from trainer.view.board.placing import Standing, alone
from trainer.view.board.plate import called, near_part
from trainer.view.board.seen import Seen, plan_of
from trainer.view.board.targets import Camera, drawn
from trainer.view.language import spoken, tr
from trainer.view.pen import Pen
from trainer.view.shapes import Layer, Point, Rect, Shape
from trainer.view.theme import TARGET
from trainer.view.widgets import button, button_width

#: Size of the card at most, its head, and room around a part within it [logical px].
CARD, HEAD, AROUND = (400.0, 310.0), 38.0, 26.0
#: Enlargement of a part at most.
MOST = 2.4
#: Pixels to a millimetre of an end at most, and what of its insulation is seen [mm].
NEAR, INSULATION = 13.0, 9.0


def loupe(
    pen: Pen, view: Rect, bench: Bench, seen: Seen, name: str, lie: Camera, words: str
) -> None:
    """``name`` is ``part.NAME`` or ``end.TAG.SIDE``; ``words`` is what the bench told of it."""
    kind, _, of = name.partition(".")
    at = _where(seen, kind, of, lie)
    if at is None:
        return
    high = CARD[1] if kind == "part" else 230.0
    size = min(CARD[0], view.w - 16.0), min(high, view.h - 16.0)
    card = _away(at, view, size)
    pen.box(card.moved(4.0, 6.0), "#101416", radius=16.0)
    pen.box(card, "sheet", "casing", 4.0, 16.0)
    pen.node("loupe", "group", card, words or name, ("nothing",), focus=False)
    close = tr("Close")
    wide = button_width(close)
    place = Rect(card.right - wide - 12.0, card.y + 9.0, wide, TARGET + 4.0)
    title = _title(seen, kind, of)
    with pen.ground("sheet"):
        room = card.w - wide - 44.0
        pen.words((card.x + 18.0, card.y + 24.0), title, "heading", True, room=room)
        inside = Rect(card.x + 12.0, card.y + HEAD + 6.0, card.w - 24.0, card.h - HEAD - 18.0)
        if kind == "part":
            _part(pen, inside, seen, of)
        else:
            _end(pen, inside, bench, of)
        button(pen, "loupe.close", place, close, ("loupe", ""), "quiet")


def _away(at: Point, view: Rect, size: Point) -> Rect:
    """In the corner of the board that is furthest from what is looked at."""
    x = view.x + 8.0 if at[0] > view.centre[0] else view.right - size[0] - 8.0
    y = view.y + 8.0 if at[1] > view.centre[1] else view.bottom - size[1] - 8.0
    return Rect(x, y, *size)


def _where(seen: Seen, kind: str, of: str, lie: Camera) -> Point | None:
    """The middle of what is looked at, or None when it is no longer there."""
    plan = plan_of(seen.stands)
    if kind == "part":
        here, part = plan.parts.get(of), seen.part(of)
        return None if here is None or part is None or part.cover else lie.point(here.rect.centre)
    flags = drawn(seen, "").flags
    return lie.point(flags[of].centre) if of in flags else None


def _title(seen: Seen, kind: str, of: str) -> str:
    if kind == "part":
        return called(of, plan_of(seen.stands).parts[of])
    end = seen.end(of)
    assert end is not None
    return tr("Wire {colour} {tag}, end {side}", colour=end.colour, tag=end.tag, side=end.side)


def _part(pen: Pen, rect: Rect, seen: Seen, name: str) -> None:
    here = _standing(seen, name)
    wide, high = here.rect.w + 2.0 * AROUND, here.rect.h + 2.0 * AROUND
    zoom = min(rect.w / wide, rect.h / high, MOST)
    place = Rect(rect.centre[0] - wide * zoom / 2.0, rect.centre[1] - high * zoom / 2.0,
                 wide * zoom, high * zoom)  # fmt: skip
    key = ("loupe", seen, name, spoken())
    pen.add(Layer(key, place, _part_shapes(seen, name, spoken()), zoom, rect))


def _standing(seen: Seen, name: str) -> Standing:
    stand = next(s for s in seen.stands if s.name == name)
    return alone(stand, (AROUND, AROUND))


@lru_cache(maxsize=16)
def _part_shapes(seen: Seen, name: str, language: str) -> tuple[Shape, ...]:
    """The part and what is on its terminals, by themselves."""
    here, part = _standing(seen, name), seen.part(name)
    assert part is not None
    shapes = list(near_part(part, here, seen))
    for end in seen.ends:
        if end.on in here.spots:
            shapes += fitted(end, *here.spots[end.on].at)
    return tuple(shapes)


def _end(pen: Pen, rect: Rect, bench: Bench, name: str) -> None:
    tag, _, side = name.rpartition(".")
    conductor = bench.unit.conductors[tag]
    end = conductor.a if side == "a" else conductor.b
    place: Place | None = None
    if end.on:
        place = place_in({n: p.type for n, p in bench.unit.parts.items()}, end.on)
    bare = end.on is None and end.fitting == "none"
    long = INSULATION + (end.stripped_mm + 6.0 if bare else 20.0 + max(end.stripped_mm - 8.0, 0.0))
    # in a low window what is seen lies higher, and smaller, above ruler and words
    top = max(min(66.0, rect.h - 108.0), 30.0)
    scale = min(NEAR, rect.w / long, top / 3.3)
    ahead = max(end.stripped_mm - 5.0, 0.0) if not bare else 0.0
    at = rect.x + (INSULATION + ahead) * scale, rect.y + top
    see = Sight(at, scale, -(at[0] - rect.x) / scale)
    with pen.clipped(rect):
        pen.extend(end_near(end, conductor.colour, place, see))
        if not end.capped:
            low = Sight((at[0], rect.y + top + 44.0 - 6.4 * scale + 26.0), scale, see.left)
            pen.extend(ruler(end, low, rect.right - 8.0))
            for spot, figure in marks(end, low, rect.right - 8.0):
                y = low.point(0.0, 6.4)[1] + 12.0
                pen.words((spot[0], y), figure, "tag", align="middle")
    words = tr("Millimetres from the insulation's edge")
    if not end.capped:
        pen.words((rect.x + 6.0, rect.bottom - 8.0), words, "tag", colour="quiet", room=rect.w)
