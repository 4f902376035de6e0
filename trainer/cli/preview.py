"""Draws a scenario's board as found, three more variants small beside it, and the door sheet.

Every conductor bears its tag, so that no colour is needed to tell them. Knows matplotlib and
boxes; decides nothing.
"""

from __future__ import annotations

import textwrap
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from trainer.cli.board import Box, Point, boxes_of, spot_of
from trainer.cli.look import PAPER
from trainer.cli.sheet_plot import INCH, drawings_of, place_drawings, room_for
from trainer.nets.nets import in_order
from trainer.scenario.dials import Colours
from trainer.scenario.variants import Variant
from trainer.sheet.reading import sheet_of
from trainer.unit.conductor import SIDES, Conductor

#: Insulation colours as they are drawn; anything else is grey.
INKS = {
    "BK": "#222222", "RD": "#c62828", "YE": "#c99a00", "BU": "#1f5fbf", "GN": "#2e7d32",
    "WH": "#a8a8a8", "PU": "#7b3fa0", "BN": "#7a4a21", "OR": "#d9731a", "GY": "#777777",
}  # fmt: skip
LOOSE = "#d81b60"
#: Ink of words: white insulation's grey is too pale to read.
WORDS = INKS | {"WH": "#5c5c5c"}


#: The board's part of the picture; the sheet's drawings come below it at the same width. [in]
WIDE_IN, HIGH_IN, DPI = 17.0, 10.5, 150


def draw_preview(built: Sequence[Variant], path: Path) -> None:
    """The first variant large with what its sheet shows, the others small with what they drew."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    first = built[0]
    drawings = (
        drawings_of(sheet_of(first.layout)) if first.layout.diagram.state != "missing" else []
    )
    below = WIDE_IN * room_for(drawings)[1] / room_for(drawings)[0] if drawings else 0.0
    whole = Figure(figsize=(WIDE_IN, HIGH_IN + below), dpi=DPI, layout="constrained")
    FigureCanvasAgg(whole)
    rows: Any = [whole]
    if drawings:
        rows = whole.subfigures(2, 1, height_ratios=(HIGH_IN, below))
    figure = rows[0]
    grid = figure.add_gridspec(3, 3, width_ratios=(2.3, 1.0, 0.62))
    figure.suptitle(f"{first.scenario.title}: {first.name}, level {first.scenario.level}", size=15)
    _board(figure.add_subplot(grid[:, 0]), first, large=True)
    for row, small in enumerate(built[1:4]):
        _board(figure.add_subplot(grid[row, 1]), small, large=False)
        _told(figure.add_subplot(grid[row, 2]), small)
    if drawings:
        rows[1].set_facecolor(PAPER)
        place_drawings(rows[1], drawings, WIDE_IN / (room_for(drawings)[0] * INCH))
    whole.savefig(path)


def _board(axes: Any, built: Variant, large: bool) -> None:
    from matplotlib.patches import Rectangle

    boxes = boxes_of(built.unit, built.layout)
    wide, high = built.layout.enclosure
    axes.add_patch(Rectangle((0, 0), wide, high, fill=False, lw=2.0, ec="#444444"))
    for box in boxes.values():
        _part(axes, box, large)
    _conductors(axes, built, boxes, large)
    if large:
        _markings(axes, boxes, set(built.layout.dirty))
    left = min((b.corner[0] for b in boxes.values()), default=0.0)
    right = max(wide, *(b.corner[0] + b.size[0] for b in boxes.values()))
    low = max(high, *(b.corner[1] + b.size[1] for b in boxes.values()))
    axes.set_xlim(min(left, 0.0) - wide * 0.02, right + wide * 0.02)
    axes.set_ylim(low + high * 0.03, -high * 0.04)
    axes.set_aspect("equal")
    axes.axis("off")
    paper = f"diagram {built.layout.diagram.state}"
    axes.set_title(f"seed {built.seed}, as found; {paper}", size=12 if large else 10)


def _part(axes: Any, box: Box, large: bool) -> None:
    from matplotlib.patches import Rectangle

    face = "#eef2f6" if box.strip else "#fbf6ea"
    axes.add_patch(Rectangle(box.corner, *box.size, fc=face, ec="#666666", lw=1.0, zorder=1))
    if box.strip and not large:
        return
    x, y = box.centre
    if box.strip:
        x = box.corner[0] + box.size[0] * 0.38
    elif large:
        y = box.corner[1] - 3.0
    size = (7.0 if box.strip else 10.0) if large else 6.5
    low = "bottom" if large and not box.strip else "center"
    axes.text(
        x, y, box.name, size=size, ha="center", va=low, zorder=9, weight="bold",
        bbox={"fc": "white", "ec": "none", "pad": 0.6, "alpha": 0.8},
    )  # fmt: skip


def _markings(axes: Any, boxes: Mapping[str, Box], dirty: set[str]) -> None:
    """A dot for each terminal with its name; a dirty one is filled and says so."""
    for box in boxes.values():
        for place, (x, y) in box.terminals.items():
            under = place in dirty
            face = "#8d6e4a" if under else "white"
            axes.plot([x], [y], "o", ms=5, mfc=face, mec="#333333", mew=0.8, zorder=5)
            name = place.partition(".")[2] + (" (dirt)" if under else "")
            offset, across, low = _beside(box, (x, y))
            axes.annotate(
                name, (x, y), offset, textcoords="offset points", size=7.5, ha=across,
                va=low, zorder=7, color="#7a3b00" if under else "#222222",
                bbox={"fc": "white", "ec": "none", "pad": 0.4, "alpha": 0.75},
            )  # fmt: skip


def _beside(box: Box, at: Point) -> tuple[Point, str, str]:
    """Where a terminal's name goes: offset, and how it is set against it."""
    x, y = at
    row = [p for p in box.terminals.values() if abs(p[1] - y) < 4.0 and abs(p[0] - x) < 22.0]
    if len(row) > 1 and not box.strip:
        return (0.0, -6.0), "center", "top"
    left = box.strip or x < box.centre[0]
    return ((-5.0, 0.0), "right", "center") if left else ((5.0, 0.0), "left", "center")


def _conductors(axes: Any, built: Variant, boxes: Mapping[str, Box], large: bool) -> None:
    taken: list[Point] = []
    fixed = [spot for box in boxes.values() for spot in _worded(box)]
    for n, conductor in enumerate(built.unit.conductors.values()):
        ends = [spot_of(conductor.end(side).on, boxes) for side in SIDES]
        both = [end for end in ends if end is not None]
        ink = INKS.get(conductor.colour[:2], "#777777")
        if len(both) == 2:
            outside = all(end[0] <= 0.0 for end in both)
            line = _line(both[0], both[1], n, outside)
            style = "--" if "/" in conductor.colour else "-"
            width = 1.8 if large else 0.9
            axes.plot(*zip(*line, strict=True), style, color=ink, lw=width, zorder=3)
            if large:
                at = _free(line, taken, fixed, built.layout.enclosure)
                words = WORDS.get(conductor.colour[:2], ink)
                _tag(axes, at, f"{conductor.tag} {conductor.colour}", words)
        elif len(both) == 1:
            _hanging(axes, both[0], conductor, ink, taken, large)


def _line(a: Point, b: Point, n: int, outside: bool) -> list[Point]:
    """A bow from end to end, each bent a little otherwise so that they can be told apart."""
    bend = 0.06 * (1 + n % 4) * (1 if n % 2 else -1)
    away = 26.0 * (1 + n % 4) if outside else -bend * (b[1] - a[1])
    down = 0.0 if outside else bend * (b[0] - a[0])
    control = (a[0] + b[0]) / 2.0 + away, (a[1] + b[1]) / 2.0 + down
    return [_bow(a, control, b, k / 24.0) for k in range(25)]


def _worded(box: Box) -> list[Point]:
    """Where a box has words of its own: beside its terminals, and its name above it."""
    above = [] if box.strip else [(box.centre[0], box.corner[1] - 8.0)]
    return [*box.terminals.values(), *above]


def _free(
    line: Sequence[Point], taken: list[Point], fixed: Sequence[Point], enclosure: Point
) -> Point:
    """A spot on the line that lies on no other word, near its middle if it can be."""
    wide, high = enclosure[0] * 0.065, max(enclosure) * 0.024
    order = sorted(range(3, len(line) - 3), key=lambda k: abs(k - len(line) // 2))
    for k in order:
        x, y = line[k]
        if all(abs(x - p) > wide or abs(y - q) > high for p, q in (*taken, *fixed)):
            break
    else:
        x, y = line[order[0]]
    taken.append((x, y))
    return x, y


def _bow(a: Point, control: Point, b: Point, s: float) -> Point:
    u = 1.0 - s
    x, y = (u * u * p + 2.0 * u * s * c + s * s * q for p, c, q in zip(a, control, b, strict=True))
    return x, y


def _hanging(
    axes: Any, at: Point, conductor: Conductor, ink: str, taken: list[Point], large: bool
) -> None:
    """One end landed, the other loose: a tail with a cross, below those there already."""
    k = sum(abs(q - at[1]) < 200.0 and abs(p - at[0]) < 90.0 for p, q in taken)
    end = (at[0] + 10.0, at[1] + 26.0 * (k + 1))
    taken.append(end)
    axes.plot([at[0], end[0]], [at[1], end[1]], color=ink, lw=1.6 if large else 0.9, zorder=3)
    axes.plot([end[0]], [end[1]], "x", color=LOOSE, ms=7 if large else 4, mew=2, zorder=5)
    if large:
        text = f"{conductor.tag} {conductor.colour} loose"
        _tag(axes, (end[0] + 12.0, end[1]), text, LOOSE, "left")


def _tag(axes: Any, at: Point, text: str, ink: str, across: str = "center") -> None:
    axes.text(
        *at, text, size=7, ha=across, va="center", color=ink, zorder=8,
        bbox={"fc": "white", "ec": ink, "lw": 0.6, "pad": 1.0, "alpha": 0.92},
    )  # fmt: skip


def _told(axes: Any, built: Variant) -> None:
    """What every dial shows."""
    axes.axis("off")
    lines: list[str] = []
    for dial, shown in built.draws.items():
        if isinstance(built.scenario.variants.dials[dial], Colours):
            wires = built.unit.conductors
            here = sorted((t for t in shown if t in wires), key=in_order)
            shown = [f"{t} {wires[t].colour}" for t in here]
        words = ", ".join(map(str, shown)) if isinstance(shown, list) else str(shown)
        lines += textwrap.wrap(f"{dial}: {words}", 34, subsequent_indent="   ")
    loose = [t for t, c in built.unit.conductors.items() if not (c.a.on or c.b.on)]
    if loose:
        lines += textwrap.wrap(f"loose at both ends: {', '.join(loose)}", 34)
    axes.text(0.0, 0.98, "\n".join(lines), size=8, va="top", family="monospace")
