"""Settings: scale, theme, sound, captions, motion, units, language, name, keys. Knows the state."""

from __future__ import annotations

from typing import Any

from trainer.view.language import LANGUAGES, tr
from trainer.view.pen import Pen
from trainer.view.screens.keying import key_rows, keys_high, waiting
from trainer.view.shapes import Rect
from trainer.view.state import App
from trainer.view.theme import themes
from trainer.view.widgets import BAR, button, choice, field, scrolled, stepper, toggle

#: Height of a row, and of all that stands above the keys.
ROW, ABOVE = 58.0, 530.0


def settings(app: App, pen: Pen) -> None:
    wide, high = app.size
    s = app.settings
    page = Rect(max((wide - 720.0) / 2.0, 28.0), 16.0, min(720.0, wide - 56.0), high - 32.0)
    whole = ABOVE + keys_high(page.w - BAR)
    sheet = Rect(page.x - 24.0, 8.0, page.w + 48.0, min(whole + 24.0, high - 16.0))
    pen.box(sheet.moved(3.0, 5.0), "rule", radius=8.0)
    pen.box(sheet, "sheet", "edge", 1.0, 8.0)
    with pen.ground("sheet"), scrolled(pen, "settings", page, whole) as place:
        pen.words((place.x, place.y + 22.0), tr("Settings"), "title", True)
        button(
            pen,
            "settings.back",
            Rect(place.right - 104.0, place.y + 4.0, 100.0, 34.0),
            tr("Done"),
            ("back",),
            "main",
        )
        y = place.y + 58.0
        y = _row(pen, place, y, tr("Interface scale"))
        stepper(
            pen,
            "settings.scale",
            Rect(place.x + 240.0, y - ROW, 170.0, 32.0),
            tr("Interface scale"),
            f"{s.scale} %",
            ("scale",),
        )
        y = _row(pen, place, y, tr("Theme"))
        rows = [(n, tr(p["called"])) for n, p in themes().palettes.items()]
        choice(
            pen,
            "settings.theme",
            (place.x + 240.0, y - ROW),
            place.w - 244.0,
            rows,
            s.theme,
            ("settings", "theme"),
        )
        y = _row(pen, place, y, tr("Language"))
        choice(
            pen,
            "settings.language",
            (place.x + 240.0, y - ROW),
            place.w - 244.0,
            list(LANGUAGES.items()),
            s.language,
            ("settings", "language"),
        )
        y = _row(pen, place, y, tr("Units"))
        choice(
            pen,
            "settings.units",
            (place.x + 240.0, y - ROW),
            place.w - 244.0,
            [("US", tr("US customary")), ("SI", "SI")],
            s.units,
            ("settings", "units"),
        )
        for key, label in (
            ("sound", tr("Sound of starts")),
            ("captions", tr("Captions of sounds")),
            ("reduced_motion", tr("Reduced motion")),
            ("class_mode", tr("Class mode: no sound")),
        ):
            now: Any = getattr(s, key)
            toggle(
                pen,
                f"settings.{key}",
                Rect(place.x, y - 4.0, place.w, 36.0),
                label,
                now,
                ("settings", key, not now),
            )
            y += 44.0
        y += 10.0
        pen.words((place.x, y + 16.0), tr("Your name on attempts"))
        field(
            pen,
            "settings.name",
            Rect(place.x + 240.0, y, min(300.0, place.w - 250.0), 34.0),
            tr("Your name on attempts"),
            app.texts.get("settings.name", s.name),
        )
        y += 54.0
        key_rows(pen, Rect(place.x, y, place.w - 6.0, 0.0), app)
    if app.keying:
        waiting(pen, app)


def _row(pen: Pen, place: Rect, y: float, label: str) -> float:
    pen.words((place.x, y + 15.0), label, room=230.0)
    return y + ROW
