"""A hand multimeter: true rms, 10 Mohm on volts; ohms, tone and farads by its own small source.

An ac range does not show direct volts, a dc range does not show alternating ones. Volts on the
points while it stands on ohms or farads hurt it. All limits invented, of the order of common
instruments. Knows a meeting of leads and circuit; must know no act.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from trainer.circuit import dead
from trainer.circuit.meter import HAND_METER
from trainer.instruments.meeting import Meeting
from trainer.instruments.shown import Health, Shown, dark, figure

EXTREMES = "V ac min max"
SETTINGS = ("off", "V ac", EXTREMES, "V dc", "ohms", "continuity", "farads")
#: A reading kept as least or most is the rms over this. Of the order of common meters. [s]
WINDOW_S = 0.1
#: Above this on the points, the small source of the ohms function is hurt. Invented. [V]
HURTS_V = 60.0
#: What a lead picks up when it hangs open: a ghost reading. Invented. [V]
GHOST_V = 3.0
#: A low battery makes readings wander high by this share. Invented.
LOW_BATTERY = 1.12


def read(meeting: Meeting, leads: tuple[str, str], setting: str, health: Health) -> Shown:
    """What the display shows with the leads on two places."""
    if setting == "off" or health.battery == "flat" or health.destroyed:
        return dark()
    if health.lead_open:
        return _open_lead(setting)
    a, b = meeting.at(leads[0]), meeting.at(leads[1])
    if setting in ("V ac", EXTREMES):
        shown = _volts_ac(meeting, a, b)
    elif setting == "V dc":
        shown = _volts_dc(meeting, a, b)
    else:
        return _own_source(meeting, a, b, setting, health)
    return _weak(shown) if health.battery == "low" else shown


def extremes(
    t_s: NDArray[np.float64],
    volts: NDArray[np.float64],
    health: Health,
    kept: tuple[float, float] | None = None,
) -> tuple[Shown, tuple[float, float] | None]:
    """Least and most of the rms over WINDOW_S since the leads were put on, and what is kept of it.

    ``value`` of the display is the least.
    """
    if health.destroyed or health.battery == "flat":
        return dark(), kept
    if health.lead_open:
        return _open_lead("V ac"), kept
    step = float(t_s[-1] - t_s[0]) / max(1, t_s.size - 1)
    count = min(t_s.size, max(1, round(WINDOW_S / step)))
    sums = np.cumsum(np.concatenate([[0.0], volts * volts]))
    rms = np.sqrt((sums[count:] - sums[:-count]) / count)
    before = kept or (math.inf, 0.0)
    now = min(before[0], float(rms.min())), max(before[1], float(rms.max()))
    least, most = figure(now[0], "V"), figure(now[1], "V")
    shown = Shown(text=f"min {least.text}, max {most.text}", value=least.value, unit="V")
    return shown, (round(now[0], 4), round(now[1], 4))


def _open_lead(setting: str) -> Shown:
    """A broken lead: volts near nothing whatever is there, ohms always open."""
    if setting.startswith("V"):
        return figure(0.0 if setting == "V dc" else GHOST_V, "V", "the figure wanders")
    return figure(float("inf"), "F" if setting == "farads" else "ohm")


def _volts_ac(meeting: Meeting, a: int, b: int) -> Shown:
    return figure(meeting.volts_ac(a, b, HAND_METER.load_ohms), "V")


def _volts_dc(meeting: Meeting, a: int, b: int) -> Shown:
    volts = meeting.volts_dc(a, b, HAND_METER.load_ohms)
    return figure(volts, "V", "falling" if abs(volts) > 1.0 else "")


def _weak(shown: Shown) -> Shown:
    if shown.value is None:
        return shown
    return figure(shown.value * LOW_BATTERY, shown.unit, "the battery sign blinks", shown.harm)


def _own_source(meeting: Meeting, a: int, b: int, setting: str, health: Health) -> Shown:
    unit = "F" if setting == "farads" else "ohm"
    live = meeting.volts_ac(a, b, HAND_METER.load_ohms)
    held = abs(meeting.volts_dc(a, b, HAND_METER.load_ohms))
    if max(live, held) > HURTS_V:
        return figure(None, unit, "a beep and a warning: volts on the leads", "ohms burnt")
    if health.ohms_burnt:
        return figure(float("inf"), unit)
    function = {"ohms": dead.ohms, "continuity": dead.continuity, "farads": dead.farads}[setting]
    reading = function(meeting.dead(a, b, HAND_METER.source_ohms), a, b, HAND_METER)
    return figure(reading.value, reading.unit, reading.shown_note)
