"""The gauge of the torque driver: its scale, what is set, and what the part's own print asks for.

The print is shown where it can be read; only guided mode says how the setting compares with it.
Knows the state; changes nothing.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from trainer.unit.catalogue import place_in
from trainer.view.at_bench import number, place_of, typed_values
from trainer.view.language import tr
from trainer.view.pen import Pen
from trainer.view.shapes import Area, Line, Point, Rect
from trainer.view.state import App, Job
from trainer.view.tools import BY_NAME

#: One N m in pound-force inches, exact (NIST SP 811, appendix B).
LBF_IN = 8.850745767
#: Width of the drawing; ends of the dial from straight up [rad]; divisions of its scale.
WIDE, SWEEP, DIVISIONS = 158.0, 1.15, 10
#: Full scales, in either unit; one is chosen that shows a screw turned far over its window.
SCALES = (1.0, 2.0, 3.0, 6.0, 10.0, 20.0, 30.0, 60.0, 100.0, 200.0, 300.0, 600.0, 1000.0)
OVER = 2.5


@dataclass(frozen=True)
class Aim:
    """What the driver is held to. ``window`` in N m; None where none is printed or can be read."""

    place: str = ""
    window: tuple[float, float] | None = None
    dirty: bool = False


def aim(app: App, job: Job) -> Aim:
    """The place of the end that was picked, else of what is pointed at or has the focus."""
    name = f"end.{job.picks[0]}" if job.picks else ""
    if not name:
        seen = [n for n in (app.hover, app.focus) if n.startswith(("end.", "place."))]
        name = seen[0] if seen else ""
    kind, _, of = name.partition(".")
    if kind == "end" and of.rpartition(".")[0] not in job.bench.unit.conductors:
        return Aim()
    place = place_of(job, of) if kind == "end" else of
    if not place or place.startswith("wire:"):
        return Aim()
    bench = job.bench
    spot = place_in({n: p.type for n, p in bench.unit.parts.items()}, place)
    if spot is None or spot.torque is None:
        return Aim(place)
    terminal = place.partition(":")[0]
    if terminal in bench.dirty and terminal not in bench.unit.wiped:
        return Aim(place, None, True)
    return Aim(place, spot.torque)


def said(at: Aim, set_nm: float, units: str, guided: bool) -> str:
    """What is printed where the driver is held, and in guided mode how the setting compares."""
    if not at.place:
        return tr("Click an end that is under a screw.")
    if at.dirty:
        return tr("{place}: its print is under dirt.", place=at.place)
    if at.window is None:
        return tr("{place}: no torque is printed.", place=at.place)
    low, high = (shown(v, units) for v in at.window)
    words = tr("{place}: printed {low} to {high} {unit}.", place=at.place, low=low, high=high,
               unit=unit_of(units))  # fmt: skip
    return f"{words} {compared(set_nm, at.window)}" if guided else words


def compared(set_nm: float, window: tuple[float, float]) -> str:
    if set_nm < window[0]:
        return tr("The driver is set below it.")
    return tr("The driver is set beyond it.") if set_nm > window[1] else tr("The driver is set so.")


def unit_of(units: str) -> str:
    return "lbf·in" if units == "US" else "N·m"


def in_unit(nm: float, units: str) -> float:
    return nm * LBF_IN if units == "US" else nm


def shown(nm: float, units: str) -> str:
    return f"{in_unit(nm, units):.0f}" if units == "US" else f"{nm:g}"


def full_scale(set_: float, high: float | None) -> float:
    """The least scale on which the setting and a screw far over its window can be seen."""
    wanted = max(set_, OVER * high if high else 1.6 * set_)
    return next((s for s in SCALES if s >= wanted), SCALES[-1])


def set_now(app: App, job: Job) -> float:
    """What is set, as typed; 0 where what was typed is no figure."""
    tool = BY_NAME["torque"]
    return number(typed_values(app, tool)["nm"]) or 0.0


def gauge(pen: Pen, rect: Rect, app: App, job: Job) -> None:
    at, units = aim(app, job), app.settings.units
    value = in_unit(set_now(app, job), units)
    window = at.window and tuple(in_unit(v, units) for v in at.window)
    full = full_scale(value, window[1] if window else None)
    hub = rect.x + rect.w / 2.0, rect.bottom - 11.0
    pen.box(rect.inset(0.0, 2.0), "sheet", "edge", 1.0, 6.0)
    with pen.ground("sheet"):
        if window:
            pen.add(_band(hub, window[0] / full, window[1] / full))
        pen.extend(_scale(hub))
        for share in (0.0, 0.5, 1.0):
            x, y = _on(hub, 55.0 if share == 0.5 else 59.0, share)
            pen.words((x, y + 3.0), f"{share * full:g}", "tag", align="middle")
        pen.words((rect.x + 8.0, rect.bottom - 12.0), unit_of(units), "tag", colour="quiet")
        tip = _on(hub, 44.0, min(value / full, 1.02))
        pen.line([hub, tip], "action", 2.5)
        pen.ring(hub, 5.0, "ink")
    words = tr("torque driver set to {n} {unit}", n=f"{value:.3g}", unit=unit_of(units))
    told = f"{words}. {said(at, set_now(app, job), units, job.mode == 'guided')}"
    pen.node("torque.gauge", "picture", rect, told, focus=False)


def _on(hub: Point, radius: float, share: float) -> Point:
    turn = SWEEP * (2.0 * share - 1.0)
    return hub[0] + radius * math.sin(turn), hub[1] - radius * math.cos(turn)


def _band(hub: Point, begin: float, end: float) -> Area:
    """What is printed, as a field of the dial."""
    last = min(end, 1.0)
    steps = [begin + (last - begin) * k / 12.0 for k in range(13)]
    outer = [_on(hub, 46.0, s) for s in steps]
    return Area((*outer, *(_on(hub, 30.0, s) for s in reversed(steps))), "ghost")


def _scale(hub: Point) -> Iterator[Line]:
    run = [_on(hub, 46.0, k / 24.0) for k in range(25)]
    for a, b in pairwise(run):
        yield Line((a, b), "ink", 1.2)
    for k in range(DIVISIONS + 1):
        long = 34.0 if k % 5 == 0 else 40.0
        yield Line((_on(hub, long, k / DIVISIONS), _on(hub, 46.0, k / DIVISIONS)), "ink", 1.2)
