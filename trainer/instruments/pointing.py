"""Instruments that say yes or no: the two-pole tester and the non-contact pen.

The tester loads the points, so a ghost voltage falls away; it lights by steps and works without
a battery. The pen feels the alternating field near one point: not direct volts, not a conductor
at earth's potential, and it answers for a neighbour too. Steps and limits invented, of the
order of common instruments. Knows a meeting; must know no act.
"""

from __future__ import annotations

from collections.abc import Sequence

from trainer.instruments.meeting import Meeting
from trainer.instruments.shown import Health, Shown, dark

#: Load of the tester and its lamps. [ohm, V]
TESTER_OHMS = 200e3
STEPS_V = (12.0, 24.0, 50.0, 120.0, 230.0, 400.0, 690.0)
#: A lamp lights from this share of its figure on.
LIGHTS_FROM = 0.85
#: Least volts to earth that the pen answers to.
PEN_V = 50.0


def tester(meeting: Meeting, leads: tuple[str, str], health: Health) -> Shown:
    """The highest lamp lit, whether for alternating or direct volts."""
    if health.destroyed or health.lead_open:
        return Shown(text="no lamp", value=0.0, unit="V")
    a, b = meeting.at(leads[0]), meeting.at(leads[1])
    live = meeting.volts_ac(a, b, TESTER_OHMS)
    held = abs(meeting.volts_dc(a, b, TESTER_OHMS))
    kind = "ac" if live >= held else "dc"
    lit = [step for step in STEPS_V if max(live, held) >= LIGHTS_FROM * step]
    if not lit:
        return Shown(text="no lamp", value=0.0, unit="V")
    note = "the lamps fade" if kind == "dc" else ""
    return Shown(text=f"lamps to {lit[-1]:.0f} V {kind}", value=lit[-1], unit="V", note=note)


def pen(meeting: Meeting, place: str, near: Sequence[str], health: Health) -> Shown:
    """Whether the pen sounds at a place; ``near`` are places its tip also feels."""
    if health.destroyed or health.battery == "flat":
        return dark("no light, no sound")
    felt = [meeting.to_earth(meeting.at(p)) for p in (place, *near) if meeting.has(p)]
    sounds = max(felt, default=0.0) >= PEN_V
    return Shown(text="lights and sounds" if sounds else "stays quiet", value=float(sounds))
