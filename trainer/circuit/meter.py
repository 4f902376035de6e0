"""Hand instruments as numbers: ranges, test currents, leads, and what a reading is.

Knows no circuit. Every figure here is invented, of the order of common instruments.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Reading:
    """``value`` in ``unit``: inf is over range (OL), None when nothing meaningful is shown."""

    value: float | None
    unit: str
    shown_note: str = ""


@dataclass(frozen=True)
class Meter:
    """A hand meter with its leads. Invented, of the order of a common 6000-count instrument."""

    lead_ohms: float = 0.2
    #: volts at its open points on ohms; more than this on the points swamps it
    open_volts: float = 3.0
    #: full scale [ohm] and test current [A] of the ohms ranges
    ohm_ranges: tuple[tuple[float, float], ...] = (
        (600.0, 1e-3),
        (6e3, 1e-4),
        (60e3, 1e-5),
        (600e3, 1e-6),
        (6e6, 1e-7),
        (60e6, 1e-8),
    )
    #: full scale [F] and ramp current [A] of the farads ranges
    farad_ranges: tuple[tuple[float, float], ...] = (
        (100e-9, 1e-6),
        (1e-6, 1e-5),
        (10e-6, 1e-4),
        (100e-6, 1e-3),
        (1e-3, 1e-3),
        (10e-3, 1e-3),
    )
    #: the ramp is timed between these volts and given up after this long [s]
    ramp_volts: tuple[float, float] = (0.1, 0.5)
    ramp_most_s: float = 20.0
    tone_below_ohms: float = 30.0
    load_ohms: float = 10e6  # on volts
    #: what its own small source loads the points with on ohms and farads: a ghost behind an open
    #: contact falls away in it
    source_ohms: float = 100e3


#: An insulation tester: most megohms shown, and the current at which its volts give way.
INSULATION_SHOWN_MOHM = 4000.0
INSULATION_TEST_A = 1e-3

#: What a reading takes when nobody names an instrument.
HAND_METER = Meter()
