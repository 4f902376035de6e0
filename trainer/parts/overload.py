"""Internal line-break overload: a heater disc in the common lead, beside the windings.

Calibrated from two currents of its motor, rated and locked. Knows the motor's amps as numbers
and its windings as the warm surroundings; must know no other part.
"""

from __future__ import annotations

import math

from pydantic import model_validator

from trainer.base.errors import FieldError
from trainer.base.fields import Amps, Celsius, Kelvin, Ohms, Seconds
from trainer.circuit.elements import Thermal
from trainer.parts.heat import AMBIENT_C, TripCurve
from trainer.parts.part import Pen, amps
from trainer.parts.plausible import Plausible


class Overload(Plausible):
    """Opens near 107 degC (225 degF), recloses near 66 degC (150 degF): trade articles.

    Trips 3 to 20 s after a locked start: a reliability study of stalled units (from memory).
    Must trip at or below 156 % of rated amps held for long: NEC 440.52; with the windings warm
    the rise below does that. Heater ohms and rise at rated amps invented.
    """

    opens_at: Celsius = 107.0
    recloses_at: Celsius = 66.0
    trips_in: Seconds = 8.0
    heater: Ohms = 4e-3
    rise_at_rated: Kelvin = 30.0
    #: Empty: from the machine at its rated load and standing still.
    rated: Amps | None = None
    locked: Amps | None = None

    @model_validator(mode="after")
    def _order(self) -> Overload:
        if not AMBIENT_C < self.recloses_at < self.opens_at:
            raise FieldError(
                "an overload recloses above ambient and below where it opens",
                hint="recloses_at: between 25 degC and opens_at",
            )
        return self

    def curve(self, rated_a: float, locked_a: float) -> TripCurve:
        """From cold in 25 degC: holds I_r sqrt(rise allowed / rise at rated)."""
        rise_k = self.opens_at - AMBIENT_C
        holds = rated_a * math.sqrt(rise_k / self.rise_at_rated)
        # a motor whose locked amps barely exceed its rated ones still has to trip locked
        return TripCurve(min(holds, 0.9 * locked_a), locked_a, self.trips_in)

    def write(
        self, pen: Pen, ends: tuple[int, int], machine: str, rated_a: float, locked_a: float,
        whole: bool = True,
    ) -> None:  # fmt: skip
        """Disc between two nodes; ``whole`` False: found open for good."""
        c, r = self.curve(rated_a, locked_a).element(self.heater, self.opens_at - AMBIENT_C)
        disc = pen.contact("disc", *ends, whole, closed_ohms=self.heater)
        pen.into.add(
            Thermal(
                pen.called("overload"), amps(disc), self.heater, c, r, self.opens_at,
                self.recloses_at, (disc,), machine=machine, part=pen.name,
            )
        )  # fmt: skip
