"""Digits of a score: always rounded down, and never up to the cut it lies under.

The only place where an exact score becomes text. Knows fractions.
"""

from __future__ import annotations

from fractions import Fraction

#: Digits after the point: usually, and at most.
USUAL, MOST = 1, 30


def floored(value: Fraction, cut: Fraction) -> str:
    """The value with one digit after the point, rounded down.

    Rounded down, a value under the cut never reads as the cut. One that reaches the cut gets as
    many digits as it takes to show that: a cut of 79.96 is not written as 79.9.
    """
    least = Fraction(_down(cut, MOST))
    for digits in range(USUAL, MOST):
        text = _down(value, digits)
        if value < cut or Fraction(text) >= least:
            return text
    return _down(value, MOST)


def _down(value: Fraction, digits: int) -> str:
    scale = 10**digits
    whole = (value.numerator * scale) // value.denominator
    sign, whole = ("-", -whole) if whole < 0 else ("", whole)
    return f"{sign}{whole // scale}.{whole % scale:0{digits}d}"
