"""The panel that stops the bench, and the note of a slip that does not.

In practice one line first, the rest on demand. Sober: what was touched, volts, current, how long,
what that does, which act prevents it. Knows the state; changes nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from trainer.view import fonts
from trainer.view.harm import may_be_left
from trainer.view.language import again, tr
from trainer.view.pen import Pen
from trainer.view.shapes import Message, Point, Rect, Veil
from trainer.view.state import App, Job
from trainer.view.widgets import button, button_width, flowing

#: What stands at the foot of the board: its bar and the way to the whole board.
BARS = 32.0
#: Small things of the board that a note laid on it hides.
BENEATH = ("place.", "end.", "flag.", "far.")


def pause(pen: Pen, app: App, job: Job) -> None:
    assert job.pause is not None
    what = job.pause
    wide = min(560.0, app.size[0] - 40.0)
    room = wide - 48.0
    lines = [again(str(x)) for x in shown_lines(what, job)]
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


def shown_lines(what: Mapping[str, Any], job: Job) -> list[str]:
    """All of them, or in practice the first until why is asked."""
    lines = [str(x) for x in what.get("lines", ())]
    return lines if what.get("open") or job.mode != "practice" else lines[:1]


def _why(what: Mapping[str, Any], job: Job) -> tuple[tuple[str, str, Message, str], ...]:
    """The button that unfolds the rest, where there is more."""
    if job.mode != "practice" or len(what.get("lines", ())) < 2:
        return ()
    return (("why", tr("Only the line") if what.get("open") else tr("Why"), ("why",), "plain"),)


def _ways(pen: Pen, rect: Rect, job: Job, harm: bool) -> None:
    assert job.pause is not None
    rows: list[tuple[str, str, Message, str]] = []
    if harm:
        rows.append(("back", tr("Go back to before it"), ("undo", 1), "main"))
        rows += _why(job.pause, job)
        if job.bench.over:
            rows.append(("debrief", tr("To the debrief"), ("debrief",), "plain"))
        elif may_be_left(job):
            rows.append(("on", tr("Leave it so"), ("unpause",), "plain"))
    else:
        rows.append(("other", tr("I will do something else"), ("unpause",), "main"))
        rows.append(("anyway", tr("Let it happen"), ("anyway", dict(job.pause["act"])), "plain"))
    _buttons(pen, "pause", (rect.x + 24.0, rect.bottom - 50.0), rows)


def _buttons(
    pen: Pen, prefix: str, at: Point, rows: Iterable[tuple[str, str, Message, str]]
) -> None:
    x, y = at
    for name, label, on, kind in rows:
        wide = button_width(label)
        button(pen, f"{prefix}.{name}", Rect(x, y, wide, 34.0), label, on, kind)  # type: ignore[arg-type]
        x += wide + 10.0


def _hide_under(pen: Pen, rect: Rect) -> None:
    """What a note covers does not answer until it is folded away."""
    pen.nodes = [n for n in pen.nodes if not (n.name.startswith(BENEATH) and n.seen.meets(rect))]


def _paragraphs(pen: Pen, rect: Rect, lines: Sequence[str]) -> float:
    y = rect.y
    for n, text in enumerate(lines):
        y = pen.paragraph(Rect(rect.x, y + (6.0 if n else 0.0), rect.w, 0.0), text)
    return y


def _folded(pen: Pen, room: Rect, title: str) -> None:
    """No more than a sign that brings the note back."""
    wide = min(fonts.width(title) + 52.0, room.w - 24.0, 420.0)
    rect = Rect(room.x + 12.0, room.bottom - 28.0 - BARS, wide, 28.0)
    _hide_under(pen, rect)
    pen.box(rect, "wash" if pen.is_over("slip.unfold") else "sheet", "caution", 1.5, 6.0)
    with pen.ground("sheet"):
        pen.picture("icons/warning", Rect(rect.x + 8.0, rect.y + 5.0, 18.0, 18.0), "caution")
        pen.words((rect.x + 34.0, rect.centre[1]), title, room=wide - 42.0)
    pen.node("slip.unfold", "button", rect, title, ("fold",))


def slip(pen: Pen, room: Rect, job: Job) -> None:
    """At the foot of the board: what the last act did against a rule. The bench goes on."""
    assert job.slip is not None
    what = job.slip
    if what.get("folded"):
        _folded(pen, room, str(what["title"]))
        return
    wide = min(room.w - 24.0, 640.0)
    title = fonts.wrap(str(what["title"]), wide - 62.0, "body", True)
    lines = [str(x) for x in what["lines"]] if what.get("open") else []
    inner = sum(len(fonts.wrap(t, wide - 32.0)) * fonts.height() + 6.0 for t in lines)
    high = min(len(title) * fonts.height() + inner + 66.0, room.h - BARS)
    rect = Rect(room.x + 12.0, room.bottom - high - BARS, wide, high)
    _hide_under(pen, rect)
    pen.box(rect.moved(3.0, 4.0), "edge", radius=8.0)
    pen.box(rect, "sheet", "caution", 2.0, 8.0)
    pen.node("slip", "group", rect, str(what["title"]), ("nothing",), focus=False)
    with pen.ground("sheet"):
        pen.picture("icons/warning", Rect(rect.x + 14.0, rect.y + 9.0, 22.0, 22.0), "caution")
        place = Rect(rect.x + 46.0, rect.y + 11.0, wide - 62.0, 0.0)
        y = pen.paragraph(place, str(what["title"]), bold=True, colour="caution") + 6.0
        area = Rect(rect.x + 16.0, y, wide - 32.0, max(rect.bottom - 46.0 - y, 0.0))
        if lines:
            flowing(pen, "slip", area, lambda p, place: _paragraphs(p, place, lines))
        rows = [("back", tr("Go back to before it"), ("undo", 1), "main"), *_why(what, job)]
        if what.get("shown"):
            rows.append(("on", tr("Let it happen"), ("unslip",), "plain"))
        else:
            rows.append(("fold", tr("Fold away"), ("fold",), "plain"))
        _buttons(pen, "slip", (rect.x + 14.0, rect.bottom - 43.0), rows)
