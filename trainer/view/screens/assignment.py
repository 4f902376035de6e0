"""An assignment opened: who works it and the start code; and, once it is over, where the file is.

Knows the state; changes nothing.
"""

from __future__ import annotations

from typing import Any

from trainer.view.at_assignment import CODE, FOLDER, LEARNER
from trainer.view.language import tr
from trainer.view.pen import Pen
from trainer.view.shapes import Rect
from trainer.view.state import App
from trainer.view.widgets import Kind, button, button_width, field, note


def assignment(app: App, pen: Pen) -> None:
    wide, high = app.size
    sheet = Rect(
        max((wide - 680.0) / 2.0, 12.0), 24.0, min(680.0, wide - 24.0), min(430.0, high - 36.0)
    )
    pen.box(sheet.moved(3.0, 5.0), "rule", radius=8.0)
    pen.box(sheet, "sheet", "edge", 1.0, 8.0)
    page = sheet.inset(24.0)
    c: Any = app.card or {}
    with pen.ground("sheet"):
        if c.get("sealed"):
            _sealed(pen, page, app, c)
        else:
            _asked(pen, page, app, c)


def _asked(pen: Pen, page: Rect, app: App, c: Any) -> None:
    pen.words((page.x, page.y + 14.0), tr("Open an assignment"), "title", True, room=page.w)
    y = page.y + 36.0
    pen.words((page.x, y + 8.0), str(c.get("name", "")), colour="quiet", room=page.w)
    y += 30.0
    half = min(320.0, page.w)
    y = _line(pen, LEARNER, Rect(page.x, y, half, 36.0), tr("Your number in the class"), app)
    y = _line(pen, CODE, Rect(page.x, y, half, 36.0), tr("Start code"), app,
              tr("eight signs, as they are read out"))  # fmt: skip
    words = tr(
        "Looking costs nothing: the next page shows what counts. The attempt counts from the moment "
        "you begin."
    )
    y = note(pen, Rect(page.x, y, page.w, 0.0), words) + 16.0
    button(pen, "assignment.open", Rect(page.x, y, 160.0, 42.0), tr("Open"), ("take",), "main")
    button(pen, "assignment.back", Rect(page.x + 172.0, y, 130.0, 42.0), tr("Not now"),
           ("screen", "home"))  # fmt: skip


def _sealed(pen: Pen, page: Rect, app: App, c: Any) -> None:
    words = tr("Attempt {n} is sealed", n=c.get("no", 1))
    pen.words((page.x, page.y + 14.0), words, "title", True, room=page.w)
    y = page.y + 40.0
    words = tr("Give this file to the instructor. Nothing in it can be changed any more.")
    y = pen.paragraph(Rect(page.x, y, page.w, 0.0), words) + 6.0
    y = pen.paragraph(Rect(page.x, y, page.w, 0.0), str(c["sealed"]), bold=True) + 14.0
    words = tr("Copy it to a stick or to the class's folder")
    y = _line(pen, FOLDER, Rect(page.x, y, page.w, 36.0), words, app)
    label = tr("Copy")
    # handing it over is what is left to do; home stands out once that is done
    kinds: tuple[Kind, Kind] = ("main", "plain")
    give, home = kinds[::-1] if c.get("given") else kinds
    place = Rect(page.x, y, button_width(label), 36.0)
    button(pen, "assignment.give", place, label, ("give",), give)
    y += 52.0
    left = tr(
        "Attempts left: {n}. The debrief comes when the instructor releases it.", n=c.get("left", 0)
    )
    y = pen.paragraph(Rect(page.x, y, page.w, 0.0), left, colour="quiet") + 14.0
    button(pen, "assignment.home", Rect(page.x, y, 160.0, 42.0), tr("Home"), ("screen", "home"),
           home)  # fmt: skip


def _line(pen: Pen, name: str, rect: Rect, label: str, app: App, hint: str = "") -> float:
    """A line to type into with its name above it."""
    pen.words((rect.x, rect.y + 10.0), label, bold=True, room=rect.w)
    field(pen, name, rect.moved(0.0, 22.0), label, app.texts.get(name, ""), hint)
    return rect.bottom + 36.0
