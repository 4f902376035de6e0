"""Drawings of a class report: totals on a line with the cut, and bars in a table.

Knows numbers and shapes; must know no learner by name.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from trainer.report.svg import Drawing

#: Radius of a mark, and the height of a row of them [units].
DOT, STEP = 6.0, 15.0
LEFT, FOOT = 14.0, 40.0
#: How a group is drawn: its class of colour, and what its shape is called.
GROUPS = {"ready": "square", "safe": "diamond", "unsafe": "octagon"}


class Dot(NamedTuple):
    """A learner's total of 100, and the group he is in."""

    total: float
    group: str


def totals(dots: Sequence[Dot], cut: float | None, width: float, css: str) -> str:
    """Everybody's total on one line, marks that would lie on one another stacked."""
    right = width - 14.0
    rows = _stacked(dots, (right - LEFT) / 100.0)
    tall = 1 + max((row for row, _ in rows), default=0)
    base = 30.0 + STEP * tall
    told = f"Totals of {len(dots)} learners on a line from 0 to 100"
    d = Drawing(width, base + FOOT, f"{told}{f', cut {cut:g}' if cut is not None else ''}.")
    for value in range(0, 101, 10 if width > 500 else 20):
        x = LEFT + (right - LEFT) * value / 100.0
        d.line(x, 24.0, x, base, "grid")
        d.line(x, base, x, base + 4.0, "axis")
        d.text(x, base + 18.0, str(value), "tag", "middle")
    d.line(LEFT, base, right, base, "axis")
    d.text(LEFT, base + 35.0, "total, points of 100", "tag")
    if cut is not None:
        x = LEFT + (right - LEFT) * cut / 100.0
        d.line(x, 20.0, x, base, "level")
        d.text(x, 13.0, f"cut {cut:g}", "level-tag", "end" if cut > 50 else "start")
    for row, dot in rows:
        x = LEFT + (right - LEFT) * dot.total / 100.0
        y = base - STEP * (row + 0.5)
        d.polygon(_shape(dot.group, x, y), f"group-{dot.group}", f"{dot.total:.1f}, {dot.group}")
    return d.markup(css)


def _stacked(dots: Sequence[Dot], unit: float) -> list[tuple[int, Dot]]:
    """(row from the axis up, mark): the lowest row in which it lies on no other."""
    placed: list[tuple[int, Dot]] = []
    for dot in sorted(dots):
        near = {r for r, o in placed if abs(o.total - dot.total) * unit < 2.0 * DOT + 2.0}
        row = next(n for n in range(len(dots)) if n not in near)
        placed.append((row, dot))
    return placed


def _shape(group: str, x: float, y: float) -> list[tuple[float, float]]:
    r, q = DOT, 0.45 * DOT
    return {
        "ready": [(x - 5.0, y - 5.0), (x + 5.0, y - 5.0), (x + 5.0, y + 5.0), (x - 5.0, y + 5.0)],
        "safe": [(x, y - r), (x + r, y), (x, y + r), (x - r, y)],
        "unsafe": [
            (x - r, y - q), (x - q, y - r), (x + q, y - r), (x + r, y - q),
            (x + r, y + q), (x + q, y + r), (x - q, y + r), (x - r, y + q),
        ],
    }[group]  # fmt: skip


#: Size of a bar in a table [units].
BAR_WIDE, BAR_HIGH = 120.0, 12.0


def bar(wrong: int, not_shown: int, n: int) -> str:
    """Of n learners so many got it wrong and so many showed nothing, in one bar."""
    told = f"{wrong} of {n} not met, {not_shown} not shown"
    d = Drawing(BAR_WIDE, BAR_HIGH, told)
    d.box(0.0, 0.0, BAR_WIDE, BAR_HIGH, "bar-ground")
    if n:
        first, second = BAR_WIDE * wrong / n, BAR_WIDE * not_shown / n
        d.box(0.0, 0.0, first, BAR_HIGH, "bar-wrong")
        d.box(first, 0.0, second, BAR_HIGH, "bar-blank")
    return d.markup("bar")
