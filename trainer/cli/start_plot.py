"""One start on one time axis: amps, V(S-C), start capacitor, speed, with its events named.

Draws what a report recorded; computes no finding. The reference start lies in grey behind.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np

from trainer.circuit.elements import Coil
from trainer.cli import event_strip, look
from trainer.cli.start_marks import marks, named, origin, window
from trainer.starts import watching as w
from trainer.starts.recording import Recording
from trainer.starts.report import StartReport
from trainer.starts.signals import Floats
from trainer.starts.wording import HEADINGS

GREY = "#B9B1A2"
WIDTH_IN = 10.0
#: Edges of the panels, as shares of the figure's width.
LEFT, RIGHT = 0.065, 0.90
#: Heights: title lines, gap above a panel for its own title, panels, time axis [in].
HEAD_IN, GAP_IN, PANEL_IN, SPEED_IN, FOOT_IN = 0.95, 0.42, 1.5, 1.15, 0.6
#: A shaft that hardly moves is shown on at least this much of the axis.
LEAST_SPEED_PCT = 20.0
#: Windows of more cycles than this show bands instead of waves.
MOST_CYCLES = 50


def draw(report: StartReport, path: Path) -> None:
    """Write the PNG."""
    with look.styled():
        names, span = panels(report), window(report)
        heights = [SPEED_IN if name == "speed" else PANEL_IN for name in names]
        fig = look.figure(WIDTH_IN, 4.0)
        shown = [m for m in marks(report) if span[0] <= m.at <= span[1]]
        placed = event_strip.place(fig, named(shown), span, LEFT, RIGHT)
        rows = event_strip.rows(placed)
        strip_in = rows * event_strip.ROW_IN
        fig.set_figheight(HEAD_IN + strip_in + sum(heights) + GAP_IN * len(names) + FOOT_IN)
        _head(fig, report)
        strip, axes = _axes(fig, strip_in, heights)
        for name, axis in zip(names, axes, strict=True):
            _PANELS[name](report, axis, span)
            axis.set_xlim(*span)
            for mark in shown:
                colour = look.DANGER if mark.bad else look.QUIET
                axis.axvline(mark.at, color=colour, linewidth=0.8, zorder=1.5)
        event_strip.draw(strip, placed, span, rows)
        axes[-1].tick_params(labelbottom=True)
        axes[-1].set_xlabel(_time_label(report))
        look.save(fig, path)


def panels(report: StartReport) -> list[str]:
    """What the record has, from the top down."""
    has = report.record.has
    wanted = {
        "line": has(w.LINE[0]),
        "v_sc": has(w.V_SC),
        "start_capacitor": has(w.START_CAP_V),
        "speed": has(w.SPEED),
    }
    return [name for name, there in wanted.items() if there]


def _axes(fig: Any, strip_in: float, heights: list[float]) -> tuple[Any, list[Any]]:
    """The strip for names and the panels below it, placed in inches."""
    whole = fig.get_figheight()
    top = whole - HEAD_IN - strip_in
    strip = fig.add_axes((LEFT, top / whole, RIGHT - LEFT, strip_in / whole))
    axes = []
    for height in heights:
        top -= GAP_IN + height
        axes.append(fig.add_axes((LEFT, top / whole, RIGHT - LEFT, height / whole)))
        axes[-1].tick_params(labelbottom=False)
    return strip, axes


def _head(fig: Any, report: StartReport) -> None:
    """Title, outcome, and what lies behind in grey, on three lines."""
    colour = look.ACTION if report.outcome == "clean" else look.DANGER
    lines = [
        (_cut(report.title, 84), 12.0, look.INK, "bold"),
        (HEADINGS[report.outcome], 10.0, colour, "bold"),
    ]
    if report.reference is not None:
        behind = f"in grey behind: {_cut(report.reference.title, 90)}"
        lines.append((behind, 9.0, look.QUIET, "normal"))
    for row, (text, size, ink, weight) in enumerate(lines):
        y = 1.0 - (0.15 + 0.26 * row) / fig.get_figheight()
        fig.text(LEFT, y, text, fontsize=size, va="top", color=ink, weight=weight)


def _cut(text: str, most: int) -> str:
    return text if len(text) <= most else text[: most - 3].rstrip() + "..."


def _time_label(report: StartReport) -> str:
    since = "since energising" if report.evidence.energised_at_s is not None else "of the study"
    return f"seconds {since}"


# --- panels ------------------------------------------------------------------------------------


def _line(report: StartReport, axis: Any, span: tuple[float, float]) -> None:
    _titled(axis, "Line, amps" + _waves(report, axis, w.LINE[0], span))


def _v_sc(report: StartReport, axis: Any, span: tuple[float, float]) -> None:
    """The wave, its one-cycle rms thick, and what the relay answers to."""
    _waves(report, axis, w.V_SC, span)
    t = report.record.t_s - origin(report)
    axis.plot(t, report.record.cycle_rms(w.V_SC), color=look.ACTION, linewidth=1.9, zorder=3)
    _titled(axis, "S to C, volts (thick: rms over one cycle)")
    coil = _volt_coil(report.record)
    if coil is not None:
        _level(axis, coil.pickup_rms, "pickup", "bottom")
        _level(axis, coil.dropout_rms, "drop-out", "top")


def _start_capacitor(report: StartReport, axis: Any, span: tuple[float, float]) -> None:
    _titled(axis, "Start capacitor, volts" + _waves(report, axis, w.START_CAP_V, span))


def _speed(report: StartReport, axis: Any, _: tuple[float, float]) -> None:
    for one, colour in ((report.reference, GREY), (report, look.ACTION)):
        machine = w.compressor(one.record.elements, one.record.roles) if one else None
        if one is None or machine is None:
            continue
        sync = machine.params.synchronous_rad_s(one.record.roles.hz)
        axis.plot(one.record.t_s - origin(one), 100.0 * one.record[w.SPEED] / sync, color=colour)
    low, high = axis.get_ylim()
    if high - low < LEAST_SPEED_PCT:
        axis.set_ylim(-0.5 * LEAST_SPEED_PCT, 0.5 * LEAST_SPEED_PCT)
    _titled(axis, "Speed, per cent of synchronous")


_PANELS = {
    "line": _line,
    "v_sc": _v_sc,
    "start_capacitor": _start_capacitor,
    "speed": _speed,
}


def _titled(axis: Any, text: str) -> None:
    axis.set_title(text, loc="left", fontsize=9.5, pad=4.0)


def _waves(report: StartReport, axis: Any, name: str, span: tuple[float, float]) -> str:
    """The line of this start over the reference's; bands where waves would run together."""
    bands = (span[1] - span[0]) * report.record.roles.hz > MOST_CYCLES
    for one, colour, order in ((report.reference, GREY, 1), (report, look.ACTION, 2)):
        if one is None or not one.record.has(name):
            continue
        t = one.record.t_s - origin(one)
        if bands:
            ends, low, high = _band(t, one.record[name], one.record.per_cycle)
            look_of = {"color": colour, "alpha": 0.45, "linewidth": 0.0, "zorder": order}
            axis.fill_between(ends, low, high, **look_of)
        else:
            axis.plot(t, one.record[name], color=colour, linewidth=1.0, zorder=order)
    return " (band: between the peaks of each cycle)" if bands else ""


def _band(t: Floats, values: Floats, count: int) -> tuple[Floats, Floats, Floats]:
    """Time, least and most of every cycle."""
    n = values.size // count
    cut = values[: n * count].reshape(n, count)
    return t[count - 1 : n * count : count], np.min(cut, axis=1), np.max(cut, axis=1)


def _volt_coil(record: Recording) -> Coil | None:
    """The start relay's coil, if it answers to volts."""
    name = record.roles.element("relay", "relay")
    found = [d for d in record.elements.devices if isinstance(d, Coil) and d.name == name]
    return found[0] if found and found[0].sense.volts is not None else None


def _level(axis: Any, volts: float, text: str, side: str) -> None:
    """A dashed line across, its name in the right margin."""
    axis.axhline(volts, color=look.DANGER, linewidth=1.0, linestyle=(0, (5, 3)), zorder=4)
    axis.annotate(
        f"{text} {volts:.0f} V", (1.0, volts), xycoords=("axes fraction", "data"),
        xytext=(4, 0), textcoords="offset points", ha="left", va=side, fontsize=8.5,
        color=look.DANGER, annotation_clip=False,
    )  # fmt: skip
