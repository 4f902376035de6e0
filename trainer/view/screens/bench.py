"""The bench: strip above, board, clipboard, caption, options of the tool, tray.

Knows the state; changes nothing.
"""

from __future__ import annotations

from typing import NamedTuple

from trainer.session.text import clock
from trainer.view import fonts
from trainer.view.board.board import board, first_sight
from trainer.view.board.loupe import loupe
from trainer.view.board.replaying import as_then, replay
from trainer.view.board.seen import Seen, seen
from trainer.view.crossing import on_sheet, pointed
from trainer.view.language import again, tr
from trainer.view.moment import moment
from trainer.view.pen import Pen
from trainer.view.screens.options import LINE, options, options_high
from trainer.view.screens.pauses import pause, slip
from trainer.view.screens.strip import BOTH, LOWEST, strip, strip_high
from trainer.view.screens.tray import tray, tray_high
from trainer.view.shapes import Rect
from trainer.view.sheets.clipboard import clipboard
from trainer.view.sheets.trace import data_shown, replayed_s
from trainer.view.state import App, Job
from trainer.view.steady import Same, of, steady
from trainer.view.tools import BY_NAME

CAPTION = 28.0
#: Most lines of the caption; an answer with so many line breaks is a list.
LINES_MOST, LISTED = 2, 4


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
    narrow = wide < BOTH
    # where both are scarce a clipboard that is up needs the room, and no tool works on it
    away = narrow and high < LOWEST and app.compact_sheet
    tall = 0.0 if away else tray_high(wide, high)
    clip_w = min(max(wide * 0.32, 340.0), 560.0)
    board_w = wide if narrow else wide - clip_w - 12.0
    opts = options_high(app, board_w - 24.0)
    said = caption_high(app, board_w - 24.0)
    top = strip_high(app)
    middle = high - top - (tall + said + opts)
    clip = Rect(wide - clip_w - 8.0, top + 8.0, clip_w, high - top - tall - 16.0)
    if narrow:
        edge = 2.0 if away else 8.0
        clip = Rect(edge, top + edge, wide - 2.0 * edge, high - top - tall - said - edge - 4.0)
    return Places(
        Rect(0.0, 0.0, wide, top), Rect(4.0, top + 2.0, board_w - 8.0, middle - 4.0), clip,
        Rect(12.0, top + middle, board_w - 24.0, said),
        Rect(12.0, top + middle + said, board_w - 24.0, opts),
        Rect(0.0, high - tall, wide, tall), narrow,
    )  # fmt: skip


def bench(app: App, pen: Pen) -> None:
    job = app.job
    assert job is not None
    place = places(app)
    now = seen(job.bench, job.spots, job.slots)
    state = of(app)
    steady(pen, "strip", state, lambda p: strip(p, place.strip, app, job), place.strip)
    if not place.narrow or not app.compact_sheet:
        _at_hand(pen, place, app, job, now, state)
    else:
        under = Rect(place.caption.x, place.clip.bottom, place.caption.w, place.caption.h)
        caption(pen, under, job)
    if place.tray.h:
        steady(pen, "tray", state, lambda p: tray(p, place.tray, job), place.tray)
    if not place.narrow or app.compact_sheet:
        clipboard(pen, place.clip, app, job, now, state)
    if job.pause:
        pause(pen, app, job)


def _at_hand(pen: Pen, place: Places, app: App, job: Job, now: Seen, state: Same) -> None:
    """The board and what belongs to the hands at it."""
    zoom = first_sight(now, _usual(app, place), job.zoom)
    marked = pointed(pen) if job.mode == "guided" and on_sheet(pen) else ""
    t = replayed_s(job)
    now_then = moment(data_shown(job), t, job.slowed) if t is not None else None
    then = as_then(now, now_then) if now_then is not None else None
    lie = board(
        pen, place.board, now, job.held, takes_of(job), picks_of(job), zoom, marked, then
    )  # fmt: skip
    if t is not None and now_then is not None:
        still = app.settings.reduced_motion
        replay(pen, now, job.held, lie, now_then, t, still)
    if job.loupe:
        loupe(pen, place.board, job.bench, now, job.loupe, lie, said_of(job))
    if job.slip:
        slip(pen, place.board, job)
    steady(pen, "caption", state, lambda p: caption(p, place.caption, job), place.caption)
    # a gauge shows the window of the screw it would be put on
    aimed = tuple(n for n in (app.hover, app.focus) if n.startswith(("end.", "place.")))
    steady(
        pen, "options", state, lambda p: options(p, place.options, app, job), place.options, aimed
    )


def _usual(app: App, place: Places) -> Rect:
    """Room of the board with one line of caption and one of options: it must not go closer by
    itself when a tool has more to set."""
    high = app.size[1] - place.strip.h - place.tray.h - CAPTION - LINE - 4.0
    return Rect(place.board.x, place.board.y, place.board.w, high)


def takes_of(job: Job) -> frozenset[str]:
    """Kinds of thing that answer to the tool in hand."""
    tool = BY_NAME[job.tool]
    kinds = {kind for _, kind in tool.picks}
    if job.tool in ("hand", "look"):
        kinds |= {"part"}
    return frozenset(kinds)


def picks_of(job: Job) -> tuple[str, ...]:
    return (*job.picks, *((job.held,) if job.held else ()))


def said_of(job: Job) -> str:
    """What just happened on one line; a list is left to the clipboard."""
    if job.busy:
        return tr("…")
    found = []
    for words in map(again, job.said):
        first, _, rest = words.partition("\n")
        if rest.count("\n") >= LISTED:
            found.append(tr("{what}: see the clipboard.", what=first.rstrip(":. ")))
        else:
            found.append(" ".join(words.split()))
    return " ".join(found)


def caption_lines(job: Job, room: float, high: float) -> tuple[str, ...]:
    """At most two lines, one in the lowest window; what is longer is whole on the Job sheet."""
    lines, most = fonts.wrap(said_of(job), room), LINES_MOST if high >= LOWEST else 1
    if len(lines) <= most:
        return lines
    more = tr("(more on the Job sheet)")
    rest = fonts.shorten(" ".join(lines[most - 1 :]), room - fonts.width(f" {more}"))
    return (*lines[: most - 1], f"{rest} {more}")


def _time_wide(job: Job) -> float:
    return fonts.width(clock(job.bench.at_ms), "body", True) + 12.0


def caption_high(app: App, room: float) -> float:
    if app.job is None:
        return CAPTION
    lines = caption_lines(app.job, room - _time_wide(app.job), app.size[1])
    return CAPTION + fonts.height() * (len(lines) - 1)


def caption(pen: Pen, rect: Rect, job: Job) -> None:
    """What just happened and was heard, and when."""
    time = clock(job.bench.at_ms)
    y = rect.y + CAPTION / 2.0
    pen.words((rect.x, y), time, bold=True)
    x = rect.x + _time_wide(job)
    for n, line in enumerate(caption_lines(job, rect.right - x, pen.size[1])):
        pen.words((x, y + n * fonts.height()), line, room=rect.right - x)
    pen.node("caption", "status", rect, said_of(job) or time, focus=False)


def board_seen(app: App) -> Seen:
    assert app.job is not None
    return seen(app.job.bench, app.job.spots, app.job.slots)
