"""One start as inline SVG: supply amps, V(S-C), start capacitor, speed, on one time axis.

The start as it was wanted lies pale behind; pickup and drop-out of the relay are both drawn.
Knows starts and how to draw; judges nothing.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from trainer.base.retold import again
from trainer.report.starts import Line, Start
from trainer.report.svg import Drawing, rows_for, steps

#: Margins and heights [units].
LEFT, TOP, ROW, GAP, PANEL, FOOT = 56.0, 26.0, 18.0, 30.0, 104.0, 40.0
#: Least time shown, and the share of it kept free behind the last event [s, of 1].
LEAST_S, ROOM = 0.2, 0.2
RPM = 60.0 / (2.0 * math.pi)
PANELS = (
    ("supply_a", "Supply, amps", 1.0),
    ("v_sc", "V(S-C) in volts; thick: rms", 1.0),
    ("start_capacitor_v", "Start capacitor, volts", 1.0),
    ("speed_rad_s", "Speed, rpm", RPM),
)
#: The panel with the relay's two levels is this much taller.
TALL = {"v_sc": 1.6}


@dataclass(frozen=True)
class Frame:
    """A panel's place and its two scales."""

    x0: float
    x1: float
    y0: float
    y1: float
    span_s: float
    low: float
    high: float

    def x(self, t_s: float) -> float:
        return self.x0 + (self.x1 - self.x0) * min(t_s / self.span_s, 1.0)

    def y(self, value: float) -> float:
        return self.y1 - (self.y1 - self.y0) * (value - self.low) / (self.high - self.low)


def drawn(start: Start, reference: Start | None, width: float = 760.0, css: str = "") -> str:
    """The figure as markup; "" when the event kept no lines."""
    shown = [p for p in PANELS if p[0] in start.waves]
    if not shown:
        return ""
    span = window(start, reference)
    right = width - (104.0 if width > 500.0 else 12.0)
    names = [
        (LEFT + (right - LEFT) * t / span, again(words)) for t, words in marks(start) if t <= span
    ]
    rows = rows_for(names, width - 4.0)
    top = TOP + ROW * (1 + max((r for r, _ in rows), default=-1))
    height = top + sum(GAP + PANEL * TALL.get(name, 1.0) for name, _, _ in shown) + FOOT
    d = Drawing(width, height, told(start, reference))
    _legend(d, reference is not None)
    bottom = height - FOOT
    for (x, words), (row, left) in zip(names, rows, strict=True):
        y = top - ROW * row
        d.line(x, y - 4.0, x, bottom, "mark")
        d.text(left + 3.0, y - 6.0, words, "tag")
    y = top
    for name, title, times in shown:
        y0, y = y + GAP, y + GAP + PANEL * TALL.get(name, 1.0)
        _panel(d, start, reference, name, title, times, (LEFT, right, y0, y), span)
    _seconds(d, right, bottom, span)
    return d.markup(css)


def told(start: Start, reference: Start | None) -> str:
    """The picture in a sentence."""
    behind = ", with the start as it was wanted pale behind" if reference else ""
    lines = "supply amps, volts from start to common, start capacitor volts and speed"
    return f"Plot of this start ({start.said}): {lines} over time{behind}. Its numbers follow."


def window(start: Start, reference: Start | None) -> float:
    """Seconds shown: a little past the last thing worth seeing, as far as lines were kept."""
    kept = max(line.t_s[-1] for line in start.waves.values())
    last = [t for t, _ in marks(start)]
    if reference is not None and reference.to_speed_s:
        last.append(reference.to_speed_s)
    if not start.to_speed_s:
        return kept
    return min(kept, max(LEAST_S, max(last, default=0.0) / (1.0 - ROOM)))


def marks(start: Start) -> list[tuple[float, str]]:
    """Instants named on the axis, in order."""
    f = start.figures
    found = [(0.0, "energised")]
    if start.to_speed_s:
        found.append((start.to_speed_s, f"90 % speed {start.to_speed_s:.2f} s"))
    if f.get("disengage_s"):
        found.append((f["disengage_s"], f"start capacitor out {f['disengage_s']:.2f} s"))
    for trip in f.get("trips") or []:
        if isinstance(trip, dict) and trip.get("t_s") is not None:
            name = str(trip.get("part") or trip.get("name") or "a protector").partition("~")[0]
            found.append((float(trip["t_s"]), f"{name} trips {trip['t_s']:.2f} s"))
    return sorted(set(found))  # both poles of a breaker once


def _legend(d: Drawing, behind: bool) -> None:
    d.line(LEFT, 10.0, LEFT + 22.0, 10.0, "own thick")
    d.text(LEFT + 28.0, 14.0, "this start", "tag")
    if behind:
        d.line(LEFT + 108.0, 10.0, LEFT + 130.0, 10.0, "ghost thick")
        d.text(LEFT + 136.0, 14.0, "as wanted", "tag")


def _panel(
    d: Drawing, start: Start, reference: Start | None, name: str, title: str, times: float,
    place: tuple[float, float, float, float], span: float,
) -> None:  # fmt: skip
    ones = [s for s in (reference, start) if s is not None and name in s.waves]
    values = [times * v for s in ones for v in _until(s.waves[name], span)]
    levels = start.levels if name == "v_sc" else None
    if levels is not None:
        values += [1.1 * levels.pickup_v, 0.0]
    frame = Frame(*place, span, *_range(values))
    for value in steps(frame.low, frame.high, 5 if name in TALL else 3):
        y = frame.y(value)
        d.line(frame.x0, y, frame.x1, y, "grid")
        d.text(frame.x0 - 6.0, y + 4.0, f"{value:.0f}".replace("-", "−"), "tag", "end")
    if levels is not None and d.width > 500.0:
        title += ", what the relay answers to"
    d.text(frame.x0, frame.y0 - 8.0, title, "title")
    for s in ones:
        css = "own" if s is start else "ghost"
        heavy = name == "speed_rad_s"
        _course(d, frame, s.waves[name], times, css + (" thick" if heavy else " thin"))
        if name == "v_sc" and name in s.rms:
            _course(d, frame, s.rms[name], times, css + " thick")
    if levels is not None:
        # the names stand apart even where the levels nearly meet
        apart = max(0.0, 16.0 - (frame.y(levels.dropout_v) - frame.y(levels.pickup_v)))
        _level(d, frame, levels.pickup_v, f"pickup {levels.pickup_v:.0f} V", -apart / 2.0)
        _level(d, frame, levels.dropout_v, f"drop-out {levels.dropout_v:.0f} V", apart / 2.0)


def _until(line: Line, span: float) -> list[float]:
    return [v for t, v in zip(line.t_s, line.values, strict=True) if t <= span]


def _range(values: Sequence[float]) -> tuple[float, float]:
    low, high = min([0.0, *values]), max([0.0, *values])
    room = 0.06 * max(high - low, 1.0)
    return (low - room if low < 0.0 else 0.0), high + room


def _course(d: Drawing, frame: Frame, line: Line, times: float, css: str) -> None:
    inside = [
        (frame.x(t), frame.y(times * v))
        for t, v in zip(line.t_s, line.values, strict=True)
        if 0.0 <= t <= frame.span_s
    ]
    d.course(inside, css)


def _level(d: Drawing, frame: Frame, volts: float, words: str, down: float) -> None:
    """A dashed line with its name at the right: in the margin where there is one, else on it."""
    y, words = frame.y(volts), again(words)
    d.line(frame.x0, y, frame.x1, y, "level")
    if d.width - frame.x1 > 50.0:
        d.text(frame.x1 + 6.0, y + 4.0 + down, words, "level-tag")
    else:
        y += down + (-4.0 if down <= 0.0 else 8.0)
        d.box(frame.x1 - 7.6 * len(words), y - 11.0, 7.6 * len(words), 14.0, "under")
        d.text(frame.x1 - 4.0, y, words, "level-tag", "end")


def _seconds(d: Drawing, right: float, bottom: float, span: float) -> None:
    d.line(LEFT, bottom, right, bottom, "axis")
    for t in steps(0.0, span, 6 if d.width > 500.0 else 3):
        x = LEFT + (right - LEFT) * t / span
        d.line(x, bottom, x, bottom + 4.0, "axis")
        d.text(x, bottom + 17.0, f"{t:.2f}", "tag", "middle")
    d.text(LEFT, bottom + 34.0, "seconds since energising", "tag")


Row = tuple[str, str, str]


def table(start: Start, reference: Start | None) -> list[Row]:
    """The numbers of the picture: name, this start, the start as wanted."""
    rows = []
    for name, read in FIGURES:
        own = read(start)
        wanted = read(reference) if reference is not None else ""
        if own or wanted:
            rows.append((name, own or "none", (wanted or "none") if reference else ""))
    if start.levels is not None:
        at = f"{start.levels.pickup_v:.0f} V and {start.levels.dropout_v:.0f} V"
        rows.append(("Relay fitted then: pickup and drop-out", at, ""))
    return rows


def _figure(key: str, form: str, times: float = 1.0) -> Callable[[Start], str]:
    def read(start: Start) -> str:
        value = start.figures.get(key)
        return form.format(times * value) if value is not None else ""

    return read


FIGURES: tuple[tuple[str, Callable[[Start], str]], ...] = (
    ("Outcome", lambda s: s.said),
    ("Highest supply current", lambda s: f"{s.peak_a:.0f} A" if s.peak_a else ""),
    ("A clamp's inrush reading", _figure("clamp_inrush_a", "{:.0f} A")),
    ("Time to 90 % speed", lambda s: f"{s.to_speed_s:.2f} s" if s.to_speed_s else "not reached"),
    ("Start capacitor out after", _figure("disengage_s", "{:.2f} s")),
    ("Speed when it left", _figure("disengage_speed_ratio", "{:.0f} % of synchronous", 100.0)),
    ("Peak across the start winding", _figure("start_winding_peak_v", "{:.0f} V")),
    ("Left on the start capacitor", _figure("start_capacitor_left_v", "{:.0f} V")),
    ("Heat in the start capacitor", _figure("start_capacitor_energy_j", "{:.0f} J")),
    ("Running current", _figure("run_line_rms_a", "{:.1f} A rms")),
    ("Sag of the supply", lambda s: _sag(s)),
)


def _sag(start: Start) -> str:
    sag = (start.figures.get("sag_pct") or {}).get("leg_to_leg")
    return f"{sag:.1f} %" if sag is not None else ""
