"""The first-run tour: six short pages, skippable at any moment. Knows the state."""

from __future__ import annotations

from trainer.view import fonts, keys
from trainer.view.language import later as _
from trainer.view.language import tr
from trainer.view.pen import Pen
from trainer.view.shapes import Rect
from trainer.view.state import App
from trainer.view.widgets import button

PAGES = (
    ("shield", _("A bench, not a quiz"),
     _("You work on a condensing unit that is drawn, but wired for real: whatever you connect is what gets energised. Nothing is looked up. Nobody is hurt here; on a real unit you would be.")),
    ("hand", _("Your hand"),
     _("Click the flag of a conductor to take its end off, click a terminal to land it. Drag works too, and so do the keys: {next} and arrows move, {area} leads to the next area, {do} does. {lay_down} lays down what you hold.")),
    ("tester", _("Live looks like dead"),
     _("No colour tells you that a point is live. Take the tester or the meter from the tray, choose a range on the Meter sheet, click two points. Prove the instrument before and after.")),
    ("lock", _("Make it safe"),
     _("Open the disconnect with your hand, put lock and tag on it, try to start, test, discharge. Then your hands may go in.")),
    ("call", _("The start"),
     _("Covers on, stand aside, close, call. The Trace sheet shows what the start really did: amps, the start winding, the start capacitor, speed. Play it up to 200 times slower.")),
    ("note", _("Afterwards"),
     _("Finish leads to the debrief: what was safe, what broke first, what it did in numbers, and the marks with their evidence. Everything is saved as you go; you can go on after a power cut.")),
)  # fmt: skip


def _text(app: App, text: str) -> str:
    """The words of a page, with the keys that this person has."""
    own = {name.replace(" ", "_"): keys.shown(chord)
           for name, chord in keys.chords(app.settings.keys).items()}  # fmt: skip
    return tr(text, **own) if "{" in text else tr(text)


def tour(app: App, pen: Pen) -> None:
    wide, high = app.size
    icon, title, text = PAGES[app.tour]
    room = min(620.0, wide - 60.0)
    x = (wide - room) / 2.0
    lines = max(len(fonts.wrap(_text(app, t), room, "heading")) for _, _, t in PAGES)
    tall = min(92.0 + lines * fonts.height("heading") + 118.0, high - 20.0)
    rect = Rect(x - 24.0, (high - tall) * 0.42, room + 48.0, tall)
    pen.box(rect.moved(3.0, 5.0), "rule", radius=12.0)
    pen.box(rect, "sheet", "edge", 1.0, 12.0)
    with pen.ground("sheet"):
        pen.picture(f"icons/{icon}", Rect(x, rect.y + 28.0, 44.0, 44.0), "action")
        pen.words((x + 60.0, rect.y + 50.0), tr(title), "title", True, room=room - 60.0)
        pen.paragraph(Rect(x, rect.y + 92.0, room, 0.0), _text(app, text), "heading")
        foot = rect.bottom - 58.0
        for n in range(len(PAGES)):
            pen.ring((x + 8.0 + n * 18.0, foot - 24.0), 5.0, "action" if n == app.tour else "rule")
        words = app.progress or (
            "" if app.ready else tr("The solver is being made ready for this machine…")
        )
        if words:
            pen.words((x + 130.0, foot - 24.0), words, "tag", colour="quiet", room=room - 130.0)
        last = app.tour == len(PAGES) - 1
        button(
            pen,
            "tour.next",
            Rect(x, foot, 150.0, 40.0),
            tr("Begin") if last else tr("Next"),
            ("tour", app.tour + 1),
            "main",
        )
        if app.tour:
            button(
                pen,
                "tour.before",
                Rect(x + 160.0, foot, 110.0, 40.0),
                tr("Back"),
                ("tour", app.tour - 1),
            )
        button(
            pen,
            "tour.skip",
            Rect(x + room - 130.0, foot, 130.0, 40.0),
            tr("Skip the tour"),
            ("tour", len(PAGES)),
            "quiet",
        )
