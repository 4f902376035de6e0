"""How a start changes with a value: time to speed, disengagement, peak amps, standing torque.

Draws figures of a sweep; computes nothing. A second varied value gives one line each.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from trainer.cli import look
from trainer.starts.sweeping import Point
from trainer.starts.varying import VARIES, Range

PANELS = (
    ("time_to_90pct_s", "Time to 90 % speed, s (gap: never)"),
    ("disengage_speed_ratio", "Speed at which the start capacitor first leaves, of synchronous"),
    ("peak_line_a", "Line, peak amps"),
    ("standing_torque_nm", "Standing torque, N.m"),
)
#: From light to dark for the values of a second range.
SHADES = ("#9CC5BF", "#6FA8A1", "#3E8780", "#0B6360", "#07433F", "#1F2A30")
MARK = {"clean": "o"}


def draw(study: str, ranges: Sequence[Range], found: Sequence[Point], path: Path) -> None:
    """Write the PNG; starts that are not clean are marked by a cross."""
    with look.styled():
        fig = look.figure(10.0, 10.2)
        axes = fig.subplots(len(PANELS), 1, sharex=True)
        fig.subplots_adjust(left=0.08, right=0.84, top=0.895, bottom=0.065, hspace=0.32)
        groups = _groups(ranges, found)
        for axis, (key, title) in zip(axes, PANELS, strict=True):
            for n, (label, points) in enumerate(groups):
                _line(axis, ranges[0].name, key, points, _shade(n, len(groups)), label)
            axis.set_title(title, loc="left", fontsize=9.5, pad=4.0)
            axis.margins(y=0.12)
        _legend(fig, axes[0], len(groups) > 1)
        row = VARIES[ranges[0].name]
        axes[-1].set_xlabel(f"{ranges[0].name}: {row.meaning}, {row.unit}")
        fig.text(0.08, 0.975, f"Sweep of {study[-70:]}", fontsize=12.0, va="top", weight="bold")
        fig.text(0.08, 0.95, "circle: clean start, cross: anything else", fontsize=9.0, va="top",
                 color=look.QUIET)  # fmt: skip
        look.save(fig, path)


def _groups(ranges: Sequence[Range], found: Sequence[Point]) -> list[tuple[str, list[Point]]]:
    """All points, or those of each value of the second range."""
    if len(ranges) == 1:
        return [("", list(found))]
    second = ranges[1]
    return [
        (f"{second.name} {value:g}", [p for p in found if p.settings[second.name] == value])
        for value in second.values
    ]


def _shade(n: int, count: int) -> str:
    if count == 1:
        return look.ACTION
    return SHADES[round(n * (len(SHADES) - 1) / (count - 1))]


def _line(axis: Any, name: str, key: str, points: Sequence[Point], colour: str, label: str) -> None:
    x = [p.settings[name] for p in points]
    y = [float("nan") if p.figures[key] is None else p.figures[key] for p in points]
    axis.plot(x, y, color=colour, linewidth=1.2, label=label)
    for good, marker in ((True, "o"), (False, "x")):
        kept = [k for k, p in enumerate(points) if (p.figures["outcome"] == "clean") is good]
        axis.plot(
            [x[k] for k in kept], [y[k] for k in kept], linestyle="none", marker=marker,
            markersize=5.0, color=colour if good else look.DANGER,
        )  # fmt: skip


def _legend(fig: Any, axis: Any, wanted: bool) -> None:
    if not wanted:
        return
    handles, labels = axis.get_legend_handles_labels()
    fig.legend(handles, labels, loc="upper left", bbox_to_anchor=(0.845, 0.915))
