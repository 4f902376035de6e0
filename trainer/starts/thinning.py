"""Lines of a start thinned to whole numbers with a stated scale.

Knows a record and numbers; must know no finding.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from trainer.starts import watching as w
from trainer.starts.recording import Recording

#: Points kept of each line, and the whole number its largest value becomes.
POINTS_MOST, FULL = 400, 30000
#: Waves are kept of so much from energising; of the rest the rms of every cycle. [s]
NEAR_S = 0.6
#: What is drawn of a start: waves near by, rms farther on, and what is no wave.
NEAR = (w.LINE[0], w.V_SC, w.START_CAP_V, w.RUN_CAP_V, w.SPEED, w.TORQUE, w.LEGS[0])
FAR = (w.LINE[0], w.V_SC, w.START_CAP_V, w.RELAY)
PLAIN = (w.SPEED,)


def packed(values: NDArray[np.float64]) -> dict[str, Any]:
    """At most POINTS_MOST points as whole numbers; each times ``scale`` is the value."""
    grid = np.linspace(0, values.size - 1, min(POINTS_MOST, values.size)).round().astype(int)
    thin = values[grid]
    scale = float(f"{max(float(np.max(np.abs(thin), initial=0.0)), 1e-9) / FULL:.6g}")
    return {"scale": scale, "points": np.round(thin / scale).astype(int).tolist()}


def near(record: Recording, energised_at_s: float | None) -> dict[str, Any]:
    """The first waves from energising, by the names of the record."""
    start = energised_at_s or 0.0
    a, b = record.index(start), record.index(start + NEAR_S) + 1
    lines = {name: packed(record[name][a:b]) for name in NEAR if record.has(name)}
    return {"t_s": packed(record.t_s[a:b]), **lines}


def far(record: Recording) -> dict[str, Any]:
    """The whole record, of waves the rms of every cycle."""
    rms = {name: packed(record.cycle_rms(name)) for name in FAR if record.has(name)}
    plain = {name: packed(record[name]) for name in PLAIN if record.has(name)}
    return {"t_s": packed(record.t_s), **rms, **plain}
