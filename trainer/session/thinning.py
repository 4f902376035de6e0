"""Lines of a start thinned to whole numbers with a stated scale. Knows numbers only."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

#: Points kept of each line, and the whole number its largest value becomes.
POINTS_MOST, FULL = 400, 30000


def packed(values: NDArray[np.float64]) -> dict[str, Any]:
    """At most POINTS_MOST points as whole numbers; each times ``scale`` is the value."""
    grid = np.linspace(0, values.size - 1, min(POINTS_MOST, values.size)).round().astype(int)
    thin = values[grid]
    scale = float(f"{max(float(np.max(np.abs(thin), initial=0.0)), 1e-9) / FULL:.6g}")
    return {"scale": scale, "points": np.round(thin / scale).astype(int).tolist()}
