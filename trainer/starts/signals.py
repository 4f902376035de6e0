"""What instruments make of a sampled wave: cycle rms, a clamp's inrush, a clamp's display.

Works on evenly spaced samples; knows no circuit. All amps are true rms and include a direct
component, which a clamp with a transformer would lose.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

#: Positions of a display's clock against the start that are tried. Invented.
CLOCKS = 24


def moving_rms(values: ArrayLike, count: int) -> Floats:
    """rms of the last ``count`` samples at every sample; before the record there was nothing."""
    squares = np.asarray(values, dtype=float) ** 2
    total = np.concatenate([[0.0], np.cumsum(squares)])
    ends = np.arange(1, squares.size + 1)
    sums = total[ends] - total[np.maximum(ends - count, 0)]
    rms: Floats = np.sqrt(np.maximum(sums, 0.0) / count)
    return rms


def rms(values: ArrayLike) -> float:
    """rms of all samples; 0 of none."""
    v = np.asarray(values, dtype=float)
    return float(np.sqrt(np.mean(v**2))) if v.size else 0.0


def inrush(amps: ArrayLike, step_s: float, window_s: float, trigger_a: float) -> float | None:
    """rms of the window that opens when the amps first pass the trigger; None if they never do."""
    a = np.asarray(amps, dtype=float)
    over = np.flatnonzero(np.abs(a) > trigger_a)
    if over.size == 0:
        return None
    return rms(a[over[0] : over[0] + round(window_s / step_s)])


def display_max(
    amps: ArrayLike, step_s: float, updates_per_s: float
) -> tuple[float, float, float] | None:
    """(least, mean, most) of the largest number shown by a display that updates so often.

    Each update shows the rms since the last one. Which part of the start falls into one update
    is chance, so ``CLOCKS`` positions of the display's clock are tried. None: record too short.
    """
    a = np.asarray(amps, dtype=float)
    count = round(1.0 / (updates_per_s * step_s))
    if a.size < count:
        return None
    shown = moving_rms(a, count)
    found = [
        float(shown[first::count].max(initial=0.0))
        for first in (count - 1 - round(count * k / CLOCKS) for k in range(CLOCKS))
    ]
    return min(found), float(np.mean(found)), max(found)


def peak(values: ArrayLike) -> float:
    """Largest size of any sample; 0 of none."""
    v = np.asarray(values, dtype=float)
    return float(np.max(np.abs(v))) if v.size else 0.0
