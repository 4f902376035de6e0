"""Turns a trip curve into the heat constants of a thermal element.

c dT/dt = R i^2 - (T - T_around)/r has two unknowns besides R; a current it holds for ever and
one point of the curve fix them. Knows no part.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

AMBIENT_C = 25.0


@dataclass(frozen=True)
class TripCurve:
    """Holds ``holds_a`` for ever, trips after ``after_s`` at ``trips_a``, from cold, rms amps."""

    holds_a: float
    trips_a: float
    after_s: float

    @property
    def time_constant_s(self) -> float:
        """tau = t / ln(x/(x - 1)), x = (I/I_hold)^2; I must exceed I_hold."""
        x = (self.trips_a / self.holds_a) ** 2
        return self.after_s / math.log(x / (x - 1.0))

    def seconds(self, amps: float) -> float:
        """Time to trip from cold at ``amps`` rms; infinite at or below the holding current."""
        x = (amps / self.holds_a) ** 2
        return self.time_constant_s * math.log(x / (x - 1.0)) if x > 1.0 else math.inf

    def element(self, ohms: float, rise_k: float) -> tuple[float, float]:
        """(c [J/K], r [K/W]) of an element of ``ohms`` that trips ``rise_k`` above ambient."""
        r = rise_k / (ohms * self.holds_a**2)
        return self.time_constant_s / r, r
