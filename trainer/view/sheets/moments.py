"""One instant of a start as small drawings: contactor, relay, shaft, lamp; and as phasors.

Knows a moment; computes nothing.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Mapping
from typing import Any

from trainer.view import fonts
from trainer.view.language import tr
from trainer.view.moment import Moment, moment, phasors
from trainer.view.pen import Pen
from trainer.view.shapes import Point, Rect

STRIP = 52.0
#: Least room of one of them.
LEAST = 56.0
#: Slower than this a shaft counts as standing [turns/s].
STANDS = 0.05
#: Inks of phasors, told apart by their names too.
INKS = ("ink", "action", "danger", "line2")


def strip(
    pen: Pen, rect: Rect, data: Mapping[str, Any], t: float, slowed: float, still: bool = False
) -> None:
    """``still``: the shaft is an arrow with its speed instead of a turning one."""
    now = moment(data, t, slowed)
    relay = None if now.relay_open is None else not now.relay_open
    contacts = [(tr("contactor"), now.contactor), (tr("relay"), relay)]
    known = [(name, closed) for name, closed in contacts if closed is not None]
    names = [contact_words(name, closed) for name, closed in known]
    names += [speed_words(now, still), tr("lamp {n:.0f} %", n=100.0 * now.light)]
    shares = [max(fonts.width(name, "tag") + 8.0, LEAST) for name in names]
    scale = min(rect.w / sum(shares), 1.6)
    x, y = rect.x, rect.y + 18.0
    for n, (name, share) in enumerate(zip(names, shares, strict=True)):
        at, each = (x + 22.0, y), share * scale
        if n < len(names) - 2:
            contact(pen, at, known[n][1])
        elif n == len(names) - 2:
            shaft(pen, at, now, still)
        else:
            lamp(pen, at, now.light)
        pen.words((x, rect.y + 42.0), _short(name, each - 4.0), "tag", room=each - 4.0)
        x += each
    pen.node("trace.moment", "picture", rect, ", ".join(names), focus=False)


def state_word(closed: bool) -> str:
    return tr("closed") if closed else tr("open")


def contact_words(name: str, closed: bool) -> str:
    return f"{name} {state_word(closed)}"


def _short(words: str, room: float) -> str:
    """Narrow, the drawing alone says open or closed, and a figure stands alone."""
    if fonts.width(words, "tag") <= room:
        return words
    first, _, rest = words.partition(" ")
    return rest if any(c.isdigit() for c in rest) else first


def contact(pen: Pen, at: Point, closed: bool) -> None:
    cx, cy = at
    pen.line([(cx - 16.0, cy), (cx - 7.0, cy)], "ink", 2.5)
    pen.line([(cx + 7.0, cy), (cx + 16.0, cy)], "ink", 2.5)
    tip = cy if closed else cy - 9.0
    pen.line([(cx - 7.0, cy), (cx + 8.0, tip)], "ink", 2.5)
    for x in (cx - 7.0, cx + 7.0):
        pen.ring((x, cy), 3.0, "ink")


def shaft(pen: Pen, at: Point, now: Moment, still: bool) -> None:
    cx, cy = at
    pen.ring(at, 15.0, "metal", "ink", 2.0)
    if still:
        _turning(pen, at, now.turns_per_s)
        return
    tip = cx + 12.0 * math.cos(now.angle), cy + 12.0 * math.sin(now.angle)
    pen.line([at, tip], "ink", 3.0)
    pen.ring(at, 3.0, "ink")


def _turning(pen: Pen, at: Point, turns_per_s: float) -> None:
    """An arrow the way it turns; none while it stands."""
    if abs(turns_per_s) < STANDS:
        return
    way = 1.0 if turns_per_s > 0.0 else -1.0
    run = [
        (at[0] + 8.5 * math.cos(way * a), at[1] + 8.5 * math.sin(way * a))
        for a in (k * 0.45 - 2.2 for k in range(10))
    ]
    pen.line(run, "ink", 2.5)
    _head(pen, run[-2], run[-1], 5.0)


def speed_words(now: Moment, still: bool) -> str:
    if still:
        return tr("{n:.0f} rpm", n=60.0 * now.turns_per_s)
    return tr("{n:.0f} turns/s", n=now.turns_per_s)


def lamp(pen: Pen, at: Point, light: float) -> None:
    """The lamp's disc is the fuller the brighter; its share is in words beside it."""
    cx, cy = at
    pen.ring((cx, cy - 2.0), 13.0, "paper", "ink", 1.5)
    pen.ring((cx, cy - 2.0), max(12.0 * min(light, 1.0), 1.0), "#F2CE5B")
    pen.box(Rect(cx - 5.0, cy + 10.0, 10.0, 7.0), "metal_edge", "ink", 1.0, 2.0)


def diagram(pen: Pen, rect: Rect, data: Mapping[str, Any], t: float) -> None:
    """Phasors of the cycle that ends at this moment, leg 1 to the right."""
    rows = phasors(data, t)
    pen.words(
        (rect.x, rect.y + 10.0),
        tr("Phasors, rms of the last cycle; leg 1 points right"),
        "tag",
        True,
        room=rect.w,
    )
    if not rows:
        pen.paragraph(
            Rect(rect.x, rect.y + 24.0, rect.w, 0.0), tr("No waves were kept."), colour="quiet"
        )
        return
    high = rect.h - 26.0 - 18.0 * len(rows)
    radius = max(min(rect.w, high) / 2.0 - 6.0, 20.0)
    centre = rect.x + rect.w / 2.0, rect.y + 22.0 + high / 2.0
    most = max(abs(p) for *_, p in rows) or 1.0
    pen.ring(centre, radius, "", "rule", 1.0)
    pen.line([(centre[0] - radius, centre[1]), (centre[0] + radius, centre[1])], "rule")
    pen.line([(centre[0], centre[1] - radius), (centre[0], centre[1] + radius)], "rule")
    for n, (_, words, p) in enumerate(rows):
        ink = INKS[n % len(INKS)]
        tip = centre[0] + radius * p.real / most, centre[1] - radius * p.imag / most
        _arrow(pen, centre, tip, ink)
        y = rect.bottom - 18.0 * (len(rows) - n) + 9.0
        pen.line([(rect.x, y), (rect.x + 18.0, y)], ink, 3.0)
        told = f"{tr(words)}: {abs(p):.0f} V, {math.degrees(cmath.phase(p)):+.0f}°".replace(
            "-", "−"
        )
        pen.words((rect.x + 26.0, y), told, "tag", room=rect.w - 28.0)


def _arrow(pen: Pen, a: Point, b: Point, ink: str) -> None:
    pen.line([a, b], ink, 2.5)
    if math.dist(a, b) > 10.0:
        _head(pen, a, b, 9.0, ink)


def _head(pen: Pen, a: Point, b: Point, long: float, ink: str = "ink") -> None:
    """The head of an arrow that comes from ``a`` to ``b``."""
    way = math.atan2(b[1] - a[1], b[0] - a[0])
    for turn in (2.6, -2.6):
        tip = b[0] + long * math.cos(way + turn), b[1] + long * math.sin(way + turn)
        pen.line([b, tip], ink, 2.5)
