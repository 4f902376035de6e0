"""Reliability of a set of items from learners' points: KR-20, alpha, SEM, length, consistency.

Rows are learners, columns items. Knows numbers only. A value that does not exist is None.
"""

from __future__ import annotations

from fractions import Fraction

from trainer.base.errors import FieldError
from trainer.standards.exact import (
    Given,
    Matrix,
    exact,
    exact_rows,
    mean,
    population_variance,
    root,
    sample_variance,
    total,
)


def kr20(matrix: Matrix) -> Fraction | None:
    """k/(k-1)·(1 - Σpq/σ²) with the population variance of totals, as pq is one too.

    None unless every cell is 0 or 1, there are two items, and totals differ.
    """
    rows = exact_rows(matrix)
    if any(value not in (0, 1) for row in rows for value in row):
        return None
    return alpha(rows)


def alpha(matrix: Matrix) -> Fraction | None:
    """Cronbach's alpha k/(k-1)·(1 - Σs²_item/s²_total), one convention of variance throughout."""
    rows = exact_rows(matrix)
    k = len(rows[0]) if rows else 0
    if k < 2:
        return None
    whole = population_variance([total(row) for row in rows])
    if not whole:
        return None
    apart = sum(population_variance(column) for column in zip(*rows, strict=True))
    return Fraction(k, k - 1) * (1 - apart / whole)


def alpha_interval(matrix: Matrix, confidence: float = 0.95) -> tuple[float, float] | None:
    """Interval of alpha after Feldt: 1 - (1 - α)·F at either tail, F with n-1, (n-1)(k-1).

    Holds for persons and items that are samples with normal effects; rough for few learners.
    """
    value = alpha(matrix)
    n = len(matrix)
    if value is None or n < 2:
        return None
    from scipy.special import fdtri

    inner, outer = n - 1, (n - 1) * (len(matrix[0]) - 1)
    tail = (1.0 - confidence) / 2
    left = float(1 - value)
    low, high = (1.0 - left * float(fdtri(inner, outer, p)) for p in (1.0 - tail, tail))
    return low, high


def standard_error_of_measurement(matrix: Matrix) -> float | None:
    """SEM = s·√(1 - α) in points, s of the sample of totals."""
    value = alpha(matrix)
    variance = sample_variance([total(row) for row in exact_rows(matrix)])
    if value is None or variance is None:
        return None
    return root(variance * (1 - value))


def spearman_brown(reliability: Given, factor: Given) -> Fraction | None:
    """Reliability of a test ``factor`` times as long: m·r/(1 + (m-1)·r)."""
    r, m = Fraction(exact(reliability)), Fraction(exact(factor))
    if m <= 0:
        raise FieldError("a test cannot have this length", hint="a factor above 0")
    below = 1 + (m - 1) * r
    return m * r / below if below > 0 else None


def length_factor(reliability: Given, target: Given) -> Fraction | None:
    """How many times as long a test must be to reach ``target``; None when no length does."""
    r, wanted = Fraction(exact(reliability)), Fraction(exact(target))
    if not 0 < wanted < 1:
        raise FieldError("a target of reliability lies between 0 and 1", hint="such as 0.8")
    return wanted * (1 - r) / (r * (1 - wanted)) if r > 0 else None


def livingston(matrix: Matrix, cut: Given) -> Fraction | None:
    """K² = (α·σ² + (μ - C)²)/(σ² + (μ - C)²), σ² of the population, C in points of the total."""
    value = alpha(matrix)
    if value is None:
        return None
    totals = [total(row) for row in exact_rows(matrix)]
    variance, away = population_variance(totals), (mean(totals) - exact(cut)) ** 2
    return (value * variance + away) / (variance + away)
