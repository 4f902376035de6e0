"""The Notebook: what the learner wrote down, photographs, and the forms to write more.

Knows the bench; changes nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from trainer.session.text import clock
from trainer.view import fonts
from trainer.view.board.seen import Seen
from trainer.view.forms import words_for
from trainer.view.language import again, spelt, term, tr
from trainer.view.pen import Pen
from trainer.view.shapes import Rect
from trainer.view.state import App, Job
from trainer.view.theme import TARGET
from trainer.view.widgets import button, button_width, scrolled


def notebook(pen: Pen, rect: Rect, app: App, job: Job, seen: Seen) -> None:
    x, y = rect.x, rect.y
    for name, label, on in (
        ("record", tr("Write a value"), ("form", "record")),
        ("fault", tr("Name the fault"), ("form", "name fault")),
        ("photo", tr("Photograph"), ("form", "photograph")),
        ("unit", tr("Label the unit"), ("form", "label unit")),
    ):
        wide = button_width(label) - 8.0
        if x + wide > rect.right and x > rect.x:
            x, y = rect.x, y + 38.0
        button(pen, f"note.{name}", Rect(x, y, wide, 32.0), label, on)
        x += wide + 6.0
    y += 44.0
    entries = _entries(job)
    area = Rect(rect.x, y, rect.w, rect.bottom - y)
    room = rect.w - TARGET - 4.0  # beside the bar, should it be needed
    with scrolled(pen, "note", area, sum(_high(e, room) for e in entries) + 10.0) as place:
        y = place.y
        if not entries:
            pen.paragraph(
                Rect(place.x, y, place.w, 0.0), tr("Nothing is written down yet."), colour="quiet"
            )
        for entry in entries:
            y = _write(pen, Rect(place.x, y, room, 0.0), entry)


class Entry(NamedTuple):
    """What was noted, its value, and smaller lines beneath: when, from which reading, what is
    seen on a photograph.
    """

    title: str
    value: str
    under: tuple[str, ...]


def _title_room(e: Entry, wide: float) -> float:
    return wide - (fonts.width(e.value, "body", True) + 12.0 if e.value else 0.0)


def _high(e: Entry, wide: float) -> float:
    lines = len(fonts.wrap(e.title, _title_room(e, wide))) * fonts.height()
    under = sum(len(fonts.wrap(t, wide, "tag")) for t in e.under) * fonts.height("tag")
    return lines + under + 13.0


def _write(pen: Pen, rect: Rect, e: Entry) -> float:
    at = rect.right, rect.y + fonts.height() / 2.0
    pen.words(at, e.value, bold=True, align="right", room=rect.w * 0.6)
    y = pen.paragraph(Rect(rect.x, rect.y, _title_room(e, rect.w), 0.0), e.title)
    for text in e.under:
        y = pen.paragraph(Rect(rect.x, y, rect.w, 0.0), text, "tag", colour="quiet")
    pen.line([(rect.x, y + 6.0), (rect.right, y + 6.0)], "rule")
    return y + 13.0


def _entries(job: Job) -> list[Entry]:
    """Records, labels and photographs in the order they were made."""
    found: list[Entry] = []
    asked: Mapping[str, Any] = {}
    for e in job.events:
        if e.kind == "asked":
            asked = e.data
        elif e.kind == "did" and e.data.get("what") in NOTED:
            found.append(NOTED[e.data["what"]](clock(e.at_ms), asked))
        elif e.kind == "photographed":
            found.append(_photograph(clock(e.at_ms), e.data))
    for tag, c in job.bench.unit.conductors.items():
        found += [
            Entry(f"{c.colour} {tag}, " + tr("end {side}: {label}", side=s, label=e.label), "", ())
            for s, e in (("a", c.a), ("b", c.b))
            if e.label
        ]
    return found


def _record(time: str, asked: Mapping[str, Any]) -> Entry:
    words = [time]
    if asked.get("reading"):
        words.append(tr("reading {n}", n=asked["reading"]))
    if asked.get("verdict"):
        words.append(term("choice", asked["verdict"]))
    what = again(str(asked["what"]))
    return Entry(what[:1].upper() + what[1:], str(asked["value"]), (", ".join(words),))


def _fault(time: str, asked: Mapping[str, Any]) -> Entry:
    cited = [tr("reading {n}", n=n) for n in asked.get("evidence", ())]
    return Entry(words_for(str(asked["fault"])), "", (", ".join([time, *cited]),))


def _labelled(time: str, asked: Mapping[str, Any]) -> Entry:
    return Entry(str(asked["text"]), "", (f"{time}, " + tr("label on the unit"),))


def _photograph(time: str, data: Mapping[str, Any]) -> Entry:
    """What is seen on it, a terminal a line."""
    title = tr("Photograph of {part}", part=spelt(data["what"]))
    shows = str(data.get("shows", "")).removeprefix(f"{data['what']}: ").rstrip(".")
    lines = [t.removeprefix(f"{data['what']}.") for t in shows.split(". ") if t]
    return Entry(title, "", (time, *(again(line) for line in lines)))


NOTED: Mapping[str, Callable[[str, Mapping[str, Any]], Entry]] = {
    "record": _record, "name fault": _fault, "label unit": _labelled,
}  # fmt: skip
