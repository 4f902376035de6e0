"""Agreement of two raters beyond chance. Knows their verdicts only."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from fractions import Fraction

from trainer.base.errors import FieldError


def cohen_kappa(first: Sequence[Hashable], second: Sequence[Hashable]) -> Fraction | None:
    """κ = (po - pe)/(1 - pe); None when both gave one and the same verdict throughout."""
    n = len(first)
    if n != len(second) or not n:
        raise FieldError("two raters must have judged the same learners", hint="a verdict of each")
    agreed = Fraction(sum(a == b for a, b in zip(first, second, strict=True)), n)
    words = set(first) | set(second)
    chance = sum((Fraction(first.count(w) * second.count(w), n * n) for w in words), Fraction(0))
    return (agreed - chance) / (1 - chance) if chance != 1 else None
