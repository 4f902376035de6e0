"""Names of events above a plot, each with a leader down to its instant, none over another.

Knows texts, widths and places; must know nothing of what an event is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from trainer.cli import look

FONT = 8.5
#: Height of one row of names [in], and what a leader stands above the strip's floor.
ROW_IN = 0.2
#: Least distance between a name and the next leader [px at the figure's dpi].
APART = 8.0


@dataclass(frozen=True)
class Name:
    """A text at a place on the time axis; ``bad`` in the colour of danger."""

    at: float
    text: str
    bad: bool = False


@dataclass(frozen=True)
class Placed:
    """A name in its row (0 the lowest), moved left by ``over`` px so that it stays on paper."""

    name: Name
    row: int
    over: float


def place(
    fig: Any, names: Sequence[Name], span: tuple[float, float], left: float, right: float
) -> list[Placed]:
    """Rows for all names, given the edges of the time axis as shares of the figure.

    From the last to the first: a name takes the lowest row in which it ends before every leader
    to its right that rises as high as that row.
    """
    from matplotlib.backends.backend_agg import FigureCanvasAgg

    renderer = FigureCanvasAgg(fig).get_renderer()
    whole = fig.bbox.width
    x0, x1 = left * whole, right * whole
    done: list[Placed] = []
    leaders: list[tuple[float, float, int]] = []  # leader, left end of its text, row
    for name in sorted(names, key=lambda n: n.at, reverse=True):
        x = x0 + (x1 - x0) * (name.at - span[0]) / (span[1] - span[0])
        width = _width(fig, renderer, name.text)
        over = max(0.0, x + width + APART - whole)
        end = x - over + width + APART
        row = 0
        while any(r >= row and min(at, begin) < end for at, begin, r in leaders):
            row += 1
        leaders.append((x, x - over, row))
        done.append(Placed(name, row, over))
    return done


def rows(placed: Sequence[Placed]) -> int:
    return 1 + max((p.row for p in placed), default=0)


def draw(strip: Any, placed: Sequence[Placed], span: tuple[float, float], count: int) -> None:
    """Into axes of ``count`` rows whose floor is the top of the panels below."""
    strip.set_axis_off()
    strip.set_xlim(*span)
    strip.set_ylim(0.0, float(count))
    points = 72.0 / strip.figure.dpi
    for p in placed:
        colour = look.DANGER if p.name.bad else look.INK
        top = p.row + 0.95
        strip.plot([p.name.at] * 2, [-0.9, top], color=colour, linewidth=0.8, clip_on=False)
        strip.annotate(
            p.name.text, (p.name.at, top), xytext=(3 - p.over * points, 1),
            textcoords="offset points", ha="left", va="top", fontsize=FONT, color=colour,
            annotation_clip=False,
        )  # fmt: skip


def _width(fig: Any, renderer: Any, text: str) -> float:
    """Pixels a text takes."""
    probe = fig.text(0.0, 0.0, text, fontsize=FONT)
    width: float = probe.get_window_extent(renderer).width
    probe.remove()
    return width
