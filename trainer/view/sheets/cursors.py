"""Two cursors on the scope's screen, and what is read between them.

Knows lines of volts over time and where the cursors stand; computes differences and nothing else.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from trainer.view import fonts
from trainer.view.language import tr
from trainer.view.pen import Pen
from trainer.view.shapes import Point, Rect
from trainer.view.state import Job
from trainer.view.widgets import button, button_width

Lines = Mapping[str, Sequence[Point]]
#: Height of the choices and of a row of what is read.
CHOICES, LINE = 34.0, 21.0
#: A cursor's ink on the lit screen, and the steps of keys as shares of it.
INK, FINE, COARSE = "#F4F1E6", 0.002, 0.02
#: The screen's lines begin and end so far from its border.
INSET = 4.0


class Between(NamedTuple):
    """What two cursors tell: times, volts of each line at both, their distance."""

    at_s: tuple[float, float]
    volts: Mapping[str, tuple[float, float]]

    @property
    def dt_s(self) -> float:
        return abs(self.at_s[1] - self.at_s[0])

    @property
    def hz(self) -> float | None:
        """1 / dt; none for cursors upon each other."""
        return 1.0 / self.dt_s if self.dt_s > 1e-9 else None


def between(lines: Lines, span_s: float, shares: tuple[float, float]) -> Between:
    times = shares[0] * span_s, shares[1] * span_s
    volts = {tip: (volts_at(row, times[0]), volts_at(row, times[1])) for tip, row in lines.items()}
    return Between(times, volts)


def volts_at(row: Sequence[Point], t: float) -> float:
    """Volts of a line at a time, between its points in proportion."""
    from bisect import bisect_left

    n = bisect_left(row, t, key=lambda p: p[0])
    if n == 0 or n >= len(row):
        return row[0][1] if n == 0 else row[-1][1]
    (t0, v0), (t1, v1) = row[n - 1], row[n]
    return v0 + (v1 - v0) * (t - t0) / (t1 - t0) if t1 > t0 else v1


def on_screen(pen: Pen, screen: Rect, job: Job) -> None:
    """Their lines; a click or drag on the screen, or keys, move the one that is chosen."""
    inner = Rect(screen.x + INSET, screen.y, screen.w - 2.0 * INSET, screen.h)
    if job.cursor >= 0:
        for n, share in enumerate(job.cursors):
            x = inner.x + inner.w * share
            chosen = n == job.cursor
            pen.line([(x, screen.y + 16.0), (x, screen.bottom - 4.0)], INK, 2.0 if chosen else 1.2,
                     dashed=n == 1)  # fmt: skip
            with pen.ground("#10201F"):
                pen.words((x, screen.y + 9.0), str(n + 1), "tag", chosen, INK, "middle", 12.0)
    here = max(job.cursor, 0)
    share = job.cursors[here]
    label = tr("scope screen, cursor {n}", n=here + 1)
    steps = {"left": -FINE, "right": FINE, "pageup": COARSE, "pagedown": -COARSE}
    keys = {key: ("cursor at", share + by) for key, by in steps.items()}
    pen.node("scope.screen", "slider", inner, label, ("cursor at", None), grab=True,
             value=f"{100.0 * share:.1f} %",
             keys={**keys, "home": ("cursor at", 0.0), "end": ("cursor at", 1.0)})  # fmt: skip


def told_high(lines: Lines, job: Job) -> float:
    if not lines:
        return 0.0
    return CHOICES + (LINE * (len(lines) + 3) + 6.0 if job.cursor >= 0 else 0.0)


def told(pen: Pen, rect: Rect, job: Job, lines: Lines, span_s: float) -> None:
    """Which cursor moves, and the table of what they stand on."""
    x = rect.x
    rows = [(0, tr("Cursor {n}", n=1)), (1, tr("Cursor {n}", n=2))]
    rows += [(-1, tr("No cursors"))] if job.cursor >= 0 else []
    for n, label in rows:
        wide = button_width(label) - 8.0
        name = f"scope.cursor.{n + 1}" if n >= 0 else "scope.cursor.none"
        place = Rect(x, rect.y + 2.0, wide, 28.0)
        button(pen, name, place, label, ("cursor", n), "chip", chosen=n == job.cursor)
        x += wide + 6.0
    if job.cursor < 0:
        return
    found = between(lines, span_s, job.cursors)
    y = rect.y + CHOICES + LINE / 2.0
    first, second, third = (rect.x + rect.w * f for f in (0.54, 0.78, 1.0))
    _row(pen, y, rect.x, (first, second, third), ("", "1", "2", tr("2 − 1")), head=True)
    dt_ms = 1e3 * (found.at_s[1] - found.at_s[0])
    times = [_signed(1e3 * t, ".2f") for t in found.at_s]
    _row(pen, y + LINE, rect.x, (first, second, third),
         (tr("Time, ms"), *times, _signed(dt_ms, ".2f")))  # fmt: skip
    for n, (tip, (a, b)) in enumerate(found.volts.items()):
        cells = (
            tr("{tip}, V", tip=tip),
            _signed(a, ".1f"),
            _signed(b, ".1f"),
            _signed(b - a, ".1f"),
        )
        _row(pen, y + LINE * (n + 2), rect.x, (first, second, third), cells)
    hz = f"{found.hz:.1f} Hz" if found.hz is not None else "–"
    pen.words((rect.x, y + LINE * (len(lines) + 2)), tr("1/Δt"), room=first - rect.x)
    pen.words((third, y + LINE * (len(lines) + 2)), hz, bold=True, align="right", room=rect.w * 0.4)
    pen.node("scope.between", "status", Rect(rect.x, y - LINE / 2.0, rect.w, LINE * (len(lines) + 3)),
             _said(found, hz), focus=False)  # fmt: skip


def _row(
    pen: Pen, y: float, x: float, ends: tuple[float, float, float], cells: Sequence[str],
    head: bool = False,
) -> None:  # fmt: skip
    pen.words((x, y), cells[0], room=ends[0] - x - 56.0)
    for at, text in zip(ends, cells[1:], strict=True):
        pen.words((at, y), text, "tag" if head else "body", head, "quiet" if head else "ink", "right",
                  max(fonts.width(text, "body", True), 20.0))  # fmt: skip


def _signed(value: float, form: str) -> str:
    text = f"{value:{form}}"
    return text.replace("-", "−") if float(text) != 0.0 else text.lstrip("-")


def _said(found: Between, hz: str) -> str:
    """All of it in a sentence, for a reader."""
    volts = "; ".join(
        tr("{tip}: {a} V and {b} V", tip=tip, a=_signed(a, ".1f"), b=_signed(b, ".1f"))
        for tip, (a, b) in found.volts.items()
    )
    return tr("{ms} ms apart, {hz}; {volts}", ms=f"{1e3 * found.dt_s:.2f}", hz=hz, volts=volts)
