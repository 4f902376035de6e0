"""Readings in a form, picked by a click: cited for a value, or as evidence with what each means.

Knows readings as events and the state; changes nothing.
"""

from __future__ import annotations

from typing import get_args

from trainer.scenario.readings import Meaning
from trainer.view.language import term, tr
from trainer.view.pen import Pen
from trainer.view.shapes import Rect
from trainer.view.sheets.meter import ROW as READING
from trainer.view.sheets.meter import reading
from trainer.view.state import Job
from trainer.view.widgets import ROW, choice

#: Chips of the seven meanings take two lines at most on the narrowest sheet.
MEANINGS = 2 * (ROW + 4.0)


def picked(job: Job) -> tuple[int, ...]:
    """Numbers of the readings that the open form cites."""
    one = job.form_values.get("reading", 0)
    return (*job.form_values.get("evidence", ()), *((one,) if one else ()))


def readings_high(job: Job) -> float:
    count = sum(e.kind == "read" for e in job.events)
    cited = len(job.form_values.get("evidence", ()))
    return 34.0 + max(count, 1) * READING + cited * MEANINGS


def readings(pen: Pen, rect: Rect, job: Job, label: str) -> float:
    """Every reading, the newest first; returns the y below them."""
    pen.words((rect.x, rect.y + 11.0), label, colour="quiet", room=rect.w)
    y = rect.y + 26.0
    rows = [(e.seq, e.data) for e in job.events if e.kind == "read"][::-1]
    if not rows:
        pen.words((rect.x + 4.0, y + 12.0), tr("None taken yet."), colour="quiet", room=rect.w)
        y += READING
    cited = picked(job)
    for seq, data in rows:
        name = f"form.{job.form}.reading.{seq}"
        place = Rect(rect.x, y, rect.w, READING - 2.0)
        reading(pen, place, seq, data, name, seq in cited, ("form reading", seq))
        y += READING
        if seq in job.form_values.get("evidence", ()):
            _meaning(pen, Rect(rect.x + 16.0, y, rect.w - 16.0, MEANINGS), job, seq)
            y += MEANINGS
    return y + 8.0


def _meaning(pen: Pen, rect: Rect, job: Job, seq: int) -> None:
    now = str(job.form_values.get("means", {}).get(seq, ""))
    rows = [(m, term("meaning", m)) for m in get_args(Meaning)]
    prefix = f"form.{job.form}.meaning.{seq}"
    choice(pen, prefix, (rect.x, rect.y), rect.w, rows, now, ("form meaning", seq))
