"""Difficulty and discrimination of items from learners' points.

Rows are learners in file order, columns items. Knows numbers only; a value that does not exist is
None, which is so for discrimination where an item or the rest is constant.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from trainer.base.errors import FieldError
from trainer.standards.exact import (
    Given,
    Matrix,
    Number,
    correlation,
    exact,
    exact_rows,
    mean,
    scaled,
    total,
)

#: How learners on the same total at the edge of a group are dealt with.
Ties = Literal["shared equally", "in file order"]


@dataclass(frozen=True)
class ItemFigures:
    """One item: share of its points given, correlation with the rest and the total, D of halves."""

    difficulty: Fraction
    rest: float | None
    total: float | None
    upper_lower: Fraction | None


def item_figures(matrix: Matrix, out_of: Sequence[Given] = ()) -> list[ItemFigures]:
    """The figures of every item; ``out_of`` is what each can give, 1 if unsaid."""
    rows = exact_rows(matrix)
    columns = list(zip(*rows, strict=True))
    most = _most(out_of, len(columns))
    totals = [total(row) for row in rows]
    d = upper_lower(rows, len(rows) // 2, out_of=most)
    return [
        ItemFigures(
            difficulty=mean(column) / most[j],
            rest=correlation(column, [t - x for t, x in zip(totals, column, strict=True)]),
            total=correlation(column, totals),
            upper_lower=d[j],
        )
        for j, column in enumerate(columns)
    ]


def group_of_27_percent(n: int) -> int:
    """g = round(0.27·n), a half rounded up."""
    return math.floor(Fraction(27, 100) * n + Fraction(1, 2))


def upper_lower(
    matrix: Matrix, group: int, ties: Ties = "shared equally", out_of: Sequence[Given] = ()
) -> list[Fraction | None]:
    """D of every item: its share of points in the best ``group`` less that in the weakest.

    ``shared equally``: learners on the same total at the edge of a group belong to it in equal
    parts. ``in file order``: who stands first in the file ranks first. None when all totals are
    one or the groups would be empty or overlap.
    """
    rows = exact_rows(matrix)
    most = _most(out_of, len(rows[0]) if rows else 0)
    totals = [total(row) for row in rows]
    if not 0 < 2 * group <= len(rows) or len(set(totals)) == 1:
        return [None] * len(most)
    parts = _in_file_order if ties == "in file order" else _shared
    upper, lower = parts(totals, group)
    weights, scale = scaled([u - w for u, w in zip(upper, lower, strict=True)])
    return [
        _weighed(weights, column) / (scale * group * most[j])
        for j, column in enumerate(zip(*rows, strict=True))
    ]


def _weighed(weights: Sequence[int], values: Sequence[Number]) -> Fraction:
    return total([w * x for w, x in zip(weights, values, strict=True) if w])


def _most(out_of: Sequence[Given], items: int) -> list[Number]:
    most = [exact(value) for value in out_of] or [1] * items
    if len(most) != items or any(value <= 0 for value in most):
        raise FieldError("every item needs the points it can give", hint="a number above 0 each")
    return most


Parts = tuple[list[Fraction], list[Fraction]]


def _in_file_order(totals: Sequence[Number], group: int) -> Parts:
    order = sorted(range(len(totals)), key=lambda n: -totals[n])
    upper, lower = set(order[:group]), set(order[-group:])
    everyone = range(len(totals))
    return [Fraction(n in upper) for n in everyone], [Fraction(n in lower) for n in everyone]


def _shared(totals: Sequence[Number], group: int) -> Parts:
    return _best(totals, group), _best([-t for t in totals], group)


def _best(totals: Sequence[Number], group: int) -> list[Fraction]:
    """The part of every learner in the group of the highest totals."""
    edge = sorted(totals, reverse=True)[group - 1]
    above, level = sum(t > edge for t in totals), totals.count(edge)
    part = Fraction(group - above, level)
    return [Fraction(1) if t > edge else part if t == edge else Fraction(0) for t in totals]
