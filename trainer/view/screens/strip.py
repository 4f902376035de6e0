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
from trainer.view.theme import TARGET
from trainer.view.widgets import Kind, button

#: Height, and that in a low window when the title needs but one line.
STRIP, LOW_STRIP = 46.0, 38.0
#: Windows lower than this have no pixel to spare, and from this width on board and clipboard lie
#: side by side.
LOWEST, BOTH = 430.0, 940.0
#: A word's room beside the edge of its button, and between buttons; then where room is scarce.
PAD, GAP, PAD_TIGHT, GAP_TIGHT = 8.0, 4.0, 4.0, 2.0
MODES = {"guided": _("Guided"), "practice": _("Practice"), "graded": _("Graded")}


def strip_high(app: App) -> float:
    if app.size[1] >= LOWEST or app.job is None:
        return STRIP
    if _fits(app, app.job) or len(_title_lines(app, app.job)) == 1:
        return LOW_STRIP
    return STRIP


def strip(pen: Pen, rect: Rect, app: App, job: Job) -> None:
    pen.box(rect, "paper")
    pen.line([(0.0, rect.bottom), (rect.right, rect.bottom)], "rule")
    with pen.ground("paper"):
        _ways_out(pen, rect, app, job)
        if _fits(app, job):
            _beside(pen, rect, job)
        else:
            _beneath(pen, rect, app, job)


def _title(job: Job) -> str:
    return again(str(job.told.get("title", "")))


def _chip(job: Job) -> float:
    return fonts.width(tr(MODES[job.mode]), "body", True) + 24.0


def _fits(app: App, job: Job) -> bool:
    """Whether title, mode and ways out lie side by side."""
    room = app.size[0] - _ways_wide(app, job, PAD, GAP) - _chip(job) - 40.0
    return fonts.width(_title(job), "heading", True) <= room


def _beside(pen: Pen, rect: Rect, job: Job) -> None:
    mode = tr(MODES[job.mode])
    wide = pen.words((16.0, rect.centre[1]), _title(job), "heading", True)
    chip = _chip(job)
    place = Rect(16.0 + wide + 14.0, rect.centre[1] - 14.0, chip, 28.0)
    pen.box(place, "wash", "action", 1.2, 8.0)
    with pen.ground("wash"):
        pen.words(place.centre, mode, "body", True, "action", "middle", chip - 8.0)
    pen.node("mode", "status", place, mode, focus=False)


def _title_room(app: App, job: Job) -> float:
    return app.size[0] - 20.0 - _ways_wide(app, job, PAD_TIGHT, GAP_TIGHT)


def _title_lines(app: App, job: Job) -> tuple[str, ...]:
    return fonts.wrap(_title(job), _title_room(app, job), "tag", True)


def _beneath(pen: Pen, rect: Rect, app: App, job: Job) -> None:
    """Where room is scarce: the title in small letters, whole, and its mode beneath."""
    mode, room = tr(MODES[job.mode]), _title_room(app, job)
    lines = min(len(_title_lines(app, job)), 2)
    step = fonts.height("tag") - 2.0
    y = rect.centre[1] - step * (lines + 1) / 2.0
    for n, line in enumerate(_title_lines(app, job)[:2]):
        rest = " ".join(_title_lines(app, job)[1:]) if n == 1 else line
        pen.words((12.0, y + step * (n + 0.5)), rest, "tag", True, room=room)
    place = Rect(12.0, y + step * lines, fonts.width(mode, "tag", True) + 2.0, step)
    pen.words((12.0, place.centre[1]), mode, "tag", True, "action", room=room)
    pen.node("mode", "status", place, mode, focus=False)


def _ways(app: App, job: Job) -> list[tuple[str, str, Message]]:
    """Ways out of the bench, from the right."""
    rows: list[tuple[str, str, Message]] = [("leave", tr("Leave"), ("leave",))]
    rows.append(("settings", tr("Settings"), ("screen", "settings")))
    rows.append(("help", tr("Help"), ("tour", 1)))
    if job.mode != "graded":
        rows.append(("undo", tr("Take back"), ("undo", 1)))
        if job.mode == "practice":
            rows.append(("hint", tr("Hint"), ("form", "hint")))
    if app.size[0] < BOTH:
        label = tr("Board") if app.compact_sheet else tr("Clipboard")
        rows.append(("sheets", label, ("sheet up",)))
    rows.append(("finish", tr("Finish"), ("form", "finish")))
    return rows


def _wide(label: str, pad: float) -> float:
    return max(fonts.width(label, "body", True) + 2.0 * pad, TARGET)


def _ways_wide(app: App, job: Job, pad: float, gap: float) -> float:
    return 8.0 + sum(_wide(label, pad) + gap for _name, label, _on in _ways(app, job))


def _ways_out(pen: Pen, rect: Rect, app: App, job: Job) -> None:
    """Buttons up to the right, drawn as Tab goes: the way out is not the first thing it meets."""
    pad, gap = (PAD, GAP) if _fits(app, job) else (PAD_TIGHT, GAP_TIGHT)
    x = rect.right - _ways_wide(app, job, pad, gap) + gap
    for name, label, on in reversed(_ways(app, job)):
        wide = _wide(label, pad)
        kind: Kind = "plain" if name == "finish" else "quiet"
        place = Rect(x, rect.centre[1] - 16.0, wide, 32.0)
        button(pen, f"strip.{name}", place, label, on, kind, pad=pad)
        x += wide + gap
