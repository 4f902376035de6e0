"""The bench: strip above, board, clipboard, caption, options of the tool, tray.

Knows the state; changes nothing.
"""

from __future__ import annotations

from typing import NamedTuple

from trainer.session.text import clock
from trainer.view.board.board import board
from trainer.view.board.seen import Seen, seen
from trainer.view.language import tr
from trainer.view.pen import Pen
from trainer.view.screens.options import options, options_high
from trainer.view.screens.pauses import pause
from trainer.view.screens.strip import STRIP, strip
from trainer.view.screens.tray import tray, tray_high
from trainer.view.shapes import Rect
from trainer.view.sheets.clipboard import clipboard
from trainer.view.state import App, Job
from trainer.view.tools import BY_NAME

#: Below this width the clipboard lies over the board when it is asked for [logical px].
NARROW = 940.0
CAPTION = 28.0


class Places(NamedTuple):
    """Where the parts of the screen are."""

    strip: Rect
    board: Rect
    clip: Rect
    caption: Rect
    options: Rect
    tray: Rect
    narrow: bool


def places(app: App) -> Places:
    wide, high = app.size
    tall = tray_high(wide, high)
    narrow = wide < NARROW
    clip_w = min(max(wide * 0.32, 340.0), 560.0) if not narrow else min(wide - 20.0, 460.0)
    opts = options_high(app, (wide if narrow else wide - clip_w - 12.0) - 16.0)
    below = tall + CAPTION + opts
    top = STRIP
    middle = high - top - below
    board_w = wide if narrow else wide - clip_w - 12.0
    clip = Rect(wide - clip_w - 8.0, top + 8.0, clip_w, high - top - tall - 16.0)
    left = wide if narrow else board_w
    return Places(
        Rect(0.0, 0.0, wide, STRIP), Rect(4.0, top + 2.0, board_w - 8.0, middle - 4.0), clip,
        Rect(12.0, top + middle, left - 24.0, CAPTION),
        Rect(8.0, top + middle + CAPTION, left - 16.0, opts),
        Rect(0.0, high - tall, wide, tall), narrow,
    )  # fmt: skip


def bench(app: App, pen: Pen) -> None:
    job = app.job
    assert job is not None
    place = places(app)
    now = seen(job.bench, job.spots)
    strip(pen, place.strip, app, job)
    board(pen, place.board, now, job.held, takes_of(job), picks_of(job), job.zoom)
    caption(pen, place.caption, job)
    options(pen, place.options, app, job)
    tray(pen, place.tray, job)
    if not place.narrow or app.compact_sheet:
        clipboard(pen, place.clip, app, job, now)
    if job.pause:
        pause(pen, app, job)


def takes_of(job: Job) -> frozenset[str]:
    """Kinds of thing that answer to the tool in hand."""
    tool = BY_NAME[job.tool]
    kinds = {kind for _, kind in tool.picks}
    if job.tool in ("hand", "look"):
        kinds |= {"part"}
    return frozenset(kinds)


def picks_of(job: Job) -> tuple[str, ...]:
    return (*job.picks, *((job.held,) if job.held else ()))


def caption(pen: Pen, rect: Rect, job: Job) -> None:
    """One line of what just happened and was heard."""
    words = " ".join(job.said) if job.said else ""
    if job.busy:
        words = tr("…")
    time = clock(job.bench.at_ms)
    wide = pen.words((rect.x, rect.centre[1]), time, bold=True)
    x = rect.x + wide + 12.0
    pen.words((x, rect.centre[1]), words, room=rect.right - x)
    pen.node("caption", "status", rect, words or time, focus=False)


def board_seen(app: App) -> Seen:
    assert app.job is not None
    return seen(app.job.bench, app.job.spots)
