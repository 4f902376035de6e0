"""Paints a sheet's shapes in a picture, in the house colours. Knows matplotlib; decides nothing."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from trainer.cli.look import INK, PAPER, QUIET, RULE
from trainer.sheet.connection import connection_drawing
from trainer.sheet.ladder import ladder_drawing
from trainer.sheet.reading import Sheet
from trainer.sheet.shapes import Box, Drawing, Line, Ring, Words

INKS = {"ink": INK, "quiet": QUIET, "rule": RULE, "face": "#FBF9F3", "dirt": "#8D6E4A"}
#: Picture inches for a sheet point, and points of type for one of a sheet.
INCH = 1.0 / 72.0
MARGIN, HEAD = 24.0, 20.0


def paint(axes: Any, drawing: Drawing, scale: float) -> None:
    """A drawing on axes without frame; ``scale`` is picture points for a sheet point."""
    axes.set_xlim(0.0, drawing.size[0])
    axes.set_ylim(drawing.size[1], 0.0)
    axes.axis("off")
    for shape in drawing.everything():
        _one(axes, shape, scale)


def _one(axes: Any, shape: Any, scale: float) -> None:
    from matplotlib.patches import Circle, Rectangle

    match shape:
        case Line():
            style = (0, (3, 3)) if shape.dashed else "-"
            axes.plot(*zip(*shape.points, strict=True), color=INKS[shape.ink], ls=style,
                      lw=shape.width * scale, solid_capstyle="round", zorder=2)  # fmt: skip
        case Ring():
            ink = INKS[shape.ink]
            axes.add_patch(Circle(shape.at, shape.radius, fc=ink if shape.filled else PAPER, ec=ink,
                                  lw=1.3 * scale, zorder=3))  # fmt: skip
        case Box():
            face = PAPER if shape.fill is None else INKS[shape.fill]
            axes.add_patch(Rectangle(shape.corner, *shape.size, fc=face, ec=INKS[shape.ink],
                                     lw=1.2 * scale, zorder=1))  # fmt: skip
        case Words():
            across = {"left": "left", "middle": "center", "right": "right"}[shape.align]
            axes.text(*shape.at, shape.text, size=shape.size * scale, ha=across,
                      va="center_baseline", color=INKS[shape.ink], zorder=5,
                      weight="bold" if shape.bold else "normal")  # fmt: skip


def drawings_of(sheet: Sheet) -> list[Drawing]:
    return [connection_drawing(sheet), ladder_drawing(sheet)]


def draw_sheet(sheet: Sheet, path: Path) -> None:
    """Both drawings of a sheet side by side, each at its own size."""
    from trainer.cli.look import figure, save

    drawings = drawings_of(sheet)
    wide, high = room_for(drawings)
    fig = figure(wide * INCH, high * INCH)
    place_drawings(fig, drawings)
    save(fig, path)


def room_for(drawings: list[Drawing]) -> tuple[float, float]:
    """Width and height of drawings side by side with their titles."""
    wide = sum(d.size[0] for d in drawings) + MARGIN * (len(drawings) + 1)
    return wide, max(d.size[1] for d in drawings) + MARGIN * 2.0 + HEAD


def place_drawings(fig: Any, drawings: list[Drawing], scale: float = 1.0) -> None:
    """Drawings side by side over the whole of a figure of their own, ``scale`` times as large."""
    whole = room_for(drawings)
    left = MARGIN
    for drawing in drawings:
        w, h = drawing.size
        low = whole[1] - MARGIN - HEAD - h
        axes = fig.add_axes((left / whole[0], low / whole[1], w / whole[0], h / whole[1]))
        paint(axes, drawing, scale)
        fig.text(left / whole[0], 1.0 - MARGIN / whole[1], drawing.title, size=11 * scale,
                 va="center", color=INK, weight="bold")  # fmt: skip
        left += w + MARGIN
