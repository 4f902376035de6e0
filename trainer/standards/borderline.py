"""Borderline regression: the score at which the line through all learners meets "borderline".

Knows global ratings and scores; must know nothing of who gave them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from trainer.base.errors import FieldError
from trainer.standards.exact import Given, exact, mean, products, root, squares

#: 1 unsafe, 2 borderline, 3 competent, 4 good, 5 exemplary.
RATINGS = (1, 2, 3, 4, 5)
BORDERLINE = 2
LEARNERS_LEAST = 3
METHOD = "borderline regression"


@dataclass(frozen=True)
class Borderline:
    """The line score = intercept + slope·rating, and where it meets the borderline rating.

    ``rmse`` = √(SSE/n) tells how far scores lie from the line. ``se_cut`` is the standard error of
    the line's height at the borderline rating, from the residual variance SSE/(n - 2).
    """

    n: int
    slope: Fraction
    intercept: Fraction
    r2: Fraction | None
    rmse: float
    cut: Fraction
    se_cut: float
    #: The lowest rating given is above borderline: the cut is read where nobody was rated.
    beyond: bool


def borderline_regression(ratings: Sequence[Given], scores: Sequence[Given]) -> Borderline:
    """Least squares of score on rating; R² is None when all scores are one."""
    xs, ys = [exact(r) for r in ratings], [exact(s) for s in scores]
    n = len(xs)
    if n != len(ys) or n < LEARNERS_LEAST:
        raise FieldError("a line needs three learners, rated and scored", hint="a row for each")
    if any(x not in RATINGS for x in xs):
        raise FieldError("a rating is not a whole number from 1 to 5", hint="1 to 5")
    wide, tall, shared = squares(xs), squares(ys), products(xs, ys)
    if not wide:
        raise FieldError("all ratings are one, so no line can be drawn", hint="two ratings or more")
    slope = shared / wide
    intercept = mean(ys) - slope * mean(xs)
    left = tall - slope * shared
    spread = Fraction(1, n) + (BORDERLINE - mean(xs)) ** 2 / wide
    return Borderline(
        n=n,
        slope=slope,
        intercept=intercept,
        r2=1 - left / tall if tall else None,
        rmse=root(left / n),
        cut=intercept + slope * BORDERLINE,
        se_cut=root(left / (n - 2) * spread),
        beyond=min(xs) > BORDERLINE,
    )
