"""The board while a start is replayed: contacts, shaft and a lamp as they were at that instant.

Drawn as the Trace sheet draws them, beside the parts they belong to. Knows what is seen, a plan and
a moment; computes nothing and must know no bench.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import lru_cache

from trainer.unit.catalogue import type_of
from trainer.view import fonts
from trainer.view.board.seen import Seen, plan_of
from trainer.view.board.targets import Camera, drawn
from trainer.view.language import tr
from trainer.view.moment import Moment
from trainer.view.pen import Pen
from trainer.view.shapes import Point, Rect
from trainer.view.sheets.moments import contact, contact_words, lamp, shaft, speed_words

Draw = Callable[[Pen, Point], None]
#: Kinds of part: what a start closes, what takes the start capacitor out, what feeds it all.
CONTACTORS, COMPRESSORS = ("contactor",), ("compressor",)
RELAYS = ("potential_relay", "current_relay")
STARTERS, PILLS = ("timed_starter", "soft_starter"), ("ptc",)
SERVICES = ("split_phase_service",)
#: Size of what is laid beside a part, and the ribbon's height [logical px].
BADGE, RIBBON = (66.0, 54.0), 26.0
#: Widths go in steps, so that it does not move with every figure.
STEP = 22.0
#: What lies on the part itself, or on a terminal or flag, counts as so much nearer to it.
ON_PART = 8.0
#: What hides another part's print is worse than what comes near a terminal.
OVER_PART = 24.0


def kind_of(type_name: str) -> str:
    return str((type_of(type_name).part or {}).get("kind", ""))


def as_then(seen: Seen, now: Moment) -> Seen:
    """The board with its contactors as they were, where that is known."""
    return seen if now.contactor is None else _with_contactors(seen, now.contactor)


@lru_cache(maxsize=8)
def _with_contactors(seen: Seen, closed: bool) -> Seen:
    parts = tuple(
        replace(p, closed=closed) if kind_of(p.type) in CONTACTORS else p for p in seen.parts
    )
    return replace(seen, parts=parts)


def replay(
    pen: Pen, seen: Seen, held: str, lie: Camera, now: Moment, t: float, still: bool
) -> None:
    """``still``: with reduced motion, an arrow and its speed instead of a turning shaft."""
    taken: tuple[Rect, ...] = ()
    plan = plan_of(seen.stands)
    with pen.clipped(lie.view):
        for name, draw, words in _moving(seen, now, still):
            wide = STEP * math.ceil((fonts.width(words, "tag") + 12.0) / STEP)
            size = max(BADGE[0], wide), BADGE[1]
            rect, part = lie.rect(plan.parts[name].rect), seen.part(name)
            if part is not None and part.cover:  # there is room on the cover, below its words
                place = Rect(rect.centre[0] - size[0] / 2.0, rect.centre[1] + 16.0, *size)
            else:
                place = _beside(rect, size, seen, held, lie, taken)
            taken = (*taken, place)
            pen.box(place, "sheet", "action", 1.5, 8.0)
            with pen.ground("sheet"):
                draw(pen, (place.centre[0], place.y + 21.0))
                at = place.centre[0], place.bottom - 10.0
                pen.words(at, words, "tag", align="middle", room=place.w - 4.0)
            pen.node(f"replay.{name}", "picture", place, f"{name}: {words}", focus=False)
    _ribbon(pen, lie.view, t)


def _moving(seen: Seen, now: Moment, still: bool) -> Iterator[tuple[str, Draw, str]]:
    """Parts that something is to be shown of: name, drawing, words."""
    for part in seen.parts:
        kind = kind_of(part.type)
        if kind in CONTACTORS and now.contactor is not None:
            yield part.name, _contact(now.contactor), contact_words(tr("contactor"), now.contactor)
        elif kind in RELAYS and now.relay_open is not None:
            closed = not now.relay_open
            yield part.name, _contact(closed), contact_words(tr("relay"), closed)
        elif kind in STARTERS and now.relay_open is not None:
            words = tr("start capacitor out") if now.relay_open else tr("start capacitor in")
            yield part.name, _contact(not now.relay_open), words
        elif kind in PILLS and now.pill_hot is not None:
            words = tr("hot: lets go") if now.pill_hot else tr("cold: carries")
            yield part.name, _pill(now.pill_hot), words
        elif kind in COMPRESSORS:
            yield part.name, lambda pen, at: shaft(pen, at, now, still), speed_words(now, still)
        elif kind in SERVICES:
            words = tr("lamp {n:.0f} %", n=100.0 * now.light)
            yield part.name, lambda pen, at: lamp(pen, at, now.light), words


def _contact(closed: bool) -> Draw:
    return lambda pen, at: contact(pen, (at[0], at[1] + 4.0), closed)


def _pill(hot: bool) -> Draw:
    """A thermistor between its leads: empty while cold, full of strokes when hot."""

    def draw(pen: Pen, at: Point) -> None:
        x, y = at
        for side in (-1.0, 1.0):
            pen.line([(x + side * 18.0, y), (x + side * 10.0, y)], "ink", 2.5)
        pen.box(Rect(x - 10.0, y - 7.0, 20.0, 14.0), "metal", "ink", 2.0, 3.0)
        for n in range(3 if hot else 0):
            pen.line([(x - 7.0 + 5.0 * n, y + 4.0), (x - 3.0 + 5.0 * n, y - 4.0)], "ink", 2.0)

    return draw


@lru_cache(maxsize=64)
def _beside(
    rect: Rect, size: Point, seen: Seen, held: str, lie: Camera, taken: tuple[Rect, ...]
) -> Rect:
    """Where beside a part what is laid there keeps furthest from terminals and flags."""
    wide, high = size
    xs = (rect.x - wide - 4.0, rect.centre[0] - wide / 2.0, rect.right + 4.0)
    ys = (rect.y - high - 4.0, rect.y + 2.0, rect.centre[1] - high / 2.0, rect.bottom + 4.0)
    spots = [lie.point(s.at) for s in plan_of(seen.stands).spots.values()]
    spots += [lie.rect(f).centre for f in drawn(seen, held).flags.values()]
    parts = [lie.rect(p.rect) for p in plan_of(seen.stands).parts.values()]
    others = [p for p in parts if p != rect]
    room = lie.view.inset(2.0)
    best, most = Rect(xs[2], ys[0], wide, high), -math.inf
    for x in xs:
        for y in ys:
            here = Rect(x, y, wide, high)
            inside = here.within(room) and not any(here.meets(o) for o in taken)
            gaps = [_apart(here, at) for at in spots]
            near = min(gaps, default=0.0) - ON_PART * gaps.count(0.0)
            worth = near - (0.0 if inside else 1000.0) - (ON_PART if here.meets(rect) else 0.0)
            worth -= OVER_PART * sum(here.meets(other) for other in others)
            if worth > most:
                best, most = here, worth
    return best


def _apart(rect: Rect, at: Point) -> float:
    dx = max(rect.x - at[0], at[0] - rect.right, 0.0)
    dy = max(rect.y - at[1], at[1] - rect.bottom, 0.0)
    return math.hypot(dx, dy)


def _ribbon(pen: Pen, view: Rect, t: float) -> None:
    """Says that this is not the board as it is now."""
    words = tr("Replay, {t:.3f} s after energising", t=t)
    wide = min(fonts.width(words, "body", True) + 28.0, view.w)
    place = Rect(view.centre[0] - wide / 2.0, view.bottom - RIBBON - 4.0, wide, RIBBON)
    pen.box(place, "action", "action", 1.0, 8.0)
    with pen.ground("action"):
        pen.words(place.centre, words, "body", True, "on_action", "middle", wide - 12.0)
    pen.node("replay", "status", place, words, focus=False)
