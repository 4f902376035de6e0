"""The clipboard: five sheets, or a form laid over them. Knows the state; changes nothing."""

from __future__ import annotations

from collections.abc import Callable

from trainer.view.board.seen import Seen
from trainer.view.language import later as _
from trainer.view.language import tr
from trainer.view.pen import Pen
from trainer.view.shapes import Rect
from trainer.view.sheets.diagram import diagram
from trainer.view.sheets.form import form
from trainer.view.sheets.job import job_sheet, step_in_short
from trainer.view.sheets.meter import meter
from trainer.view.sheets.notebook import notebook
from trainer.view.sheets.trace import trace
from trainer.view.state import App, Job
from trainer.view.steady import Same, steady
from trainer.view.widgets import tabs

SHEETS = (
    ("job", _("Job")), ("diagram", _("Diagram")), ("meter", _("Meter")), ("trace", _("Trace")),
    ("note", _("Notebook")),
)  # fmt: skip
DRAW: dict[str, Callable[[Pen, Rect, App, Job, Seen], None]] = {
    "job": job_sheet, "diagram": diagram, "meter": meter, "note": notebook,
}  # fmt: skip
CLAMP = 20.0
#: A clipboard lower than this is paper alone. [logical px]
LOW = 330.0


def clipboard(pen: Pen, rect: Rect, app: App, job: Job, seen: Seen, state: Same) -> None:
    inside: Rect = steady(pen, "clipboard", state, lambda p: _paper(p, rect, job), rect)
    with pen.ground("sheet"):
        if job.form:
            steady(pen, "form", state, lambda p: form(p, inside, app, job), inside)
            return
        if job.sheet == "trace":  # of which a replay moves a part
            trace(pen, inside, app, job, state)
            return
        draw = DRAW[job.sheet]
        # the diagram shows what is pointed at on the board
        at = (pen.hover, pen.focus) if draw is diagram else ()
        steady(pen, "sheet", state, lambda p: draw(p, inside, app, job, seen), inside, at)


def _paper(pen: Pen, rect: Rect, job: Job) -> Rect:
    """Board, clamp, tabs and in guided mode the step; returns the room of the sheet."""
    low = rect.h < LOW
    paper = _plain(pen, rect) if low else _clamped(pen, rect)
    with pen.ground("sheet"):
        top = Rect(paper.x + 6.0, paper.y + 4.0, paper.w - 12.0, 34.0)
        if low and job.form:  # its own way out stands above it
            top = Rect(top.x, top.y, top.w, 0.0)
        else:
            chosen = "" if job.form else job.sheet
            tabs(pen, "sheet", top, [(n, tr(label)) for n, label in SHEETS], chosen)
        inside = Rect(
            paper.x + 14.0, top.bottom + 10.0, paper.w - 26.0, paper.bottom - top.bottom - 18.0
        )
        return step_in_short(pen, inside, job) if job.form or job.sheet != "job" else inside


def _clamped(pen: Pen, rect: Rect) -> Rect:
    """The board with its clamp; returns the paper on it."""
    board = Rect(rect.x, rect.y + CLAMP / 2.0, rect.w, rect.h - CLAMP / 2.0)
    pen.box(board.moved(3.0, 4.0), "rule", radius=10.0)
    pen.box(board, "board", "casing", 1.5, 10.0)
    paper = Rect(rect.x + 10.0, rect.y + CLAMP + 6.0, rect.w - 20.0, rect.h - CLAMP - 16.0)
    pen.box(paper, "sheet", "edge", 1.0, 3.0)
    x = rect.centre[0]
    pen.box(Rect(x - 52.0, rect.y + 2.0, 104.0, 24.0), "metal_edge", "casing", 1.5, 6.0)
    pen.box(Rect(x - 24.0, rect.y - 3.0, 48.0, 12.0), "metal", "casing", 1.5, 5.0)
    _stops(pen, board)
    return paper


def _plain(pen: Pen, rect: Rect) -> Rect:
    """In a low window the paper alone, with a rim of the board."""
    pen.box(rect, "board", "casing", 1.5, 6.0)
    paper = rect.inset(4.0)
    pen.box(paper, "sheet", "edge", 1.0, 3.0)
    _stops(pen, rect)
    return paper


def _stops(pen: Pen, board: Rect) -> None:
    """Nothing behind the clipboard answers through it."""
    pen.node("clipboard", "group", board, tr("Clipboard"), ("nothing",), focus=False)
