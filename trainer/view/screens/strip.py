"""The strip at the top of the bench: what it is, which mode, the bench clock, ways out.

Knows the state; changes nothing.
"""

from __future__ import annotations

from trainer.view import fonts
from trainer.view.language import again, tr
from trainer.view.language import later as _
from trainer.view.pen import Pen
from trainer.view.shapes import Message, Rect
from trainer.view.state import App, Job
from trainer.view.widgets import Kind, button, button_width

STRIP = 46.0
MODES = {"guided": _("Guided"), "practice": _("Practice"), "graded": _("Graded")}


def strip(pen: Pen, rect: Rect, app: App, job: Job) -> None:
    pen.box(rect, "paper")
    pen.line([(0.0, rect.bottom), (rect.right, rect.bottom)], "rule")
    with pen.ground("paper"):
        x = _ways_out(pen, rect, app, job)
        mode = tr(MODES[job.mode])
        chip = fonts.width(mode, "body", True) + 24.0
        room = x - chip - 40.0
        wide = pen.words(
            (16.0, rect.centre[1]),
            again(str(job.told.get("title", ""))),
            "heading",
            True,
            room=room,
        )
        place = Rect(16.0 + wide + 14.0, rect.y + 9.0, chip, 28.0)
        pen.box(place, "wash", "action", 1.2, 8.0)
        with pen.ground("wash"):
            pen.words(place.centre, mode, "body", True, "action", "middle", chip - 8.0)
        pen.node("mode", "status", place, mode, focus=False)


def _ways_out(pen: Pen, rect: Rect, app: App, job: Job) -> float:
    """Buttons from the right; returns where they begin."""
    rows: list[tuple[str, str, Message]] = [("leave", tr("Leave"), ("leave",))]
    rows.append(("settings", tr("Settings"), ("screen", "settings")))
    rows.append(("help", tr("Help"), ("tour", 1)))
    if job.mode != "graded":
        rows.append(("undo", tr("Take back"), ("undo", 1)))
        if job.mode == "practice":
            rows.append(("hint", tr("Hint"), ("form", "hint")))
    if app.size[0] < 940.0:
        label = tr("Board") if app.compact_sheet else tr("Clipboard")
        rows.append(("sheets", label, ("sheet up",)))
    rows.append(("finish", tr("Finish"), ("form", "finish")))
    wides = [button_width(label) - 12.0 for _, label, _ in rows]
    begin = x = rect.right - 8.0 - sum(wides) - 4.0 * (len(rows) - 1)
    # drawn from the left, as Tab goes: the way out is not the first thing it meets
    for (name, label, on), wide in zip(rows[::-1], wides[::-1], strict=True):
        kind: Kind = "plain" if name == "finish" else "quiet"
        button(pen, f"strip.{name}", Rect(x, rect.y + 7.0, wide, 32.0), label, on, kind)
        x += wide + 4.0
    return begin - 4.0
