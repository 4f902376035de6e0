"""The Notebook: what the learner wrote down, photographs, and the forms to write more.

Knows the bench; changes nothing.
"""

from __future__ import annotations

from trainer.session.text import clock
from trainer.view import fonts
from trainer.view.board.seen import Seen
from trainer.view.language import term, tr
from trainer.view.pen import Pen
from trainer.view.shapes import Rect
from trainer.view.state import App, Job
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
    lines = _lines(job)
    area = Rect(rect.x, y, rect.w, rect.bottom - y)
    high = sum(len(fonts.wrap(t, rect.w - 20.0)) * fonts.height() + 10.0 for t in lines) + 10.0
    with scrolled(pen, "note", area, high) as place:
        y = place.y
        if not lines:
            pen.paragraph(
                Rect(place.x, y, place.w, 0.0), tr("Nothing is written down yet."), colour="quiet"
            )
        for text in lines:
            y = pen.paragraph(Rect(place.x, y, place.w - 4.0, 0.0), text) + 4.0
            pen.line([(place.x, y), (place.right, y)], "rule")
            y += 6.0


def _lines(job: Job) -> list[str]:
    """Records, labels and photographs in the order they were made."""
    found = []
    for e in job.events:
        if e.kind == "did" and e.data.get("what") in (
            "record",
            "fault",
            "name fault",
            "label unit",
        ):
            found.append(f"{clock(e.at_ms)}  {term('act', e.data['what'])} {e.data['to']}")
        elif e.kind == "photographed":
            found.append(
                f"{clock(e.at_ms)}  {tr('photograph')}: {e.data.get('shows', e.data['what'])}"
            )
    for tag, c in job.bench.unit.conductors.items():
        found += [
            f"{c.colour} {tag}, " + tr("end {side}: {label}", side=s, label=e.label)
            for s, e in (("a", c.a), ("b", c.b))
            if e.label
        ]
    return found
