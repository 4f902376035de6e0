"""The card before a graded start: what fails it, what counts, how long, which attempt counts.

Knows the state; changes nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from trainer.view import fonts
from trainer.view.language import again, tr
from trainer.view.pen import Pen
from trainer.view.shapes import Rect
from trainer.view.state import App
from trainer.view.widgets import button, note, scrolled


def card(app: App, pen: Pen) -> None:
    wide, high = app.size
    page = Rect(max((wide - 760.0) / 2.0, 28.0), 20.0, min(760.0, wide - 56.0), high - 104.0)
    c: Any = app.card or {}
    critical: Sequence[str] = c.get("critical", ())
    tall = 360.0 + sum(len(fonts.wrap(t, page.w - 60.0)) * fonts.height() + 4.0 for t in critical)
    tall += sum(
        (len(fonts.wrap(again(str(v)), page.w - 260.0, "body", True)) - 1) * fonts.height()
        for _, v in c.get("facts", ())
    )
    sheet = Rect(page.x - 24.0, 8.0, page.w + 48.0, high - 84.0)
    pen.box(sheet.moved(3.0, 5.0), "rule", radius=8.0)
    pen.box(sheet, "sheet", "edge", 1.0, 8.0)
    with pen.ground("sheet"), scrolled(pen, "card", page, tall) as place:
        y = place.y
        pen.words(
            (place.x, y + 22.0),
            again(str(c.get("title", c.get("name", "")))),
            "title",
            True,
            room=place.w,
        )
        y = (
            note(
                pen,
                Rect(place.x, y + 46.0, place.w, 0.0),
                tr(
                    "Graded: no help and no way back. The attempt counts from the moment you begin."
                ),
            )
            + 14.0
        )
        for label, value in c.get("facts", ()):
            pen.words((place.x, y + 10.0), tr(label), colour="quiet", room=220.0)
            beside = Rect(place.x + 230.0, y + 1.0, place.w - 230.0, 0.0)
            y = pen.paragraph(beside, again(str(value)), bold=True) + 6.0
        y += 10.0
        if critical:
            pen.words(
                (place.x, y + 10.0),
                tr("Any of these fails the attempt, whatever the total"),
                bold=True,
            )
            y += 26.0
        for text in critical:
            pen.ring((place.x + 10.0, y + 10.0), 3.0, "danger")
            y = pen.paragraph(Rect(place.x + 24.0, y, place.w - 30.0, 0.0), again(text)) + 4.0
    foot = high - 58.0
    assigned = bool(c.get("assigned"))
    on = ("sit",) if assigned else ("begin", str(c.get("name", "")), "graded")
    label = tr("Go on with it") if c.get("under_way") else tr("Begin the attempt")
    button(pen, "card.begin", Rect(sheet.x, foot, 200.0, 42.0), label,
           on, "main", enabled=not assigned or c["left"] > 0 or c["under_way"])  # fmt: skip
    button(
        pen,
        "card.back",
        Rect(sheet.x + 212.0, foot, 130.0, 42.0),
        tr("Not now"),
        ("screen", "home"),
    )
