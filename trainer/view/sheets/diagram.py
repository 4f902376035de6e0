"""The Diagram sheet: the unit's own, as far as it can be read. Guided mode marks what is pointed at.

Paints the same plain shapes as the printed sheet. Knows the bench; changes nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from trainer.sheet import shapes as plain
from trainer.sheet.connection import ABOVE, PITCH
from trainer.unit.layout import Layout
from trainer.view.board.seen import Seen, layout_of
from trainer.view.crossing import ON_SHEET, on_sheet, pointed
from trainer.view.language import again, tr
from trainer.view.pen import Pen
from trainer.view.shapes import Box, Layer, Line, Rect, Ring, Shape, Words
from trainer.view.state import App, Job
from trainer.view.theme import TARGET, wire_colour
from trainer.view.widgets import BAR, button, button_width, scrolled

#: Least enlargement at which letters of a drawing can be read; the region it scrolls sideways in.
READ, SIDEWAYS = 1.15, "diagram.x"
INKS = {"ink": "ink", "quiet": "quiet", "rule": "rule", "face": "sheet", "dirt": "#6E5A41"}


def diagram(pen: Pen, rect: Rect, app: App, job: Job, seen: Seen) -> None:
    read = any(e.kind == "did" and e.data.get("to") in ("diagram", "ladder") for e in job.events)
    label = tr("Read the diagram")
    wide = button_width(label)
    button(pen, "diagram.read", Rect(rect.x, rect.y, wide, 32.0), label,
           ("act", {"act": "read", "what": "diagram"}))  # fmt: skip
    button(pen, "diagram.ladder", Rect(rect.x + wide + 8.0, rect.y, 110.0, 32.0), tr("Ladder"),
           ("act", {"act": "read", "what": "ladder"}))  # fmt: skip
    area = Rect(rect.x, rect.y + 42.0, rect.w, rect.h - 42.0)
    if not read:
        pen.paragraph(area, tr("The diagram is on the inside of the panel. Read it to see it here."),
                      colour="quiet")  # fmt: skip
        return
    drawings = drawings_of(layout_of(job.bench), job.bench.unit.digest, job.bench.diagram)
    if not drawings:
        pen.paragraph(area, tr("There is no diagram on this unit."), colour="quiet")
        return
    _stacked(pen, area, drawings, job)


#: Drawings by the unit's digest and the state of its sheet; drawing them takes a moment.
_KEPT: dict[tuple[str, str], tuple[Any, ...]] = {}


def drawings_of(layout: Layout, digest: str, state: str) -> tuple[Any, ...]:
    """Connection diagram and ladder, or nothing where the sheet is missing."""
    from trainer.sheet.connection import connection_drawing
    from trainer.sheet.ladder import ladder_drawing
    from trainer.sheet.reading import sheet_of

    if state == "missing":
        return ()
    if (digest, state) not in _KEPT:
        sheet = sheet_of(layout, state)
        _KEPT[digest, state] = connection_drawing(sheet), ladder_drawing(sheet)
    return _KEPT[digest, state]


def _stacked(pen: Pen, area: Rect, drawings: tuple[Any, ...], job: Job) -> None:
    """One below the other, so large that their letters can be read; scrolls both ways."""
    least = READ if job.mode != "guided" else TARGET / PITCH
    wide = max(max(d.size[0] for d in drawings) * least, area.w - BAR - 6.0)
    zooms = [max(least, (area.w - BAR - 6.0) / max(d.size[0], 1.0)) for d in drawings]
    high = sum(d.size[1] * z + 16.0 for d, z in zip(drawings, zooms, strict=True)) + BAR
    most = max(wide - area.w + BAR + 6.0, 0.0)
    if job.mode == "guided":
        _turned_to(pen, area, drawings, zooms)
    aside = min(max(pen.scrolls.get(SIDEWAYS, 0.0), 0.0), most)
    with scrolled(pen, "diagram", area, high) as place:
        y = place.y
        for d, zoom in zip(drawings, zooms, strict=True):
            where = Rect(place.x - aside, y, d.size[0] * zoom, d.size[1] * zoom)
            key = ("diagram", job.bench.unit.digest, job.bench.diagram, d.title)
            shapes = tuple(shape for s in d.everything() for shape in shown(s))
            pen.add(Layer(key, where, shapes, zoom, area))
            pen.node(f"diagram.{d.title}", "picture", where, again(d.title), focus=False)
            if job.mode == "guided":  # names of the ladder stand too close together to be hit
                _crossed(pen, d, where, zoom, d is drawings[0])
            y += where.h + 16.0
    if most:
        share = area.w / (area.w + most)
        bar = Rect(area.x + aside * share, area.bottom - BAR, area.w * share, BAR)
        pen.box(bar, "edge", radius=4.0)
        pen.node(f"scroll.{SIDEWAYS}", "scroll", area, tr("diagram, sideways"), focus=False,
                 value=f"{most:.0f}")  # fmt: skip


def _turned_to(pen: Pen, area: Rect, drawings: Sequence[Any], zooms: Sequence[float]) -> None:
    """Scrolls to what is pointed at on the board when none of it is in sight."""
    here, spots, y = pointed(pen), [], 0.0
    if not here or on_sheet(pen):
        return
    for drawing, zoom in zip(drawings, zooms, strict=True):
        named = (s for s in drawing.everything() if isinstance(s, plain.Words) and s.of == here)
        spots += [(s.at[0] * zoom, y + s.at[1] * zoom) for s in named]
        y += drawing.size[1] * zoom + 16.0
    scrolls = pen.scrolls.get(SIDEWAYS, 0.0), pen.scrolls.get("diagram", 0.0)
    sight = Rect(*scrolls, area.w, area.h).inset(20.0)
    if spots and not any(map(sight.has, spots)):
        pen.scrolls[SIDEWAYS] = spots[0][0] - area.w / 2.0
        pen.scrolls["diagram"] = spots[0][1] - area.h / 2.0


def _crossed(pen: Pen, drawing: Any, where: Rect, zoom: float, answers: bool) -> None:
    """Guided: what is pointed at is boxed on the sheet wherever its name stands. ``answers``: the
    names themselves can be pointed at, to see on the board what they stand for.
    """
    here = pointed(pen)
    found: dict[str, int] = {}
    for shape in drawing.everything():
        if not isinstance(shape, plain.Words) or not shape.of:
            continue
        left, top, right, low = shape.bounds
        place = Rect(where.x + left * zoom, where.y + top * zoom,
                     (right - left) * zoom, (low - top) * zoom)  # fmt: skip
        if shape.of == here:
            pen.box(place.inset(-3.0), "", "action", 2.0, 3.0)
        if not answers:
            continue
        n = found[shape.of] = found.get(shape.of, -1) + 1
        name = f"{ON_SHEET}{shape.of}.{n}"
        row = place.centre[1] + (ABOVE * zoom if shape.of.startswith("wire:") else 0.0)
        wide = max(place.w, TARGET)
        x = place.right - wide if shape.align == "right" else place.x
        rect = Rect(x, row - TARGET / 2.0, wide, TARGET)
        pen.node(name, "row", rect, shape.text, ("focus", name))


def shown(shape: plain.Shape) -> list[Shape]:
    """A plain shape of the sheet as one of the screen's."""
    match shape:
        case plain.Line():
            # black on dark paper would be lost: it is drawn in the ink of the sheet
            black = not shape.colour or shape.colour.startswith("BK")
            colour = INKS[shape.ink] if black else wire_colour(shape.colour)[0]
            found: list[Shape] = []
            if shape.colour.startswith(("WH", "BK")):  # shows on a light and on a dark sheet
                found.append(Line(shape.points, "casing", shape.width + 1.2, dashed=shape.dashed))
            return [*found, Line(shape.points, colour, shape.width, dashed=shape.dashed)]
        case plain.Ring():
            fill = INKS[shape.ink] if shape.filled else "sheet"
            return [Ring(shape.at, shape.radius, fill, INKS[shape.ink], 1.2)]
        case plain.Box():
            fill = INKS[shape.fill] if shape.fill else ""
            return [Box(Rect(*shape.corner, *shape.size), fill, INKS[shape.ink], 1.2)]
        case plain.Words():
            return [
                Words(shape.at, shape.text, "tag", shape.bold, INKS[shape.ink], shape.align, 0.0,
                      "sheet", shape.size)
            ]  # fmt: skip
