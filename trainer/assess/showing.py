"""Digits of a score: always rounded down, and never up to the cut it lies under.

The only place where an exact score becomes text. Knows fractions.
"""

from __future__ import annotations

from fractions import Fraction

#: Digits after the point: usually, and at most.
USUAL, MOST = 1, 12


def floored(value: Fraction, cut: Fraction) -> str:
    """The value with one digit after the point, rounded down.

    A value under the cut is written with as many digits as it takes to read as less; one so
    near that twelve do not show it is written as "just under" the cut.
    """
    for digits in range(USUAL, MOST + 1):
        text = _down(value, digits)
        if not (value < cut <= Fraction(text)):
            return text
    return f"just under {_down(cut, USUAL)}"


def _down(value: Fraction, digits: int) -> str:
    scale = 10**digits
    whole = (value.numerator * scale) // value.denominator
    sign, whole = ("-", -whole) if whole < 0 else ("", whole)
    return f"{sign}{whole // scale}.{whole % scale:0{digits}d}"
