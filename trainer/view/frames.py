"""From a state to one frame: picks the screen. Pure; the only door between state and shapes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from trainer.view import fonts
from trainer.view.language import again, speaking, tr
from trainer.view.pen import Pen
from trainer.view.screens.assignment import assignment
from trainer.view.screens.card import card
from trainer.view.screens.debrief import debrief
from trainer.view.screens.home import home
from trainer.view.screens.settings import settings
from trainer.view.screens.tour import tour
from trainer.view.shapes import Frame, Rect, Veil
from trainer.view.state import App
from trainer.view.widgets import button


def _bench(app: App, pen: Pen) -> None:
    from trainer.view.screens.bench import bench

    bench(app, pen)


def _bay(app: App, pen: Pen) -> None:
    from trainer.view.screens.bay import bay

    bay(app, pen)


def _free(app: App, pen: Pen) -> None:
    from trainer.view.screens.bay import free

    free(app, pen)


def _steps(app: App, pen: Pen) -> None:
    from trainer.view.screens.steps import steps

    steps(app, pen)


SCREENS: dict[str, Callable[[App, Pen], None]] = {
    "home": home, "bench": _bench, "debrief": debrief, "settings": settings, "tour": tour,
    "card": card, "bay": _bay, "free": _free,
    "steps": _steps, "assignment": assignment,
}  # fmt: skip


def frame(app: App) -> Frame:
    """The window as it is to be seen now."""
    with speaking(app.settings.language):
        found = _frame(app)
    return replace(found, spot=app.spot) if app.spot else found


def _frame(app: App) -> Frame:
    pen = Pen(app.size, app.focus, app.hover, dict(app.scrolls), dict(app.texts))
    SCREENS[app.screen](app, pen)
    if app.progress and app.screen != "tour":
        _progress(pen, again(app.progress))
    if app.trouble or app.notice:
        _said(pen, again(app.trouble or app.notice), bool(app.trouble))
    return pen.frame()


def _progress(pen: Pen, words: str) -> None:
    wide = fonts.width(words, "body", True) + 48.0
    rect = Rect((pen.size[0] - wide) / 2.0, pen.size[1] - 64.0, wide, 46.0)
    pen.box(rect.moved(2.0, 4.0), "edge", radius=8.0)
    pen.box(rect, "sheet", "action", 1.5, 8.0)
    with pen.ground("sheet"):
        pen.words(rect.centre, words, bold=True, align="middle", room=wide - 20.0)
    pen.node("progress", "status", rect, words, focus=False)


def _said(pen: Pen, words: str, wrong: bool) -> None:
    """A plain sentence that stays until it is closed; nothing beneath answers meanwhile."""
    wide = min(520.0, pen.size[0] - 40.0)
    lines = fonts.wrap(words, wide - 48.0)
    high = len(lines) * fonts.height() + 118.0
    rect = Rect((pen.size[0] - wide) / 2.0, (pen.size[1] - high) / 2.0, wide, high)
    pen.nodes = []
    pen.add(Veil(pen.whole))
    pen.box(rect.moved(3.0, 5.0), "#101416", radius=10.0)
    pen.box(rect, "sheet", "caution" if wrong else "good", 2.0, 10.0)
    title = tr("That did not work") if wrong else tr("Done")
    with pen.ground("sheet"):
        ink = "caution" if wrong else "good"
        sign = Rect(rect.x + 24.0, rect.y + 19.0, 22.0, 22.0)
        pen.picture("icons/warning" if wrong else "icons/good", sign, ink)
        pen.words((sign.right + 8.0, rect.y + 30.0), title, "heading", True, room=wide - 78.0)
        pen.paragraph(Rect(rect.x + 24.0, rect.y + 48.0, wide - 48.0, 0.0), words)
    pen.node("trouble", "dialog", rect, words, focus=False)
    place = Rect(rect.x + 24.0, rect.bottom - 52.0, 120.0, 36.0)
    button(pen, "trouble.close", place, tr("Close"), ("trouble", ""), "main")
