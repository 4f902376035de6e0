"""Panels of a start over one time axis: supply amps, V(S-C), start capacitor, speed.

The same drawing serves the Trace sheet, the debrief and the demonstration bay. Knows starts as
data; judges nothing.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from trainer.report.startplot import marks, window
from trainer.report.starts import Levels, Start
from trainer.report.starts import Line as Kept
from trainer.view import fonts
from trainer.view.language import again, spoken, tr
from trainer.view.language import later as _
from trainer.view.pen import Pen
from trainer.view.shapes import Box, Layer, Line, Point, Rect, Shape, Words

RPM = 60.0 / (2.0 * math.pi)
#: Line of a start, its title, what a value is multiplied by, and share of the height.
PANELS = (
    ("supply_a", _("Supply, A"), 1.0, 1.0), ("v_sc", _("Winding S to C, V"), 1.0, 1.35),
    ("start_capacitor_v", _("Start capacitor, V"), 1.0, 1.0), ("speed_rad_s", _("Speed, rpm"), RPM, 1.0),
)  # fmt: skip
LEFT, TITLE, FOOT = 44.0, 20.0, 20.0
#: Least height between two values beside a panel, and room for the value under the scrubber.
TICK, VALUE = 20.0, 48.0
#: Most values drawn of a line; more than the width has pixels is waste.
POINTS = 400


@dataclass(frozen=True)
class Axis:
    """Where time and values lie in one panel."""

    rect: Rect
    span_s: float
    low: float
    high: float

    def at(self, t: float, value: float) -> Point:
        r = self.rect
        share = (value - self.low) / (self.high - self.low)
        return r.x + r.w * min(max(t / self.span_s, 0.0), 1.0), r.bottom - r.h * share


def span_of(start: Start, behind: Start | None) -> float:
    return window(start, behind) if start.waves else 0.0


def traces(
    pen: Pen,
    rect: Rect,
    start: Start,
    behind: Start | None,
    at_s: float | None,
    key: object = None,
    span_s: float = 0.0,
    named: Sequence[tuple[float, str]] | None = None,
) -> None:
    """Draws the panels; ``at_s`` is where the scrubber stands. ``named`` instants are shown instead
    of those of the start's figures.
    """
    shown = [p for p in PANELS if p[0] in start.waves]
    if not shown:
        pen.paragraph(rect, tr("No lines were kept of this start."), colour="quiet")
        return
    span = span_s or span_of(start, behind)
    told = [(t, again(words)) for t, words in (marks(start) if named is None else named)]
    top = _marks_high(told, span, rect.w - LEFT)
    room = rect.h - FOOT - top - TITLE * len(shown)
    unit = room / sum(share for *_, share in shown)
    size = round(rect.w), round(rect.h)
    # two attempts at one job number their starts alike: what is kept goes by what is drawn
    drawn = tuple(_content(s, shown) for s in (start, behind))
    kept = ("trace", key, *drawn, *size, span, spoken())
    cached = rect, kept, tuple(told)
    if cached not in _LAYERS:
        if len(_LAYERS) >= LAYERS:
            _LAYERS.clear()
        _LAYERS[cached] = Layer(kept, rect, _drawn(rect, start, behind, shown, told, span, unit))
    pen.add(_LAYERS[cached])
    if at_s is not None:
        _scrubbed(pen, rect, start, at_s, span, top, unit)


def _drawn(
    rect: Rect, start: Start, behind: Start | None,
    shown: Sequence[tuple[str, str, float, float]], told: Sequence[tuple[float, str]], span: float,
    unit: float,
) -> tuple[Shape, ...]:  # fmt: skip
    """The panels with their named instants; ``unit`` is the height of a share of one."""
    top = _marks_high(told, span, rect.w - LEFT)
    wide = rect.w - LEFT - 2.0
    shapes: list[Shape] = [*_named(told, span, Rect(LEFT, 0.0, wide, rect.h - FOOT), top)]
    y = top
    for name, title, times, share in shown:
        place = Rect(LEFT, y + TITLE, wide, unit * share)
        shapes += _panel(start, behind, name, tr(title), times, place, span)
        y = place.bottom
    shapes += _time(span, Rect(LEFT, y, wide, FOOT))
    return tuple(shapes)


#: Plots kept as they were made: while a replay plays only its line moves over them.
_LAYERS: dict[object, Layer] = {}
LAYERS = 8
#: Start by its identity -> itself and what tells its lines from those of another.
_TOLD: dict[int, tuple[Start, object]] = {}


def _content(start: Start | None, shown: Sequence[tuple[str, str, float, float]]) -> object:
    """What tells the lines of one start from those of another."""
    if start is None:
        return None
    known = _TOLD.get(id(start))
    if known is not None and known[0] is start:
        return known[1]
    if len(_TOLD) > 4 * LAYERS:
        _TOLD.clear()
    _TOLD[id(start)] = start, _hashed(start, shown)
    return _TOLD[id(start)][1]


def _hashed(start: Start, shown: Sequence[tuple[str, str, float, float]]) -> object:
    rows = [start.waves[name] for name, *_ in shown if name in start.waves]
    return hash(tuple((tuple(r.t_s), tuple(r.values)) for r in rows)), start.levels


def _scrubbed(
    pen: Pen, rect: Rect, start: Start, at_s: float, span: float, top: float, unit: float
) -> None:
    """A line at the moment that is looked at, and the value of each panel there."""
    y = rect.y + top
    values = dict(shown_at(start, at_s))
    for name, _title, _times, share in PANELS:
        if name in start.waves:
            at = rect.right - 8.0, y + TITLE / 2.0
            pen.words(at, values[name], "tag", True, align="right", room=VALUE)
            y += TITLE + unit * share
    x = rect.x + LEFT + (rect.w - LEFT - 2.0) * min(at_s / span, 1.0)
    pen.line([(x, rect.y + top + TITLE), (x, y)], "danger", 1.6)


def _panel(
    start: Start, behind: Start | None, name: str, title: str, times: float, place: Rect,
    span: float,
) -> list[Shape]:  # fmt: skip
    levels = start.levels if name == "v_sc" else None
    axis = Axis(place, span, *_range(start, behind, name, times, span, levels))
    found = _titled(title, levels, place)
    values = steps(axis.low, axis.high, max(int(place.h // TICK) - 1, 1))
    written = _apart([axis.at(0.0, value)[1] for value in values])
    for value in values:
        y = axis.at(0.0, value)[1]
        found.append(Line(((place.x, y), (place.right, y)), "rule", 1.0))
        if y not in written:
            continue
        text = f"{value:.0f}".replace("-", "−")
        found.append(
            Words((place.x - 6.0, y), text, "tag", False, "quiet", "right", LEFT - 8.0, "sheet")
        )
    if behind is not None and name in behind.waves:
        found.append(_course(axis, behind.waves[name], times, "ghost", 1.0))
    found.append(_course(axis, start.waves[name], times, "action", 1.8))
    if name in start.rms and name != "speed_rad_s":
        found.append(_course(axis, start.rms[name], times, "ink", 2.2))
    if levels is not None:
        for value in (levels.pickup_v, levels.dropout_v):
            y = axis.at(0.0, value)[1]
            found.append(Line(((place.x, y), (place.right, y)), "danger", 1.2, dashed=True))
    return found


def _apart(ys: Sequence[float]) -> list[float]:
    """Those of the heights at which figures do not touch, the outermost first."""
    found: list[float] = []
    for y in (*ys[:1], *ys[-1:], *ys[1:-1]):
        if all(abs(y - other) >= fonts.height("tag") - 3.0 for other in found):
            found.append(y)
    return found


def _titled(title: str, levels: Levels | None, place: Rect) -> list[Shape]:
    """The panel's title, and what its dashed lines are; the upper one is pickup."""
    y, wide = place.y - TITLE / 2.0, fonts.width(title, "tag", True)
    found: list[Shape] = [
        Box(Rect(0.0, y - 8.0, wide + 4.0, 16.0), "sheet"),
        Words((0.0, y), title, "tag", True, "ink", "left", place.w + LEFT, "sheet"),
    ]
    if levels is not None:
        values = {"pickup": levels.pickup_v, "dropout": levels.dropout_v}
        text = tr("pickup {pickup:.0f}, drop-out {dropout:.0f}", **values)
        room = place.right - wide - 14.0 - VALUE
        if fonts.width(text, "tag") > room:
            text = fonts.shorten(tr("in {pickup:.0f}, out {dropout:.0f}", **values), room, "tag")
        long = fonts.width(text, "tag")
        found += [
            Box(Rect(wide + 10.0, y - 8.0, long + 4.0, 16.0), "sheet"),
            Words((wide + 12.0, y), text, "tag", False, "danger", "left", room, "sheet"),
        ]
    return found


def _range(
    start: Start, behind: Start | None, name: str, times: float, span: float, levels: object
) -> tuple[float, float]:
    rows = [s.waves[name] for s in (start, behind) if s is not None and name in s.waves]
    values = [
        times * v for row in rows for t, v in zip(row.t_s, row.values, strict=True) if t <= span
    ]
    if levels is not None and start.levels:
        values.append(1.15 * start.levels.pickup_v)
    low, high = min(0.0, *values), max(0.0, *values)
    pad = 0.04 * (high - low) or 1.0
    return low - (pad if low < 0.0 else 0.0), high + pad


def _course(axis: Axis, line: Kept, times: float, colour: str, width: float) -> Line:
    rows = [
        (t, v)
        for t, v in zip(line.t_s, line.values, strict=True)
        if 0.0 <= t <= axis.span_s * 1.001
    ]
    every = max(len(rows) // POINTS, 1)
    return Line(tuple(axis.at(t, times * v) for t, v in rows[::every]), colour, width)


def steps(low: float, high: float, most: int) -> list[float]:
    """Round values from low to high: as many as there can be up to ``most`` and two."""
    raw = max((high - low) / (most + 2), 1e-9)
    power = 10.0 ** math.floor(math.log10(raw))
    kept: list[float] = []
    for size in (1.0, 2.0, 5.0, 10.0, 20.0):
        step = size * power
        first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
        if last <= first and kept:
            return kept  # one value alone tells no scale
        kept = [step * n for n in range(first, last + 1)]
        if len(kept) <= most + 2:
            break
    return kept


def _time(span: float, place: Rect) -> list[Shape]:
    return [
        Words((place.x + place.w * t / span, place.y + 11.0), f"{t:g} s", "tag", False, "quiet",
              "left" if t == 0.0 else "middle", 50.0, "sheet")
        for t in steps(0.0, span * 0.97, 5)
    ]  # fmt: skip


def _rows(
    told: Sequence[tuple[float, str]], span: float, room: float
) -> list[tuple[float, str, int, float]]:
    """(share of time, words, row, left edge) of named instants, none upon another."""
    ends: list[float] = []
    found = []
    for t, words in told:
        if t > span:
            continue
        x = room * t / span
        wide = fonts.width(words, "tag") + 8.0
        left = min(x, max(room - wide, 0.0))
        free = next((n for n, end in enumerate(ends) if end <= left), None)
        if free is None:
            ends.append(left + wide)
            free = len(ends) - 1
        else:
            ends[free] = left + wide
        found.append((t / span, words, free, left))
    return found


def _marks_high(told: Sequence[tuple[float, str]], span: float, room: float) -> float:
    rows = _rows(told, span, room)
    return 16.0 * (1 + max((r for *_, r, _ in rows), default=-1)) + 4.0


def _named(told: Sequence[tuple[float, str]], span: float, place: Rect, top: float) -> list[Shape]:
    found: list[Shape] = []
    over: list[Shape] = []
    for share, words, n, left in _rows(told, span, place.w):
        x, y = place.x + place.w * share, top - 16.0 * n - 10.0
        found.append(Line(((x, y + 7.0), (x, place.bottom)), "ghost", 1.0, dashed=True))
        wide = fonts.width(words, "tag")
        # the line of another instant does not run through the words
        over.append(Box(Rect(place.x + left + 2.0, y - 7.0, wide + 2.0, 14.0), "sheet"))
        over.append(
            Words((place.x + left + 3.0, y), words, "tag", False, "ink", "left", 200.0, "sheet")
        )
    return [*found, *over]


def value_at(line: Kept, t: float) -> float:
    """The value of a line at a time, between its points in proportion."""
    from bisect import bisect_left

    n = bisect_left(line.t_s, t)
    if n <= 0:
        return line.values[0]
    if n >= len(line.t_s):
        return line.values[-1]
    t0, t1 = line.t_s[n - 1], line.t_s[n]
    share = (t - t0) / (t1 - t0) if t1 > t0 else 0.0
    return line.values[n - 1] + share * (line.values[n] - line.values[n - 1])


def shown_at(start: Start, t: float) -> Sequence[tuple[str, str]]:
    """Panels and their values under the scrubber."""
    rows = []
    for name, _title, times, _share in PANELS:
        source = start.rms if name in ("supply_a", "v_sc") and name in start.rms else start.waves
        if name in source:
            rows.append((name, f"{times * value_at(source[name], t):.0f}".replace("-", "−")))
    return rows
