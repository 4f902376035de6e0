"""The Meter sheet: the instrument that goes with the tool, drawn; its settings, leads and readings.

Knows the bench; changes nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from trainer.view import fonts
from trainer.view.board.seen import Seen
from trainer.view.language import again, spelt, term, tr
from trainer.view.pen import Pen
from trainer.view.shapes import Message, Rect
from trainer.view.sheets.scope import scope
from trainer.view.state import App, Job
from trainer.view.theme import TARGET
from trainer.view.tools import BY_NAME
from trainer.view.widgets import button, button_width, choice, scrolled

#: Height of the drawn instrument, and of a row of readings.
BODY, ROW = 132.0, 40.0
#: Least height for the readings; where there is less the whole sheet scrolls.
READINGS = 110.0
#: Settings of instruments by name; the scope is set by its own options.
NO_SETTING = ("scope",)


def meter(pen: Pen, rect: Rect, app: App, job: Job, seen: Seen) -> None:
    """The instrument above, its readings below; a low sheet scrolls as a whole."""
    top = _top(Pen(pen.size), rect, job) - rect.y + 8.0
    if rect.h - top >= READINGS:
        y = _top(pen, rect, job) + 8.0
        _readings(pen, Rect(rect.x, y, rect.w, rect.bottom - y), job)
        return
    count = sum(e.kind == "read" for e in job.events)
    # beside the bar the settings may need a line more
    beside = Rect(rect.x, rect.y, rect.w - TARGET - 4.0, rect.h)
    top = _top(Pen(pen.size), beside, job) - rect.y + 8.0
    high = top + 28.0 + max(count, 1) * ROW
    with scrolled(pen, "meter", rect, high) as place:
        y = _top(pen, place, job) + 8.0
        _readings(pen, Rect(place.x, y, place.w, 28.0 + max(count, 1) * ROW), job, False)


def _top(pen: Pen, rect: Rect, job: Job) -> float:
    """The instrument, its settings and checks; returns the y below them."""
    from trainer.instruments.table import INSTRUMENTS

    name = BY_NAME[job.tool].instrument or job.bench.instrument or "meter"
    kind = INSTRUMENTS.get(name)
    if name == "scope":
        return scope(pen, rect, job)
    y = _instrument(pen, Rect(rect.x, rect.y, rect.w, BODY), job, name, called_of(name))
    if kind is not None:
        rows = [(s, term("setting", s)) for s in kind.settings]
        now = job.bench.setting_of(name) if job.bench.instrument == name else ""
        pen.words((rect.x, y + 12.0), tr("Take it up, set to"), colour="quiet", room=rect.w)
        y = choice(pen, f"select.{name}", (rect.x, y + 26.0), rect.w, rows, now, ("select", name))
        y = _checks(pen, Rect(rect.x, y + 8.0, rect.w, 34.0), name)
    return y


def _instrument(pen: Pen, rect: Rect, job: Job, name: str, called: str) -> float:
    """A body of our own with a display, a setting and its leads."""
    pen.box(rect, "caution_wash", "casing", 2.0, 14.0)
    display = Rect(rect.x + 14.0, rect.y + 12.0, rect.w - 28.0, 58.0)
    pen.box(display, "#DDE3D6", "casing", 1.5, 6.0)
    last = next((r for r in reversed(job.bench.readings) if r["instrument"] == name), None)
    in_hand = job.bench.instrument == name
    shown = again(str(last["shown"]["text"])) if last and in_hand else ""
    setting = term("setting", job.bench.setting_of(name)) if in_hand else tr("in its pouch")
    with pen.ground("#DDE3D6"):
        pen.words((display.right - 14.0, display.y + 24.0), shown or "– – –", "title", True,
                  "#1F2A30", "right", display.w - 28.0)  # fmt: skip
        note = again(str(last["shown"].get("note", ""))) if last and in_hand else ""
        pen.words((display.x + 10.0, display.bottom - 12.0), note, "tag", colour="#1F2A30",
                  room=display.w - 20.0)  # fmt: skip
    with pen.ground("caution_wash"):
        pen.words((rect.x + 16.0, rect.bottom - 44.0), called, bold=True, room=rect.w * 0.6)
        pen.words(
            (rect.right - 16.0, rect.bottom - 44.0), setting, align="right", room=rect.w * 0.4
        )
        _leads(pen, rect, job, last if in_hand else None)
    said = f"{called}, {setting}: {shown or tr('shows nothing')}"
    pen.node("meter", "status", rect, said, focus=False)
    return rect.bottom + 6.0


def called_of(name: str) -> str:
    """An instrument's name as a person says it."""
    from trainer.instruments.table import INSTRUMENTS

    kind = INSTRUMENTS.get(name)
    return term("instrument", kind.name) if kind else name


def _leads(pen: Pen, rect: Rect, job: Job, last: Mapping[str, Any] | None) -> None:
    """Where the leads are: picked now, or where they were for the last reading."""
    tool = BY_NAME[job.tool]
    if job.picks and tool.instrument:
        rows = [(f, p) for (f, _), p in zip(tool.picks, job.picks, strict=False)]
    else:
        rows = list(last["leads"].items()) if last else []
    named = [f"{term('field', lead)} {spelt(place)}" for lead, place in rows]
    words = "   ".join(named) or tr("leads on nothing")
    whole = fonts.width(words, "tag") <= rect.w - 66.0
    pen.ring((rect.x + 22.0, rect.bottom - 19.0), 6.0, "#9E2A22", "casing", 1.5)
    pen.ring((rect.x + 38.0, rect.bottom - 19.0), 6.0, "#2B3135", "casing", 1.5)
    lines = [words] if whole or len(named) != 2 else named
    for n, line in enumerate(lines):
        y = rect.bottom - 19.0 + (n - (len(lines) - 1) / 2.0) * fonts.height("tag")
        pen.words((rect.x + 54.0, y), line, "tag", room=rect.w - 66.0)


def _checks(pen: Pen, rect: Rect, name: str) -> float:
    x = rect.x
    for key, label, act in (
        ("check", tr("Self-check"), {"act": "self check", "instrument": name}),
        ("leads", tr("Look at the leads"), {"act": "inspect leads", "instrument": name}),
    ):
        wide = button_width(label) - 8.0
        button(pen, f"meter.{key}", Rect(x, rect.y, wide, 32.0), label, ("act", act))
        x += wide + 6.0
    return rect.bottom


def _readings(pen: Pen, rect: Rect, job: Job, scrolls: bool = True) -> None:
    """Every reading, the newest first; one can be cited in the notebook."""
    pen.words((rect.x, rect.y + 11.0), tr("Readings"), "heading", True)
    count = sum(e.kind == "read" for e in job.events)
    area = Rect(rect.x, rect.y + 28.0, rect.w, max(rect.h - 28.0, 0.0))
    if not count:
        pen.paragraph(area, tr("None taken yet."), colour="quiet")
    elif scrolls:
        with scrolled(pen, "readings", area, count * ROW) as place:
            _rows(pen, place, job)
    else:
        _rows(pen, area, job)


def _rows(pen: Pen, place: Rect, job: Job) -> None:
    y = place.y
    for e in reversed([e for e in job.events if e.kind == "read"]):
        row = Rect(place.x, y, place.w, ROW - 2.0)
        reading(pen, row, e.seq, e.data, f"reading.{e.seq}", e.seq in job.cited, ("cite", e.seq))
        y += ROW


def reading(
    pen: Pen, rect: Rect, seq: int, data: Mapping[str, Any], name: str, cited: bool, on: Message
) -> None:
    """One reading: number, where, what was shown; picking it cites it."""
    fill = "wash" if cited or pen.is_over(name) else ""
    if fill:
        pen.box(rect, fill, radius=4.0)
    leads = " → ".join(spelt(str(p)) for p in data["leads"].values())
    shown = again(str(data["shown"]["text"])) or tr("nothing")
    used = f"{called_of(data['instrument'])} {term('setting', data['setting'])}"
    added = str(data["shown"].get("note") or "")
    note = f" {again(added)}" if added not in ("", data["setting"]) else ""
    with pen.ground(fill or pen.on):
        # long names have their line to themselves, the figure stands beneath
        room = rect.w - 8.0
        beneath = fonts.width(leads) > rect.w * 0.62
        wide = fonts.width(shown, "body", True) + 10.0
        y = rect.y + (28.0 if beneath else 11.0)
        pen.words((rect.x + 4.0, rect.y + 11.0), leads, room=room if beneath else rect.w * 0.62)
        pen.words((rect.right - 4.0, y), shown, bold=True, align="right", room=rect.w * 0.36)
        words = f"{seq}, {used}{note}"
        room -= min(wide, rect.w * 0.36) if beneath else 0.0
        pen.words((rect.x + 4.0, rect.y + 28.0), words, "tag", colour="quiet", room=room)
    said = tr("reading {n}", n=seq) + f": {used} {leads}: {shown}{note}"
    pen.node(name, "row", rect, said, on, chosen=cited)
