"""Sums, variances and correlations on exact fractions.

Knows numbers only. Population variance divides by n, sample variance by n - 1; the name says which.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

from trainer.base.errors import FieldError, quoted

Number = int | Fraction
#: What a caller may hand in; a float is taken as the decimal it is written as.
Given = int | float | Fraction
Matrix = Sequence[Sequence[Given]]

#: What is shown for a value that does not exist.
UNDEFINED = "–"


def exact(value: Given) -> Number:
    """The value without rounding: 0.9 is nine tenths. Raises FieldError for NaN and infinities."""
    if type(value) is int or type(value) is Fraction:
        return value
    if isinstance(value, float) and not math.isfinite(value):
        raise FieldError(f"{quoted(value)} is no number", hint="a number")
    fraction = Fraction(repr(float(value))) if isinstance(value, float) else Fraction(value)
    return fraction.numerator if fraction.denominator == 1 else fraction


def exact_rows(matrix: Matrix) -> list[list[Number]]:
    """The rows as exact numbers. Raises FieldError unless all are as long as the first."""
    rows = [[exact(value) for value in row] for row in matrix]
    if any(len(row) != len(rows[0]) for row in rows):
        raise FieldError("the rows are not of one length", hint="a value for every column")
    return rows


def scaled(values: Sequence[Number]) -> tuple[list[int], int]:
    """The values times their common denominator, and it: whole numbers add up far faster."""
    scale = math.lcm(*{value.denominator for value in values})
    return [value.numerator * (scale // value.denominator) for value in values], scale


def total(values: Sequence[Number]) -> Fraction:
    whole, scale = scaled(values)
    return Fraction(sum(whole), scale)


def mean(values: Sequence[Number]) -> Fraction:
    return total(values) / len(values)


def squares(values: Sequence[Number]) -> Fraction:
    """Sum of squared differences from the mean: Σx² - (Σx)²/n."""
    return products(values, values)


def products(xs: Sequence[Number], ys: Sequence[Number]) -> Fraction:
    """Sum of products of the differences from the means: Σxy - Σx·Σy/n."""
    n, (a, a_scale), (b, b_scale) = len(xs), scaled(xs), scaled(ys)
    together = n * sum(x * y for x, y in zip(a, b, strict=True)) - sum(a) * sum(b)
    return Fraction(together, n * a_scale * b_scale)


def population_variance(values: Sequence[Number]) -> Fraction:
    return squares(values) / len(values)


def sample_variance(values: Sequence[Number]) -> Fraction | None:
    return squares(values) / (len(values) - 1) if len(values) > 1 else None


def root(value: Number) -> float:
    return math.sqrt(float(value))


def correlation(xs: Sequence[Number], ys: Sequence[Number]) -> float | None:
    """Product-moment correlation; None when either side is constant."""
    across = squares(xs) * squares(ys) if xs else Fraction(0)
    if not across:
        return None
    shared = products(xs, ys)
    return math.copysign(root(shared * shared / across), shared)


def shown(value: Number | float | None, digits: int = 4) -> str:
    """For people: rounded to ``digits``, or "–" where there is no value."""
    return UNDEFINED if value is None else f"{float(value):.{digits}f}"


def as_float(value: Number | float | None) -> float | None:
    return None if value is None else float(value)
