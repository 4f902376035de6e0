"""A small writer of SVG: lines, texts and shapes as strings, everything escaped.

Knows coordinates in units of the drawing; must know nothing of what is drawn.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from html import escape

from trainer.base.retold import again

#: Size of letters [units], and the width of one on average as a share of it.
TAG, LETTER = 13.0, 0.56


@dataclass
class Drawing:
    """``label`` is what a reader without eyes hears; the figure's table tells the rest."""

    width: float
    height: float
    label: str
    pieces: list[str] = field(default_factory=list)

    def line(self, x1: float, y1: float, x2: float, y2: float, css: str) -> None:
        at = f'x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}"'
        self.pieces.append(f'<line {at} class="{css}"/>')

    def course(self, points: Iterable[tuple[float, float]], css: str) -> None:
        path = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
        self.pieces.append(f'<polyline points="{path}" class="{css}"/>')

    def text(self, x: float, y: float, words: str, css: str = "", anchor: str = "start") -> None:
        at = f'x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}"'
        self.pieces.append(f'<text {at} class="{css}">{escape(again(words))}</text>')

    def polygon(self, points: Sequence[tuple[float, float]], css: str, told: str = "") -> None:
        path = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
        title = f"<title>{escape(again(told))}</title>" if told else ""
        self.pieces.append(f'<polygon points="{path}" class="{css}">{title}</polygon>')

    def box(self, x: float, y: float, width: float, height: float, css: str) -> None:
        at = f'x="{x:.1f}" y="{y:.1f}" width="{width:.1f}" height="{height:.1f}"'
        self.pieces.append(f'<rect {at} class="{css}"/>')

    def markup(self, css: str) -> str:
        head = f'<svg class="{css}" role="img" aria-label="{escape(again(self.label))}"'
        size = f'viewBox="0 0 {self.width:.0f} {self.height:.0f}" preserveAspectRatio="xMinYMid"'
        return f"{head} {size}>{''.join(self.pieces)}</svg>"


def wide(words: str, size: float = TAG) -> float:
    """About how wide a text is [units]."""
    return LETTER * size * len(words)


def steps(low: float, high: float, most: int) -> list[float]:
    """Round numbers between two ends, at most so many gaps."""
    span = high - low
    if span <= 0.0:
        return [low]
    raw = span / max(most, 1)
    power = 10.0 ** math.floor(math.log10(raw))
    step = next(m * power for m in (1.0, 2.0, 5.0, 10.0) if m * power >= raw * 0.999)
    first = math.ceil(low / step - 1e-9)
    return [n * step for n in range(first, math.floor(high / step + 1e-9) + 1)]


def rows_for(
    names: Sequence[tuple[float, str]], right: float, apart: float = 8.0
) -> list[tuple[int, float]]:
    """(row, x of the text's left end) for names that start at x, none over another.

    Rows are counted from the axis up. A name that would pass the right edge is moved left. Taken
    from the last to the first, so that a name never lies across a leader to its right.
    """
    placed: dict[int, tuple[int, float]] = {}
    taken: list[tuple[float, float, int]] = []  # left end, leader, row
    for n in sorted(range(len(names)), key=lambda n: names[n][0], reverse=True):
        x, words = names[n]
        left = min(x, right - wide(words))
        end = left + wide(words) + apart
        row = 0
        while any(
            (r == row and end > start) or (r >= row and left - apart < leader < end and leader != x)
            for start, leader, r in taken
        ):
            row += 1
        placed[n] = (row, left)
        taken.append((left, x, row))
    return [placed[n] for n in range(len(names))]
