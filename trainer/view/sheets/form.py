"""Forms on the clipboard: every act by name, hints, and how an attempt is finished.

Knows forms and the state; changes nothing.
"""

from __future__ import annotations

from typing import Any

from trainer.view import fonts
from trainer.view.forms import SHORT, cites, fields_of, list_for, matching, words_for
from trainer.view.language import again, spelt, term, tr
from trainer.view.language import later as _
from trainer.view.pen import Pen
from trainer.view.shapes import Message, Rect
from trainer.view.sheets.citing import readings, readings_high
from trainer.view.state import App, Job
from trainer.view.theme import TARGET
from trainer.view.widgets import ROW, button, button_width, choice, field, flowing, row, scrolled

GROUPS = {
    "planning": _("Plan and look"), "isolating": _("Switch, lock, wait"),
    "measuring": _("Measure"), "wiring": _("A conductor's end"),
    "noting": _("Parts, records, finish"),
}  # fmt: skip
TIERS = ((1, _("Where to look")), (2, _("What to think of")), (3, _("What to do")))
#: At most so many offers are shown as chips; the rest are typed.
OFFERS = 80
#: A form lower than this has no foot of its own. [logical px]
LOW = 190.0


def form(pen: Pen, rect: Rect, app: App, job: Job) -> None:
    title = {"list": tr("Every act"), "hint": tr("Hints"), "finish": tr("Finish")}.get(
        job.form, term("act", job.form)
    )
    pen.words(
        (rect.x, rect.y + 14.0), title[:1].upper() + title[1:], "heading", True, room=rect.w - 90.0
    )
    button(
        pen,
        "form.close",
        Rect(rect.right - 80.0, rect.y - 2.0, 80.0, 32.0),
        tr("Close"),
        ("form", ""),
        "quiet",
    )
    inside = Rect(rect.x, rect.y + 40.0, rect.w, rect.h - 40.0)
    flows = {"hint": _hints, "finish": _finish}.get(job.form)
    if flows is not None:
        flowing(pen, "form", inside, lambda p, place: flows(p, place, app, job))
    else:
        (_every if job.form == "list" else _fields)(pen, inside, app, job)


def _every(pen: Pen, rect: Rect, app: App, job: Job) -> None:
    from trainer.session.acts import ACTS

    typed = app.texts.get("acts.find", "")
    label = tr("Type to find an act")
    field(pen, "acts.find", Rect(rect.x, rect.y, rect.w, 32.0), label, typed, label)
    named = {n: term("act", n) for n in ACTS}
    found = [n for n, words in named.items() if typed.casefold().strip() in words.casefold()]
    groups = [g for g in GROUPS if any(ACTS[n].group == g for n in found)]
    area = Rect(rect.x, rect.y + 40.0, rect.w, rect.h - 40.0)
    with scrolled(pen, "acts", area, len(found) * ROW + len(groups) * 34.0) as place:
        y = place.y
        for group in groups:
            pen.words((place.x, y + 18.0), tr(GROUPS[group]), "tag", True, "quiet")
            y += 32.0
            for name in (n for n in found if ACTS[n].group == group):
                spot = Rect(place.x, y, place.w, ROW - 2.0)
                row(pen, f"act.{name}", spot, named[name], ("form", name))
                y += ROW


def _hints(pen: Pen, rect: Rect, app: App, job: Job) -> float:
    y = rect.y
    told = {e.data["tier"]: e.data["text"] for e in job.events if e.kind == "hint"}
    for tier, label in TIERS:
        if tier in told:
            pen.words((rect.x, y + 12.0), tr(label), bold=True)
            y = pen.paragraph(Rect(rect.x, y + 26.0, rect.w, 0.0), again(str(told[tier]))) + 12.0
        else:
            wide = button_width(tr(label))
            button(pen, f"hint.{tier}", Rect(rect.x, y, wide, 34.0), tr(label),
                   ("act", {"act": "hint", "tier": tier}), enabled=bool(job.bench.hints))  # fmt: skip
            y += 44.0
    return y


def _finish(pen: Pen, rect: Rect, app: App, job: Job) -> float:
    """The last acts, then the debrief."""
    y = rect.y
    rows: list[tuple[str, str, Message]] = [
        ("second", tr("A second look over the work"), ("act", {"act": "second look"})),
        ("clean", tr("Clean up"), ("act", {"act": "clean up"})),
        ("sign", tr("Sign off"), ("act", {"act": "sign off"})),
        ("hand", tr("Hand over"), ("form", "hand over")),
    ]
    for name, label, on in rows:
        button(pen, f"finish.{name}", Rect(rect.x, y, min(rect.w, 280.0), 36.0), label, on,
               enabled=not job.bench.over)  # fmt: skip
        y += 44.0
    y += 8.0
    if job.told.get("free"):
        words = tr("A free bench has no marks. Leave when you like: it is saved.")
        y = pen.paragraph(Rect(rect.x, y, rect.w, 0.0), words, colour="quiet") + 10.0
        button(
            pen,
            "finish.study",
            Rect(rect.x, y, 240.0, 36.0),
            tr("Save as a study"),
            ("save study",),
        )
        return y + 36.0
    if job.header.get("lock"):
        words = tr("Sealing ends the attempt as it is. The debrief comes when it is released.")
        y = pen.paragraph(Rect(rect.x, y, rect.w, 0.0), words, colour="quiet") + 10.0
        button(pen, "finish.seal", Rect(rect.x, y, 280.0, 38.0), tr("Seal and hand in"), ("seal",),
               "main", enabled=not job.busy)  # fmt: skip
        return y + 38.0
    if job.mode == "graded" and not job.bench.over:
        words = tr(
            "The debrief of a graded attempt comes when you have handed over. Nothing can be taken back."
        )
        return pen.paragraph(Rect(rect.x, y, rect.w, 0.0), f"{words} {job.path}", colour="quiet")
    words = tr("The debrief says how it went, whether or not you handed over.")
    y = pen.paragraph(Rect(rect.x, y, rect.w, 0.0), words, colour="quiet") + 8.0
    button(
        pen,
        "finish.debrief",
        Rect(rect.x, y, 280.0, 38.0),
        tr("Read the debrief"),
        ("debrief",),
        "main",
    )
    return y + 38.0


def _fields(pen: Pen, rect: Rect, app: App, job: Job) -> None:
    """The fields of one act: chips where there are choices, a line to type where there are none."""
    # readings last: their list grows, and pushes nothing out of sight
    fields = sorted(fields_of(job.form), key=lambda f: f[0] == cites(job.form))
    low = rect.h < LOW  # then the button goes with the fields
    area = Rect(rect.x, rect.y, rect.w, rect.h - (0.0 if low else 50.0))
    room = area.w - TARGET - 4.0  # beside the bar, should it be needed
    high = sum(_high(app, job, f, room) for f in fields) + 8.0
    high += 50.0 + (0.0 if fields else fonts.height()) if low else 0.0
    with scrolled(pen, "form", area, high) as place:
        y = place.y
        for f in fields:
            y = _one(pen, Rect(place.x, y, place.w, 0.0), app, job, f)
        if not fields:
            pen.paragraph(Rect(place.x, y, place.w, 0.0), tr("Nothing to fill in."), colour="quiet")
        if low:
            _do(pen, Rect(place.x, place.y + high - 42.0, place.w, 38.0))
    if not low:  # right beneath the fields, at the foot when there are many
        y = min(rect.y + high + 8.0 + (0.0 if fields else fonts.height()), rect.bottom - 42.0)
        _do(pen, Rect(rect.x, y, rect.w, 38.0))


def _do(pen: Pen, rect: Rect) -> None:
    button(pen, "form.do", Rect(rect.x, rect.y, 150.0, 38.0), tr("Do it"), ("form do",), "main")


def _given(app: App, job: Job, name: str, default: Any) -> str:
    typed = app.texts.get(f"form.{job.form}.{name}")
    value = typed if typed is not None else job.form_values.get(name, default)
    if isinstance(value, list):
        value = ", ".join(str(v) for v in value)
    return "" if value is None else str(value)


def _high(app: App, job: Job, f: tuple[str, list[str], Any, bool], room: float) -> float:
    name, choices, _, _ = f
    if name == cites(job.form):
        return readings_high(job)
    if name == "meanings":
        return 0.0
    if choices:
        return 28.0 + _chips_high([term("choice", c) or tr("nothing") for c in choices], room)
    offers = [_offer_words(job, o) for o in _offers(app, job, name)]
    if _listed(offers, room):
        return 72.0 + len(offers) * ROW
    return 72.0 + (_chips_high(offers, room) if offers else 0.0)


def _listed(words: list[str], room: float) -> bool:
    """Many long offers are read one below another; few or short ones are chips."""
    long = sum(fonts.width(w) > 0.3 * room for w in words)
    return len(words) > 6 and long > len(words) / 2


def _offers(app: App, job: Job, name: str) -> list[str]:
    typed = app.texts.get(f"form.{job.form}.{name}", "")
    # causes are browsed; of places and the like a few show what they are called, typing finds more
    most = OFFERS if name == "fault" else 2 * SHORT
    return matching(list_for(app, job.form, name), typed)[:most]


def _offer_words(job: Job, offer: str) -> str:
    """How an offer is called; what lies on the tray also by what it is."""
    there = (job.bench.tray or {}).get(offer) if job.form == "mount" else None
    return f"{words_for(offer)}, {spelt(there.type)}" if there is not None else words_for(offer)


def _chips_high(words: list[str], room: float) -> float:
    x, lines = 0.0, 1
    for word in words:
        wide = min(max(fonts.width(word, "body", True) + 20.0, 36.0), room)
        if x + wide > room + 0.1 and x > 0.0:
            x, lines = 0.0, lines + 1
        x += wide + 6.0
    return lines * (ROW + 4.0) + 8.0


def _one(pen: Pen, rect: Rect, app: App, job: Job, f: tuple[str, list[str], Any, bool]) -> float:
    name, choices, default, needed = f
    if name == cites(job.form):
        return readings(pen, rect, job, tr("Click the reading it was seen in:"))
    if name == "meanings":
        return rect.y
    called = term("field", name).replace("_", " ")
    label = called if needed else tr("{name}, if it matters", name=called)
    label = label[:1].upper() + label[1:]
    pen.words((rect.x, rect.y + 11.0), label, colour="ink" if needed else "quiet", room=rect.w)
    now = _given(app, job, name, default)
    y = rect.y + 24.0
    if choices:
        rows = [(c, term("choice", c) or tr("nothing")) for c in choices]
        return (
            choice(
                pen, f"form.{job.form}.{name}", (rect.x, y), rect.w, rows, now, ("form set", name)
            )
            + 10.0
        )
    key = f"form.{job.form}.{name}"
    field(pen, key, Rect(rect.x, y, rect.w, 32.0), called, now)
    y += 38.0
    offers = [(o, _offer_words(job, o)) for o in _offers(app, job, name)]
    if _listed([words for _, words in offers], rect.w):
        for offer, words in offers:
            spot = Rect(rect.x, y, rect.w, ROW - 2.0)
            row(
                pen, f"{key}.offer.{offer}", spot, words, ("typed", key, offer), chosen=offer == now
            )
            y += ROW
    elif offers:
        y = choice(pen, f"{key}.offer", (rect.x, y), rect.w, offers, now, ("typed", key))
    return y + 10.0
