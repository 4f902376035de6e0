"""What an instrument shows, and the state it is in: words and numbers, no circuit.

``Shown`` is a reading as the eye has it; ``Health`` what earlier use and neglect have left of an
instrument. Knows no unit and no learner.
"""

from __future__ import annotations

import math
from typing import Literal

from trainer.base import units
from trainer.base.fields import Record

#: What a reading does to the instrument or its surroundings.
Harm = Literal["", "ohms burnt", "destroyed", "charged"]
OVER = "OL"
#: Decimal places of a display that counts in fixed steps.
PLACES = {"V": 1, "A": 2}


class Health(Record):
    """Of one instrument. ``lead_open``: a broken lead, all readings float."""

    battery: Literal["good", "low", "flat"] = "good"
    fuse_blown: bool = False
    lead_open: bool = False
    ohms_burnt: bool = False
    destroyed: bool = False


class Shown(Record):
    """``text`` is the display; ``value`` in ``unit`` or None where it shows none.

    ``note`` is what eye and ear add (tone, flicker, climbing); ``harm`` what it did.
    """

    text: str
    value: float | None = None
    unit: str = ""
    note: str = ""
    harm: Harm = ""


def dark(note: str = "the display stays dark") -> Shown:
    return Shown(text="", note=note)


def figure(value: float | None, unit: str, note: str = "", harm: Harm = "") -> Shown:
    """A number on a display of about four figures; inf is over range, None dashes."""
    if value is None:
        return Shown(text="----", unit=unit, note=note, harm=harm)
    if not math.isfinite(value):
        return Shown(text=OVER, unit=unit, note=note, harm=harm)
    places = PLACES.get(unit)
    kept = float(f"{value:.4g}") if places is None else round(value, places) + 0.0
    return Shown(text=counted(kept, unit), value=kept, unit=unit, note=note, harm=harm)


def counted(value: float, unit: str) -> str:
    """As a display shows it: volts to a tenth, amps and low ohms to a hundredth."""
    if unit == "V":
        return f"{value:.1f} V" if abs(value) < 600.0 else f"{value:.0f} V"
    if unit == "A":
        return f"{value:.2f} A" if abs(value) < 10.0 else f"{value:.1f} A"
    if unit == "ohm" and value < 600.0:
        return f"{value:.2f} ohm" if value < 10.0 else f"{value:.1f} ohm"
    return units.show(value, unit, 4)
