"""Keys on the settings page: each command with its key, and the panel that waits for a new one.

Knows the state; changes nothing.
"""

from __future__ import annotations

from trainer.view import fonts, keys
from trainer.view.language import tr
from trainer.view.pen import Pen
from trainer.view.shapes import Rect, Veil
from trainer.view.state import App
from trainer.view.theme import TARGET
from trainer.view.widgets import button, button_width, choice

LINE = 38.0
#: From this width on the commands stand in two columns. [logical px]
TWO = 600.0


def keys_high(wide: float) -> float:
    per = 2 if wide >= TWO else 1
    return 66.0 + LINE * -(-len(keys.COMMANDS) // per)


def key_rows(pen: Pen, rect: Rect, app: App) -> float:
    """Every command with its key; a press on it waits for another. Returns the y below."""
    pen.words((rect.x, rect.y + 14.0), tr("Keys"), "heading", True, room=rect.w * 0.5)
    label = tr("Usual keys")
    wide = button_width(label)
    place = Rect(rect.right - wide, rect.y, wide, 32.0)
    button(pen, "settings.usual keys", place, label, ("usual keys",),
           enabled=bool(app.settings.keys))  # fmt: skip
    y = rect.y + 44.0
    now = keys.chords(app.settings.keys)
    two = rect.w >= TWO
    each = (rect.w - 24.0) / 2.0 if two else rect.w
    half = -(-len(now) // 2) if two else len(now)
    for n, (name, chord) in enumerate(now.items()):
        place = Rect(rect.x + (each + 24.0) * (n // half), y + LINE * (n % half), each, LINE - 6.0)
        _row(pen, place, name, chord, name in app.settings.keys)
    return y + LINE * half


def _row(pen: Pen, rect: Rect, name: str, chord: str, own: bool) -> None:
    words, key = tr(keys.COMMANDS[name][1]), keys.shown(chord)
    wide = min(max(fonts.width(key, "body", True) + 24.0, 64.0), rect.w * 0.5)
    pen.words((rect.x, rect.centre[1]), words, room=rect.w - wide - 8.0)
    place = Rect(rect.right - wide, rect.y, wide, max(rect.h, TARGET))
    button(pen, f"settings.key.{name}", place, key, ("rekey", name), chosen=own,
           said=f"{words}: {key}")  # fmt: skip


def waiting(pen: Pen, app: App) -> None:
    """Over the page: press a key, or pick one of those that are free."""
    wide = min(520.0, app.size[0] - 24.0)
    room = wide - 48.0
    title = tr("Press the new key: {what}", what=tr(keys.COMMANDS[app.keying][1]).lower())
    words = app.key_refused or tr("Escape leaves it as it is. These keys are free:")
    rows = [(chord, keys.shown(chord)) for chord in keys.free(app.settings.keys)]
    top = len(fonts.wrap(title, room, "heading", True)) * fonts.height("heading")
    said = len(fonts.wrap(words, room)) * fonts.height()
    high = top + said + _chips_high(rows, room) + 104.0
    rect = Rect((app.size[0] - wide) / 2.0, max((app.size[1] - high) / 2.0, 8.0), wide, high)
    pen.nodes = []
    pen.add(Veil(pen.whole))
    pen.box(rect.moved(3.0, 5.0), "#101416", radius=10.0)
    pen.box(rect, "sheet", "caution" if app.key_refused else "action", 2.0, 10.0)
    with pen.ground("sheet"):
        x = rect.x + 24.0
        y = pen.paragraph(Rect(x, rect.y + 20.0, room, 0.0), title, "heading", True) + 8.0
        ink = "caution" if app.key_refused else "ink"
        y = pen.paragraph(Rect(x, y, room, 0.0), words, colour=ink) + 10.0
        pen.node("keying", "dialog", rect, f"{title}. {words}", focus=False)
        y = choice(pen, "keying", (x, y), room, rows, "", ("key",)) + 12.0
        button(pen, "keying.cancel", Rect(x, y, 130.0, 34.0), tr("Leave it"), ("key", ""), "main")


def _chips_high(rows: list[tuple[str, str]], room: float) -> float:
    return choice(Pen((1.0, 1.0)), "", (0.0, 0.0), room, rows, "", ("key",))
