"""The same start again and again while one or two values vary.

Knows studies and reports; keeps figures, not records.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from pathlib import Path
from typing import Any

from trainer.base.errors import UsageError
from trainer.starts.run import run_start
from trainer.starts.varying import MOST_VALUES, Range, varied
from trainer.study.model import Study

#: Figures of a report that a sweep keeps.
KEPT = (
    "outcome",
    "time_to_90pct_s",
    "disengage_s",
    "disengage_speed_ratio",
    "recloses",
    "peak_line_a",
    "standing_torque_nm",
    "over_torque_ratio",
    "start_winding_peak_v",
    "start_capacitor_energy_j",
    "run_line_rms_a",
    "end_speed_ratio",
)


@dataclass(frozen=True)
class Point:
    """What was set, and the figures that came out."""

    settings: dict[str, float]
    figures: dict[str, Any]

    def as_row(self) -> dict[str, Any]:
        return {**self.settings, **self.figures}


def sweep(study: Study, ranges: Sequence[Range], beside: Path | None = None) -> Iterator[Point]:
    """Every combination of the values, the first range slowest."""
    names = [r.name for r in ranges]
    if len(set(names)) != len(names):
        raise UsageError("the same value varies twice", hint="give each name once")
    grid = list(product(*(r.values for r in ranges)))
    if len(grid) > MOST_VALUES:
        hint = f"ask for at most {MOST_VALUES}"
        raise UsageError(f"{len(grid)} starts are too many for one sweep", hint=hint)
    for values in grid:
        changed = study
        for name, value in zip(names, values, strict=True):
            changed = varied(changed, name, value)
        data = run_start(changed, beside=beside).as_data()
        yield Point(dict(zip(names, values, strict=True)), {key: data[key] for key in KEPT})
