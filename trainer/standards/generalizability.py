"""Generalizability of marks, persons by scenarios with one mark in each cell.

Knows numbers only. A negative estimate of a variance is set to 0 and named in ``set_to_zero``.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from trainer.base.errors import FieldError
from trainer.standards.exact import Matrix, exact_rows, mean, squares


@dataclass(frozen=True)
class Generalizability:
    """Mean squares and components of variance: persons, scenarios, and both with error."""

    persons: int
    scenarios: int
    ms_persons: Fraction
    ms_scenarios: Fraction
    ms_rest: Fraction
    var_persons: Fraction
    var_scenarios: Fraction
    var_rest: Fraction
    set_to_zero: tuple[str, ...]

    def relative(self, k: int | None = None) -> Fraction | None:
        """Eρ² = σ²p/(σ²p + σ²pi/k): for ranking. ``k`` scenarios, those of the study if unsaid."""
        return self._share(self.var_rest, k)

    def absolute(self, k: int | None = None) -> Fraction | None:
        """Φ = σ²p/(σ²p + (σ²i + σ²pi)/k): for pass or fail against a fixed cut."""
        return self._share(self.var_scenarios + self.var_rest, k)

    def _share(self, error: Fraction, k: int | None) -> Fraction | None:
        count = self.scenarios if k is None else k
        if count < 1:
            raise FieldError("there is no such number of scenarios", hint="1 or more")
        whole = self.var_persons + error / count
        return self.var_persons / whole if whole else None


def generalizability(matrix: Matrix) -> Generalizability | None:
    """Components from the two-way analysis of variance; None below two persons or scenarios."""
    rows = exact_rows(matrix)
    n, k = len(rows), len(rows[0]) if rows else 0
    if n < 2 or k < 2:
        return None
    persons = k * squares([mean(row) for row in rows])
    scenarios = n * squares([mean(column) for column in zip(*rows, strict=True)])
    rest = squares([value for row in rows for value in row]) - persons - scenarios
    ms_p, ms_i, ms_pi = persons / (n - 1), scenarios / (k - 1), rest / ((n - 1) * (k - 1))
    estimates = {"persons": (ms_p - ms_pi) / k, "scenarios": (ms_i - ms_pi) / n}
    kept = {name: max(value, Fraction(0)) for name, value in estimates.items()}
    negative = tuple(name for name, value in estimates.items() if value < 0)
    return Generalizability(
        n, k, ms_p, ms_i, ms_pi, kept["persons"], kept["scenarios"], ms_pi, negative
    )
