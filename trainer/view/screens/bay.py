"""The demonstration bay: a study's start and its sliders. And the list of free benches.

Knows the state; changes nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from trainer.report.starts import OUTCOMES, Levels, Start, start_of
from trainer.view import fonts
from trainer.view.language import again, term, tr
from trainer.view.pen import Pen
from trainer.view.shapes import Rect
from trainer.view.state import App
from trainer.view.theme import TARGET
from trainer.view.traces import traces
from trainer.view.widgets import button, scrolled, slider

LIST = 270.0
#: Seconds that the bay shows, the same for every value, so that starts can be compared.
SPAN_S = 0.6
#: Signs of units as they are read.
SIGNS = {"uF": "µF", "N.m": "N·m", "ohm": "Ω"}
SLIDER = 50.0
#: Least height of the plot above the sliders; a lower window scrolls. [logical px]
PLOT_LEAST = 230.0


def head(pen: Pen, app: App, title: str) -> Rect:
    """The strip of a screen that is left by Home; returns the room below."""
    wide, high = app.size
    pen.box(Rect(0.0, 0.0, wide, 46.0), "paper")
    pen.line([(0.0, 46.0), (wide, 46.0)], "rule")
    with pen.ground("paper"):
        button(
            pen,
            "bay.home",
            Rect(10.0, 6.0, 90.0, 34.0),
            tr("Home"),
            ("screen", "home"),
            icon="home",
        )
        pen.words((114.0, 23.0), title, "heading", True, room=wide - 130.0)
    return Rect(12.0, 56.0, wide - 24.0, high - 64.0)


def bay(app: App, pen: Pen) -> None:
    data: Mapping[str, Any] = app.bay or {}
    room = head(pen, app, tr("Demonstrations: a start that is drawn while you turn it"))
    wide = LIST if room.w > 760.0 else room.w * 0.34
    _list(pen, Rect(room.x, room.y, wide, room.h), data)
    place = Rect(room.x + wide + 14.0, room.y, room.w - wide - 14.0, room.h)
    pen.box(place, "sheet", "edge", 1.0, 6.0)
    inside = place.inset(18.0, 12.0)
    with pen.ground("sheet"):
        if not data.get("near"):
            words = tr(
                "Choose a study on the left. Each is a circuit that is solved as it is written; its sliders change the circuit, nothing else."
            )
            pen.paragraph(inside, words, colour="quiet")
            return
        _study(pen, inside, data)


def _list(pen: Pen, rect: Rect, data: Mapping[str, Any]) -> None:
    rows = data.get("rows", ())
    room = rect.w - TARGET - 20.0  # beside the bar, as bold as the chosen one
    highs = [len(fonts.wrap(again(str(r["title"])), room, "body", True)) for r in rows]
    with scrolled(pen, "studies", rect, sum(_line_high(n) for n in highs) + 8.0) as place:
        y = place.y
        for r, n in zip(rows, highs, strict=True):
            spot = Rect(place.x, y, place.w, _line_high(n) - 2.0)
            _line(pen, spot, r, r["name"] == data.get("name"))
            y += _line_high(n)


def _line_high(lines: int) -> float:
    return lines * fonts.height() + 11.0


def _line(pen: Pen, rect: Rect, study: Mapping[str, Any], chosen: bool) -> None:
    """A study by its whole title."""
    name = f"study.{study['name']}"
    fill = "wash" if chosen or pen.is_over(name) else ""
    if fill:
        pen.box(rect, fill, radius=4.0)
    with pen.ground(fill or pen.on):
        place = Rect(rect.x + 8.0, rect.y + 4.0, rect.w - 16.0, 0.0)
        pen.paragraph(place, again(str(study["title"])), bold=chosen)
    pen.node(name, "row", rect, again(str(study["title"])), ("study", study["name"]), chosen=chosen)


def _study(pen: Pen, rect: Rect, data: Mapping[str, Any]) -> None:
    """Its start above its sliders; a low window scrolls, so that the plot keeps its height."""
    above = _told(Pen(pen.size), rect, data) - rect.y
    high = max(above + PLOT_LEAST + _foot(data, rect.w)[0], rect.h)
    if high > rect.h:
        high = above + PLOT_LEAST + _foot(data, rect.w - TARGET - 4.0)[0] + fonts.height()
    with scrolled(pen, "study", rect, high) as place:
        _plot(pen, Rect(place.x, place.y, place.w, high), data)


def _foot(data: Mapping[str, Any], wide: float) -> tuple[float, int]:
    """(height of the sliders and what stands beneath, how many stand side by side)."""
    dials = data.get("dials", ())
    across = 2 if wide >= 560.0 and len(dials) > 1 else 1
    return -(-len(dials) // across) * (SLIDER + 6.0) + 44.0, across


def _plot(pen: Pen, rect: Rect, data: Mapping[str, Any]) -> None:
    foot, across = _foot(data, rect.w)
    y = _told(pen, rect, data)
    span = max(rect.bottom - foot - y, 120.0)
    start, behind = start_from(data["near"]), start_from(data.get("behind"))
    assert start is not None
    area = Rect(rect.x, y, rect.w, span)
    named = [(float(t), again(str(words))) for t, words, _bad in data["near"]["marks"]]
    key = (
        data.get("name"),
        tuple(sorted(data.get("values", {}).items())),
        id(data["near"]),
        id(data.get("behind")),
    )
    traces(pen, area, start, behind, None, key, SPAN_S, named)
    pen.node(
        "bay.plot", "picture", area, again(str(data.get("heading", ""))).capitalize(), focus=False
    )
    _dials(pen, Rect(rect.x, rect.bottom - foot + 6.0, rect.w, foot - 6.0), data, across)


def _told(pen: Pen, rect: Rect, data: Mapping[str, Any]) -> float:
    """Title, and what the start can be called by now."""
    title = again(str(data.get("title", "")))
    y = pen.paragraph(Rect(rect.x, rect.y + 1.0, rect.w, 0.0), title, "heading", True, most=2)
    whole = str(data.get("outcome") or "")
    reached = {whole} if whole else set(data.get("reached", ()))
    bad = reached - {"clean"} or data.get("over_torque")
    heading = again(str(data.get("heading", ""))).capitalize()
    if whole:
        heading = again(OUTCOMES.get(whole, whole)).capitalize()
    if data.get("over_torque"):
        heading += ", " + tr("over-torque")
    ink = "danger" if bad else "good" if reached else "caution"
    pen.words((rect.x, y + 13.0), heading, bold=True, colour=ink, room=rect.w)
    words = " ".join(again(str(s)) for s in data.get("sentences", ()))
    return pen.paragraph(Rect(rect.x, y + 25.0, rect.w, 0.0), words, most=3) + 6.0


def start_from(near: Mapping[str, Any] | None) -> Start | None:
    """What the traces draw, of thinned lines."""
    if not near:
        return None
    start = start_of(0, 0, {"near": near["lines"]})
    levels = near.get("levels")
    return replace(start, levels=Levels(**levels)) if levels else start


def _dials(pen: Pen, rect: Rect, data: Mapping[str, Any], across: int) -> None:
    values = data.get("values", {})
    each = (rect.w - 30.0 * (across - 1)) / across
    dials = data.get("dials", ())
    for n, d in enumerate(dials):
        place = Rect(
            rect.x + (n % across) * (each + 30.0), rect.y + (n // across) * (SLIDER + 6.0), each,
            SLIDER,
        )  # fmt: skip
        now = float(values.get(d["name"], d["value"]))
        share = (now - d["low"]) / ((d["high"] - d["low"]) or 1.0)
        shown = f"{now:.4g} {SIGNS.get(d['unit'], d['unit'])}".strip()
        name = f"dial.{d['name']}"
        words = term("dial", d["words"])
        slider(pen, name, place, words, share, shown, ("turn", d["name"]))
    y = rect.bottom - 36.0
    behind = data.get("behind")
    label = tr("Let the grey start go") if behind else tr("Keep this start in grey")
    button(pen, "bay.keep", Rect(rect.x, y, 210.0, 32.0), label, ("keep",))
    button(pen, "bay.own", Rect(rect.x + 218.0, y, 190.0, 32.0), tr("As the study has it"),
           ("as written",), enabled=bool(values))  # fmt: skip


def free(app: App, pen: Pen) -> None:
    """Layouts to work on without a job."""
    data: Mapping[str, Any] = app.bay or {}
    room = head(pen, app, tr("Free bench: any unit, no marks"))
    page = Rect(max(room.x, (app.size[0] - 760.0) / 2.0), room.y, min(760.0, room.w), room.h)
    rows = data.get("layouts", ())
    with scrolled(pen, "layouts", page, 54.0 * len(rows) + 8.0) as place:
        for n, r in enumerate(rows):
            spot = Rect(place.x, place.y + n * 54.0, place.w, 48.0)
            name = f"layout.{r['name']}"
            over = pen.is_over(name)
            pen.box(spot, "wash" if over else "paper", "rule", 1.0, 6.0)
            with pen.ground("wash" if over else "paper"):
                pen.words(
                    (spot.x + 14.0, spot.y + 16.0),
                    again(str(r["title"])),
                    bold=True,
                    room=spot.w - 28.0,
                )
                pen.words(
                    (spot.x + 14.0, spot.y + 34.0),
                    again(str(r["about"])),
                    "tag",
                    colour="quiet",
                    room=spot.w - 28.0,
                )
            pen.node(
                name,
                "button",
                spot,
                f"{again(r['title'])}. {again(r['about'])}",
                ("exercise", r["name"], "practice"),
            )
