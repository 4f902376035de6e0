"""An insulation tester: 500 V through everything between two points.

It charges capacitors on its way and kills electronics it is put across; refused by live or
charged points. Knows a meeting; must know no act.
"""

from __future__ import annotations

from trainer.circuit import dead
from trainer.instruments.meeting import Meeting
from trainer.instruments.shown import Harm, Health, Shown, dark, figure

SETTINGS = ("off", "500 V")
TESTER_OHMS = 10e6


def read(meeting: Meeting, leads: tuple[str, str], setting: str, health: Health) -> Shown:
    if setting == "off" or health.battery == "flat" or health.destroyed:
        return dark()
    a, b = meeting.at(leads[0]), meeting.at(leads[1])
    reading = dead.insulation(meeting.dead(a, b, TESTER_OHMS), a, b, 500.0)
    harm: Harm = (
        "charged" if "charged: discharge it" in reading.shown_note and reading.value else ""
    )
    return figure(reading.value, "Mohm", reading.shown_note, harm)
