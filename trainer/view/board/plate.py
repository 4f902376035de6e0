"""Parts of the board as shapes: drawings, markings, covers, locks. Changes only when a part does.

Knows what is seen and a plan; must know no conductor.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from trainer.view import fonts
from trainer.view.art import size_of_file
from trainer.view.board.placing import GAP, Plan, Standing, turned
from trainer.view.board.seen import Seen, SeenPart
from trainer.view.language import spelt, term, tr
from trainer.view.shapes import Box, Line, Picture, Point, Rect, Ring, Shape, Words

#: Ink of words on a dark and on a light part; drawings keep their colours in every theme.
INKS = {"dark": "#F1F3F1", "light": "#1F2A30"}
FACES = {"dark": "#3A474E", "light": "#F6F2E9"}
#: Lines of print on a part that stands upright.
UPRIGHT = 4
#: Height of the part's name beneath it, and dirt on a marking.
CALLED = 15.0
DIRT = "#6E5A41"


def plate(seen: Seen, plan: Plan) -> Iterator[Shape]:
    """The compartment and every part on it."""
    p = plan.plate
    yield Box(Rect(p.x + 3.0, p.y + 5.0, p.w, p.h), "rule", radius=10.0)
    yield Box(p, "metal", "metal_edge", 3.0, 10.0)
    for x in (p.x + 14.0, p.right - 14.0):
        for y in (p.y + 14.0, p.bottom - 14.0):
            yield Ring((x, y), 4.5, "metal_edge", "casing", 1.0)
            yield Line(((x - 2.5, y), (x + 2.5, y)), "metal", 1.0)
    y = plan.rail.y
    yield Line(((p.x + 12.0, y), (p.right - 12.0, y)), "metal_edge", 1.0, dashed=True)
    if not any(not e.on for e in seen.ends):
        at = plan.rail.centre
        yield Words(at, tr("No end hangs free"), "tag", False, "quiet", "middle", 200.0, "metal")
    for part in seen.parts:
        if not part.cover:
            yield from _part(part, plan.parts[part.name], seen)


def covers(seen: Seen, plan: Plan) -> Iterator[Shape]:
    """Covers that are on, over the wires."""
    for part in seen.parts:
        if part.cover:
            yield from _cover(part, plan.parts[part.name])


def _part(part: SeenPart, here: Standing, seen: Seen) -> Iterator[Shape]:
    yield from near_part(part, here, seen)
    yield from _called(part, here)
    if part.locked:
        yield from _lock(part, here)


def near_part(part: SeenPart, here: Standing, seen: Seen) -> Iterator[Shape]:
    """A part by itself: its drawing, what moves on it, what is printed, its markings."""
    yield Picture(f"parts/{here.art.name}", here.rect, "lamp", here.turn)
    yield from _moving(part, here)
    ink, face = INKS[here.art.face], FACES[here.art.face]
    if here.printed is not None:
        x, y, wide = here.printed
        lines = printed_lines(part.printed, wide)[: UPRIGHT if here.turn % 180 else 2]
        for n, line in enumerate(lines):
            at = (x, y + (n - (len(lines) - 1) / 2.0) * 14.0)
            yield Words(at, line, "tag", False, ink, "middle", wide, face)
    for terminal, marking in seen.markings:
        if terminal.partition(".")[0] == part.name:
            yield from _marking(here.marks[terminal], marking, terminal in seen.dirty, ink, face)


def printed_lines(text: str, wide: float) -> list[str]:
    """What is printed, a figure kept with its unit, in as few lines as fit."""
    groups: list[str] = []
    for word in text.split():
        figure = bool(groups) and groups[-1][-1].isdigit() and (word.isalpha() or word == "%")
        if figure and fonts.width(f"{groups[-1]} {word}", "tag") <= wide:
            groups[-1] += f" {word}"
        elif fonts.width(word, "tag") <= wide:
            groups.append(word)
        else:
            groups += re.findall(r"[^+]+\+?", word)
    lines: list[str] = []
    for group in groups:
        longer = f"{lines[-1]} {group}" if lines else group
        if lines and fonts.width(longer, "tag") <= wide:
            lines[-1] = longer
        else:
            lines.append(group)
    return [fonts.shorten(t, wide, "tag") for t in lines]


def _called(part: SeenPart, here: Standing) -> Iterator[Shape]:
    """The part's own name, above it or beneath, where no conductor leaves."""
    outs = {s.out for s in here.spots.values()}
    beneath = "down" not in outs
    y = here.rect.bottom + 9.0 if beneath else here.rect.y - 9.0
    if not beneath and "up" in outs:
        return
    room = max(here.rect.w, 90.0)
    words = called(part.name, here)
    if here.art.printed is not None and here.printed is None:
        # standing upright it has no room for what is printed on it
        words, room = f"{spelt(part.name)}: {part.printed}", room + GAP
    yield Words(
        (here.rect.centre[0], y), fonts.shorten(words, room, "tag"), "tag", False, "ink", "middle",
        room, "metal" if here.row >= 0 else "bench",
    )  # fmt: skip


def called(name: str, here: Standing) -> str:
    """``contactor``, or ``rc, run capacitor`` where its name says less than its kind."""
    kind, said = term("part", here.art.called), spelt(name)
    return kind if name == here.art.called or kind == said else f"{said}: {kind}"


def _moving(part: SeenPart, here: Standing) -> Iterator[Shape]:
    """What visibly moves, turned with its part."""
    for piece in here.art.moving:
        size = size_of_file(piece.svg)
        at = piece.corner(part.closed)
        corners = [
            turned(p, here.art.size, here.turn) for p in (at, (at[0] + size[0], at[1] + size[1]))
        ]
        x, y = min(c[0] for c in corners), min(c[1] for c in corners)
        if here.turn % 180:
            size = size[1], size[0]
        yield Picture(
            f"parts/{piece.svg}", Rect(here.rect.x + x, here.rect.y + y, *size), "lamp", here.turn
        )


def _marking(at: Point, marking: str, dirty: bool, ink: str, face: str) -> Iterator[Shape]:
    if dirty:
        x, y = at
        for dx, dy, r in ((-9.0, 1.0, 8.0), (0.0, -2.0, 9.0), (8.0, 2.0, 8.0), (2.0, 4.0, 7.0)):
            yield Ring((x + dx, y + dy), r, DIRT)
    elif marking:
        yield Words(at, marking, "tag", True, ink, "middle", 62.0, face)


def _cover(part: SeenPart, here: Standing) -> Iterator[Shape]:
    r = here.rect.inset(-4.0)
    yield Box(r.moved(2.0, 3.0), "metal_edge", radius=6.0)
    yield Box(r, "metal", "metal_edge", 2.0, 6.0)
    for x in (r.x + 10.0, r.right - 10.0):
        yield Ring((x, r.y + 10.0), 3.5, "metal_edge", "casing", 1.0)
    called = term("cover", part.cover).replace("-", " ")
    lines = fonts.wrap(called, r.w - 12.0, "tag", True)
    for n, line in enumerate(lines[:2]):
        at = (r.centre[0], r.centre[1] - 8.0 + 15.0 * n)
        yield Words(at, line, "tag", True, "ink", "middle", r.w - 12.0, "metal")
    words = fonts.shorten(tr("over {part}", part=spelt(part.name)), r.w - 16.0, "tag")
    at = (r.centre[0], r.centre[1] - 8.0 + 15.0 * min(len(lines), 2))
    yield Words(at, words, "tag", False, "quiet", "middle", r.w - 16.0, "metal")
    if part.locked:
        yield from _lock(part, here)


def _lock(part: SeenPart, here: Standing) -> Iterator[Shape]:
    """A lock through the hasp, its tag beneath."""
    x, y = here.rect.right - 16.0, here.rect.centre[1]
    if here.art.hasp:
        x, y = here.rect.x + here.art.hasp[0], here.rect.y + here.art.hasp[1]
    yield Line(((x - 6.0, y + 8.0), (x - 6.0, y - 5.0), (x + 6.0, y - 5.0), (x + 6.0, y + 8.0)),
               "casing", 3.5, 6.0)  # fmt: skip
    yield Box(Rect(x - 10.0, y + 5.0, 20.0, 16.0), "#9E2A22", "casing", 1.5, 3.0)
    if part.tag:
        place = Rect(x - 24.0, y + 24.0, 48.0, 30.0)
        yield Box(place, "#FFFDF7", "casing", 1.2, 3.0)
        locked = fonts.shorten(tr("Locked"), 46.0, "tag", True)
        yield Words((x, place.y + 9.0), locked, "tag", True, "#9E2A22", "middle", 46.0, "#FFFDF7")
        who = fonts.shorten(part.locked, 44.0, "tag")
        yield Words((x, place.y + 21.0), who, "tag", False, "#1F2A30", "middle", 46.0, "#FFFDF7")
