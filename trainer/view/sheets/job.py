"""The Job sheet: what is asked, the unit's nameplates as read, hints; in guided mode the next step.

Knows the state; changes nothing.
"""

from __future__ import annotations

from trainer.view import fonts
from trainer.view.board.seen import Seen
from trainer.view.language import again, spelt, tr
from trainer.view.pen import Pen
from trainer.view.shapes import Rect
from trainer.view.state import App, Job
from trainer.view.theme import TARGET
from trainer.view.widgets import button, button_width, scrolled


def job_sheet(pen: Pen, rect: Rect, app: App, job: Job, seen: Seen) -> None:
    y = rect.y
    if job.mode == "guided":
        y = _step(pen, rect, job)
    told = job.told
    texts = [" ".join(again(str(told.get(k, ""))).split()) for k in ("setting", "briefing")]
    if told.get("free"):
        texts = [again(job.bench.briefing), tr("No marks here: a free bench.")]
    heard = [e.data["text"] for e in job.events if e.kind == "seen"][-1:]
    body = [t for t in texts if t]
    if heard and body and body[-1] in " ".join(again(str(heard[0])).split()):
        heard = []  # the sheet read through: it stands above
    # as high as it comes out beside a bar, written where nobody looks
    tried = Rect(0.0, 0.0, rect.w - TARGET - 4.0, 0.0)
    high = _asked(Pen(app.size), tried, job, body, heard) + 8.0
    area = Rect(rect.x, y, rect.w, rect.bottom - y)
    with scrolled(pen, "job", area, high) as place:
        _asked(pen, place, job, body, heard)


def _asked(pen: Pen, place: Rect, job: Job, body: list[str], heard: list[str]) -> float:
    """What is asked, what can be read, what was seen last; returns the y below."""
    y = place.y
    pen.words((place.x, y + 11.0), tr("What is asked"), "heading", True)
    y += 28.0
    for n, text in enumerate(body):
        ink = "quiet" if n == 0 and len(body) > 1 else "ink"
        y = pen.paragraph(Rect(place.x, y, place.w, 0.0), text, colour=ink) + 8.0
    y = _reading(pen, Rect(place.x, y + 4.0, place.w, 0.0), job)
    if heard:
        pen.words((place.x, y + 18.0), tr("Last seen or heard"), "body", True)
        y = pen.paragraph(Rect(place.x, y + 32.0, place.w, 0.0), again(str(heard[0])))
    return y


def _reading(pen: Pen, rect: Rect, job: Job) -> float:
    """Papers and preparations that take an act."""
    rows = [
        ("job sheet", tr("Read this sheet through"), {"act": "read", "what": "job sheet"}),
        ("nameplate", tr("Read the nameplates"), {"act": "read", "what": "nameplate"}),
        ("unit", tr("Look the unit over"), {"act": "look", "at": "unit"}),
        ("zone", tr("Close off the area"), {"act": "set zone"}),
    ]
    x, y = rect.x, rect.y
    for name, label, act in rows:
        wide = button_width(label) - 6.0
        if x + wide > rect.right and x > rect.x:
            x, y = rect.x, y + 38.0
        button(pen, f"job.{name}", Rect(x, y, wide, 32.0), label, ("act", act))
        x += wide + 6.0
    y += 42.0
    x = rect.x
    for name, label, what in (
        ("source", tr("List a source"), "list source"), ("tell", tr("Tell somebody"), "tell"),
    ):  # fmt: skip
        wide = button_width(label) - 6.0
        button(pen, f"job.{name}", Rect(x, y, wide, 32.0), label, ("form", what))
        x += wide + 6.0
    y += 40.0
    listed = ", ".join(job.bench.sources)
    if listed:
        y = pen.paragraph(
            Rect(rect.x, y, rect.w, 0.0), tr("Sources listed: {what}.", what=spelt(listed))
        )
    if job.bench.told:
        words = tr("Told: {who}.", who=spelt(", ".join(job.bench.told)))
        y = pen.paragraph(Rect(rect.x, y, rect.w, 0.0), words)
    worn = ", ".join(tr(p) for p in sorted(job.bench.ppe))
    if worn:
        y = pen.paragraph(Rect(rect.x, y, rect.w, 0.0), tr("You wear: {what}.", what=worn))
    return y


def step_in_short(pen: Pen, rect: Rect, job: Job) -> Rect:
    """Guided: the step and the way to it on top of any other sheet; returns what is left of it."""
    if job.mode != "guided" or not job.step:
        return rect
    say, how = str(job.step.get("say", "")), str(job.step.get("how", ""))
    room = rect.w - 20.0
    lines = len(fonts.wrap(say, room, "body", True)) + len(fonts.wrap(how, room))
    place = Rect(rect.x, rect.y, rect.w, lines * fonts.height() + 12.0)
    pen.box(place, "wash", "action", 1.5, 8.0)
    with pen.ground("wash"):
        y = pen.paragraph(Rect(place.x + 10.0, place.y + 6.0, room, 0.0), say, bold=True)
        pen.paragraph(Rect(place.x + 10.0, y, room, 0.0), how, colour="action")
    pen.node("step", "status", place, say, focus=False)
    y = place.bottom + 10.0
    return Rect(rect.x, y, rect.w, rect.bottom - y)


def _step(pen: Pen, rect: Rect, job: Job) -> float:
    """Guided: the step suggested now, with its reason and the way to it."""
    step = job.step
    if not step:
        return rect.y
    room = rect.w - 28.0
    what = fonts.wrap(str(step.get("say", "")), room, "body", True)
    why = fonts.wrap(str(step.get("why", "")), room)
    how = fonts.wrap(str(step.get("how", "")), room)
    # four lines at least: what lies beneath stays where it is from step to step
    high = max(len(what) + len(why) + len(how), 4) * fonts.height() + 40.0
    place = Rect(rect.x, rect.y, rect.w, high)
    pen.box(place, "wash", "action", 1.5, 8.0)
    with pen.ground("wash"):
        pen.words((place.x + 14.0, place.y + 15.0), tr("Next"), "tag", True, "action")
        y = place.y + 26.0
        y = pen.paragraph(Rect(place.x + 14.0, y, room, 0.0), str(step.get("say", "")), bold=True)
        y = pen.paragraph(Rect(place.x + 14.0, y, room, 0.0), str(step.get("why", "")))
        pen.paragraph(Rect(place.x + 14.0, y, room, 0.0), str(step.get("how", "")), colour="action")
    pen.node("step", "status", place, str(step.get("say", "")), focus=False)
    return place.bottom + 12.0
