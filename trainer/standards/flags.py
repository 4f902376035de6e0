"""What an instructor should look at: items and variants whose figures stand out.

Thresholds are conventions of this project and no verdict: a flag says "check", never "bad".
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from trainer.base.errors import FieldError
from trainer.standards.exact import Given, exact, mean, shown
from trainer.standards.items import ItemFigures

#: Share of points below which an item is hard, and above which it is easy.
HARD, EASY = Fraction(20, 100), Fraction(95, 100)
#: Correlation with the rest below which an item goes its own way.
APART = 0.1
#: Points of 100 by which the mean of a variant may differ from its siblings'.
VARIANT_POINTS = 10


@dataclass(frozen=True)
class Flag:
    """``subject`` is the item or variant; ``sentence`` says what to look at."""

    subject: str
    sentence: str


def item_flags(names: Sequence[str], figures: Sequence[ItemFigures | None]) -> list[Flag]:
    """Flags of every item; None stands for an item that was never triggered."""
    return [
        Flag(name, f"check this item: {why}")
        for name, item in zip(names, figures, strict=True)
        for why in _reasons(item)
    ]


def _reasons(item: ItemFigures | None) -> list[str]:
    if item is None:
        return ["it was never triggered"]
    reasons, p = [], item.difficulty
    if p < HARD:
        reasons.append(f"learners got {shown(p * 100, 1)} % of its points, less than 20 %")
    if p > EASY:
        reasons.append(f"learners got {shown(p * 100, 1)} % of its points, more than 95 %")
    if item.rest is not None and item.rest < APART:
        r = shown(item.rest, 3)
        reasons.append(f"its correlation with the rest is {r}, below 0.1")
    return reasons


def variant_flags(percents: Mapping[str, Sequence[Given]]) -> list[Flag]:
    """Variants whose mean differs by more than 10 points from the mean of their siblings' means.

    ``percents`` are the scores of 0 to 100 of the learners who had each variant.
    """
    if any(not scores for scores in percents.values()):
        raise FieldError("a variant without a learner has no mean", hint="only variants with marks")
    means = {name: mean([exact(s) for s in scores]) for name, scores in percents.items()}
    flags = []
    for name, own in means.items():
        siblings = [value for other, value in means.items() if other != name]
        away = own - mean(siblings) if siblings else Fraction(0)
        if abs(away) > VARIANT_POINTS:
            side = "above" if away > 0 else "below"
            why = f"its mean is {shown(abs(away), 1)} points {side} that of its siblings"
            flags.append(Flag(name, f"check this variant: {why}"))
    return flags
