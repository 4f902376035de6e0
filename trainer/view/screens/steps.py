"""Steps through an attempt: the bench as it was at each event of the timeline, and where the wiring
differs from what was wanted.

Knows the state and a page; changes nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from trainer.session.bench import Bench
from trainer.session.events import Event
from trainer.session.text import clock
from trainer.view import fonts
from trainer.view.board.board import board, first_sight
from trainer.view.board.seen import seen
from trainer.view.language import again, tr
from trainer.view.pen import Pen
from trainer.view.screens import differing
from trainer.view.screens.strip import LOWEST
from trainer.view.shapes import Rect
from trainer.view.state import App, Job
from trainer.view.theme import TARGET
from trainer.view.widgets import button, scrolled

LIST = 380.0
#: The bench last folded: whose events, up to which, and what came out.
_KEPT: dict[int, tuple[int, Bench]] = {}


def steps(app: App, pen: Pen) -> None:
    job, page = app.job, app.page
    assert job is not None and page is not None
    rows: Sequence[Mapping[str, Any]] = page.get("timeline", ())
    wide, high = app.size
    pen.box(Rect(0.0, 0.0, wide, 46.0), "paper")
    pen.line([(0.0, 46.0), (wide, 46.0)], "rule")
    with pen.ground("paper"):
        button(
            pen,
            "steps.back",
            Rect(10.0, 6.0, 170.0, 34.0),
            tr("Back to the debrief"),
            ("screen", "debrief"),
        )
        pen.words((194.0, 23.0), tr("Step by step"), "heading", True, room=wide - 210.0)
    narrow = wide < 900.0 and high >= LOWEST  # a low window has no room beneath the board
    side = wide - 16.0 if narrow else min(LIST, 0.45 * wide)
    left = Rect(
        4.0,
        50.0,
        (wide if narrow else wide - side - 16.0) - 8.0,
        high * (0.55 if narrow else 1.0) - 58.0,
    )
    right = (
        Rect(8.0, left.bottom + 6.0, side, high - left.bottom - 12.0)
        if narrow
        else Rect(wide - side - 8.0, 56.0, side, high - 64.0)
    )
    now = seen(bench_at(job.events, app.step_at), job.spots)
    view = Rect(left.x, left.y, left.w, left.h - 34.0)
    found = differing.marks(differing.differing(page)) if at_end(app) else []
    if found:
        now = differing.uncovered(now)
    lie = board(pen, view, now, "", (), (), first_sight(now, view, job.zoom))
    pen.nodes = [n for n in pen.nodes if not n.name.startswith(("end.", "place.", "cover."))]
    beneath = Rect(left.x + 8.0, view.bottom, left.w - 16.0, 34.0)
    if found:
        differing.draw(pen, lie, now, found, lie.view)
        differing.legend(pen, beneath)
    else:
        _words(pen, beneath, rows, app.step_at)
    _list(pen, right, rows, job, app)


def at_end(app: App) -> bool:
    return app.job is not None and app.step_at >= app.job.events[-1].seq


def bench_at(events: tuple[Event, ...], seq: int) -> Bench:
    """The bench after an event, folded on from where it was folded last if that was earlier."""
    from trainer.session.evolve import evolve, fold

    key = id(events)
    seq = max(min(seq, events[-1].seq), events[0].seq)
    last, bench = _KEPT.get(key, (0, None))
    if bench is None or last > seq:
        last, bench = events[0].seq, fold(events[:1])
    for event in events[last:seq]:
        bench = evolve(bench, event)
    _KEPT.clear()
    _KEPT[key] = seq, bench
    return bench


def _words(pen: Pen, rect: Rect, rows: Sequence[Mapping[str, Any]], seq: int) -> None:
    here = [r for r in rows if int(r["event"]) <= seq]
    words = (
        f"{clock(int(here[-1]['at_ms']))}  {again(here[-1]['words'])}"
        if here
        else tr("As it was found.")
    )
    pen.words((rect.x, rect.centre[1]), words, bold=True, room=rect.w)


def _list(pen: Pen, rect: Rect, rows: Sequence[Mapping[str, Any]], job: Job, app: App) -> None:
    pen.box(rect, "sheet", "edge", 1.0, 6.0)
    numbers = [job.events[0].seq, *(int(r["event"]) for r in rows), job.events[-1].seq]
    here = max((k for k, n in enumerate(numbers) if n <= app.step_at), default=0)
    before, after = numbers[max(here - 1, 0)], numbers[min(here + 1, len(numbers) - 1)]
    each = (rect.w - 28.0) / 2.0
    with pen.ground("sheet"):
        button(
            pen,
            "steps.before",
            Rect(rect.x + 10.0, rect.y + 10.0, each, 36.0),
            tr("Step back"),
            ("step at", before),
            enabled=here > 0,
        )
        button(
            pen,
            "steps.after",
            Rect(rect.x + 18.0 + each, rect.y + 10.0, each, 36.0),
            tr("Step on"),
            ("step at", after),
            "main",
            enabled=here < len(numbers) - 1,
        )
        area = Rect(rect.x + 10.0, rect.y + 54.0, rect.w - 18.0, rect.h - 62.0)
        shown = [(int(r["event"]), f"{clock(int(r['at_ms']))}  {again(r['words'])}") for r in rows]
        shown.append((job.events[-1].seq, end_words(app.page or {})))
        room = area.w - TARGET - 4.0 - 16.0  # as bold as the chosen one, and beside the bar
        heights = [
            len(fonts.wrap(words, room, "body", True)) * fonts.height() + 10.0 for _, words in shown
        ]
        # the chosen line is in sight until somebody scrolls
        above = sum(heights[: next((k for k, r in enumerate(shown) if r[0] == numbers[here]), 0)])
        pen.scrolls.setdefault("steps", max(above - area.h / 3.0, 0.0))
        with scrolled(pen, "steps", area, sum(heights) + 6.0) as place:
            y = place.y
            for (seq, words), high in zip(shown, heights, strict=True):
                _line(pen, Rect(place.x, y, place.w, high - 2.0), seq, words, seq == numbers[here])
                y += high


def end_words(page: Mapping[str, Any]) -> str:
    """The last line of the list: what differs, or that nothing does."""
    if not page.get("mark", {}).get("wiring", {}).get("rows"):
        return tr("The end.")
    if not differing.differing(page):
        return tr("The end: the wiring is the circuit of the diagram.")
    told = " ".join(again(x) for x in page["mark"]["wiring"].get("sentences", ()))
    return tr("The end, covers off: where the wiring differs is marked on the board.") + f" {told}"


def _line(pen: Pen, rect: Rect, seq: int, words: str, chosen: bool) -> None:
    name = f"steps.{seq}"
    fill = "wash" if chosen or pen.is_over(name) else ""
    if fill:
        pen.box(rect, fill, radius=4.0)
    with pen.ground(fill or pen.on):
        pen.paragraph(Rect(rect.x + 8.0, rect.y + 4.0, rect.w - 16.0, 0.0), words, bold=chosen)
    if pen.nodes and any(n.name == name for n in pen.nodes):
        name = f"{name}.end"
    pen.node(name, "row", rect, words, ("step at", seq), chosen=chosen)
