"""The panel that stops the bench: what happened or would have happened, why, and the ways on.

Sober: what was touched, volts, current, how long, what that does, which act prevents it. Knows the
state; changes nothing.
"""

from __future__ import annotations

from trainer.view import fonts
from trainer.view.language import again, tr
from trainer.view.pen import Pen
from trainer.view.shapes import Message, Rect, Veil
from trainer.view.state import App, Job
from trainer.view.widgets import button, button_width


def pause(pen: Pen, app: App, job: Job) -> None:
    assert job.pause is not None
    what = job.pause
    wide = min(560.0, app.size[0] - 40.0)
    room = wide - 48.0
    lines = [again(str(x)) for x in what.get("lines", ())]
    high = 92.0 + sum(len(fonts.wrap(t, room)) * fonts.height() + 8.0 for t in lines) + 52.0
    high = min(high, app.size[1] - 20.0)
    rect = Rect((app.size[0] - wide) / 2.0, (app.size[1] - high) / 2.0, wide, high)
    pen.nodes = [n for n in pen.nodes if n.role == "status"]
    pen.add(Veil(pen.whole))
    pen.box(rect.moved(3.0, 5.0), "#101416", radius=10.0)
    grave = what.get("kind") == "harm"
    pen.box(rect, "sheet", "danger" if grave else "caution", 2.0, 10.0)
    ink = "danger" if grave else "caution"
    with pen.ground("sheet"):
        pen.picture("icons/warning", Rect(rect.x + 22.0, rect.y + 20.0, 26.0, 26.0), ink)
        pen.words((rect.x + 58.0, rect.y + 33.0), again(str(what.get("title", ""))), "title", True, ink,
                  room=room - 36.0)  # fmt: skip
        y = rect.y + 64.0
        for text in lines:
            y = pen.paragraph(Rect(rect.x + 24.0, y, room, 0.0), text) + 8.0
    pen.node("pause", "dialog", rect, again(str(what.get("title", ""))), focus=False)
    _ways(pen, rect, job, what.get("kind") == "harm")


def _ways(pen: Pen, rect: Rect, job: Job, harm: bool) -> None:
    assert job.pause is not None
    rows: list[tuple[str, str, Message, str]] = []
    if harm:
        rows.append(("back", tr("Go back to before it"), ("undo", 1), "main"))
        if not job.bench.over:
            rows.append(("on", tr("Leave it so"), ("unpause",), "plain"))
        else:
            rows.append(("debrief", tr("To the debrief"), ("debrief",), "plain"))
    else:
        rows.append(("other", tr("I will do something else"), ("unpause",), "main"))
        rows.append(("anyway", tr("Let it happen"), ("anyway", dict(job.pause["act"])), "plain"))
    x = rect.x + 24.0
    for name, label, on, kind in rows:
        wide = button_width(label)
        button(pen, f"pause.{name}", Rect(x, rect.bottom - 50.0, wide, 34.0), label, on, kind)  # type: ignore[arg-type]
        x += wide + 10.0
