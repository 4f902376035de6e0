"""A clamp meter: the rms of everything inside its jaws, and the highest it saw in a start.

Two conductors that carry the same current there and back read nothing. Inrush is the rms of
the first 100 ms after its trigger, as common instruments take it (common practice, no source).
Knows a meeting and recorded lines; must know no act.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from trainer.instruments.meeting import Meeting
from trainer.instruments.shown import Health, Shown, dark, figure
from trainer.unit.circuit import wire_name

#: The setting that waits for a start.
INRUSH = "inrush"
#: Trigger of the inrush capture and its window. Invented trigger. [A, s]
TRIGGER_A, WINDOW_S = 3.0, 0.1
#: Least that is shown; below is the jaws' own noise. [A]
LEAST_A = 0.02


def read(meeting: Meeting, jaws: Sequence[str], health: Health) -> Shown:
    """Amps of the conductors inside the jaws; a tag with "-" in front goes through backwards."""
    if health.destroyed or health.battery == "flat":
        return dark()
    total = meeting.amps(signed(jaws))
    return figure(total if total >= LEAST_A else 0.0, "A")


def signed(jaws: Sequence[str]) -> list[tuple[str, float]]:
    return [(wire_name(j.removeprefix("-")), -1.0 if j.startswith("-") else 1.0) for j in jaws]


def inrush(t_s: NDArray[np.float64], amps: NDArray[np.float64], health: Health) -> Shown:
    """rms over the window after the first sample above the trigger [A]."""
    if health.destroyed or health.battery == "flat":
        return dark()
    over = np.flatnonzero(np.abs(amps) > TRIGGER_A)
    if over.size == 0:
        return Shown(text="----", unit="A", note="armed, nothing caught")
    begin = t_s[over[0]]
    inside = (t_s >= begin) & (t_s <= begin + WINDOW_S)
    t, i = t_s[inside], amps[inside]
    if t.size < 2:
        return Shown(text="----", unit="A", note="armed, nothing caught")
    mean_square = float(np.trapezoid(i * i, t)) / float(t[-1] - t[0])
    return figure(math.sqrt(mean_square), "A", INRUSH)
