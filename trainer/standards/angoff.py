"""Modified Angoff: what a just-competent learner would do, as judged item by item.

Knows judges' estimates; must know nothing of learners' marks.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from trainer.base.errors import FieldError
from trainer.standards.exact import Matrix, exact_rows, mean, root, sample_variance

JUDGES_LEAST = 2
METHOD = "modified Angoff"


@dataclass(frozen=True)
class Angoff:
    """A cut from judges' estimates. ``share`` is on the scale 0 to 1, ``points`` of n items."""

    judges: int
    n: int
    item_means: tuple[Fraction, ...]
    judge_means: tuple[Fraction, ...]
    cut_share: Fraction
    se_share: float

    @property
    def cut_points(self) -> Fraction:
        """The cut as a number of items, each worth one point."""
        return self.cut_share * self.n

    @property
    def se_points(self) -> float:
        return self.se_share * self.n

    @property
    def cut_percent(self) -> Fraction:
        return self.cut_share * 100

    @property
    def se_percent(self) -> float:
        return self.se_share * 100


def modified_angoff(estimates: Matrix) -> Angoff:
    """The cut of judges (rows) by items (columns), each the chance from 0 to 1.

    cut = mean over judges of their item sums; SE = sd/√J of the judges' means, sd with J - 1.
    """
    rows = exact_rows(estimates)
    if len(rows) < JUDGES_LEAST or not rows[0]:
        raise FieldError("a cut needs two judges and an item", hint="a row for each judge")
    if any(not 0 <= value <= 1 for row in rows for value in row):
        raise FieldError("a chance lies outside 0 to 1", hint="a chance such as 0.65")
    judge_means = tuple(mean(row) for row in rows)
    return Angoff(
        judges=len(rows),
        n=len(rows[0]),
        item_means=tuple(mean(column) for column in zip(*rows, strict=True)),
        judge_means=judge_means,
        cut_share=mean(judge_means),
        se_share=_standard_error(judge_means),
    )


def _standard_error(values: Sequence[Fraction]) -> float:
    variance = sample_variance(values)
    assert variance is not None  # two judges at least
    return root(variance / len(values))
