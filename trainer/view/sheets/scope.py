"""The scope on the Meter sheet: a screen with ten by eight divisions and what it last drew.

Knows the lines of its event; computes nothing but a round scale.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from trainer.session.text import clock
from trainer.view.language import tr
from trainer.view.pen import Pen
from trainer.view.shapes import Box, Layer, Line, Point, Rect, Shape
from trainer.view.sheets import cursors
from trainer.view.state import Job

#: Height of the screen, of its body below, divisions across and down.
SCREEN, FOOT, ACROSS, DOWN = 168.0, 44.0, 10, 8
#: Its own colours in every theme: a lit screen is lit by night too.
GLASS, GRID, AXIS, INKS = "#10201F", "#31504C", "#6E8F8A", ("#F0C465", "#7FD0C6")
#: The lines differ in width too: colour alone would not tell them apart.
WIDTHS = (3.0, 1.2)
#: Round values of a division.
STEPS = (1.0, 2.0, 5.0)


def scope(pen: Pen, rect: Rect, job: Job) -> float:
    """Draws it at the top of the rectangle; returns the y below."""
    event = next((e for e in reversed(job.events) if e.kind == "trace"), None)
    lines = read(event.data["lines"]) if event is not None else {}
    body = Rect(rect.x, rect.y, rect.w, SCREEN + FOOT + 24.0 + cursors.told_high(lines, job))
    pen.box(body, "caution_wash", "casing", 2.0, 14.0)
    screen = Rect(body.x + 14.0, body.y + 12.0, body.w - 28.0, SCREEN)
    volts = division(max((abs(v) for _, row in lines.items() for _, v in row), default=0.0))
    span = max((row[-1][0] for row in lines.values() if row), default=0.0)
    shapes = [*_glass(screen), *_courses(lines, screen, volts, span)]
    key = ("scope", event.seq if event else 0, id(event), round(rect.w))
    pen.add(Layer(key, screen, tuple(shapes)))
    _told(pen, Rect(body.x + 16.0, screen.bottom, body.w - 32.0, FOOT), job, lines, volts, span)
    if span:
        cursors.on_screen(pen, screen, job)
        under = Rect(body.x + 16.0, screen.bottom + FOOT + 6.0, body.w - 32.0, 0.0)
        with pen.ground("caution_wash"):
            cursors.told(pen, under, job, lines, span)
    words = str(event.data["text"]) if event is not None else tr("shows nothing")
    pen.node("meter", "status", body, f"{tr('scope')}: {words}", focus=False)
    return body.bottom + 6.0


def read(lines: Mapping[str, Any]) -> dict[str, list[Point]]:
    """Tip -> (seconds, volts)."""
    if "t_s" not in lines:
        return {}
    t = _values(lines["t_s"])
    first = t[0] if t else 0.0
    return {
        tip: [(at - first, v) for at, v in zip(t, _values(packed), strict=False)]
        for tip, packed in lines.items() if tip != "t_s"
    }  # fmt: skip


def _values(packed: Mapping[str, Any]) -> list[float]:
    return [packed["scale"] * p for p in packed["points"]]


def division(peak: float) -> float:
    """The least round volts a division at which a peak stays on the screen."""
    for power in range(-1, 6):
        for step in STEPS:
            if step * 10.0**power * DOWN / 2.0 >= peak * 1.02:
                return float(step * 10.0**power)
    return peak


def _glass(screen: Rect) -> list[Shape]:
    found: list[Shape] = [Box(Rect(0.0, 0.0, screen.w, screen.h), GLASS, "casing", 1.5, 6.0)]
    for n in range(1, ACROSS):
        x = screen.w * n / ACROSS
        found.append(Line(((x, 4.0), (x, screen.h - 4.0)), AXIS if n == ACROSS // 2 else GRID, 1.0))
    for n in range(1, DOWN):
        y = screen.h * n / DOWN
        found.append(Line(((4.0, y), (screen.w - 4.0, y)), AXIS if n == DOWN // 2 else GRID, 1.0))
    return found


def _courses(
    lines: Mapping[str, Sequence[Point]], screen: Rect, volts: float, span: float
) -> list[Shape]:
    if not span or not volts:
        return []
    inner = Rect(4.0, 0.0, screen.w - 8.0, screen.h)
    found: list[Shape] = []
    for n, (row, ink) in enumerate(zip(lines.values(), INKS, strict=False)):
        points = tuple(
            (inner.x + inner.w * t / span, inner.h / 2.0 - inner.h * v / (volts * DOWN))
            for t, v in row
        )
        found.append(Line(points, ink, WIDTHS[n]))
    return found


def _told(
    pen: Pen, rect: Rect, job: Job, lines: Mapping[str, Sequence[Point]], volts: float, span: float
) -> None:
    """Which tip is which line, and what a division is."""
    event = next((e for e in reversed(job.events) if e.kind == "trace"), None)
    with pen.ground("caution_wash"):
        pen.words((rect.x, rect.y + 18.0), tr("scope"), bold=True, room=rect.w * 0.3)
        if event is None:
            pen.words((rect.x, rect.y + 42.0), tr("leads on nothing"), "tag", room=rect.w)
            return
        scale = tr("{volts} V and {ms} ms a division, {time}", volts=f"{volts:g}",
                   ms=f"{1e3 * span / ACROSS:.2g}", time=clock(event.at_ms))  # fmt: skip
        pen.words((rect.right, rect.y + 18.0), scale, align="right", room=rect.w * 0.7)
        third = rect.w / 3.0
        y = rect.y + 41.0
        for n, (tip, ink) in enumerate(zip(lines, INKS, strict=False)):
            x = rect.x + n * third
            pen.box(Rect(x, y - 7.0, 22.0, 14.0), GLASS, "", 1.0, 3.0)
            pen.line([(x + 4.0, y), (x + 18.0, y)], ink, WIDTHS[n] + 0.6)
            pen.words((x + 28.0, y), tip, "tag", room=third - 32.0)
        words = tr("clip on {place}", place=event.data["clip"])
        pen.words((rect.right, y), words, "tag", align="right", room=third)
