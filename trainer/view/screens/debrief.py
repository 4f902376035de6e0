"""The debrief: a page to read. First a question, then what was safe, what broke first, what it
did; the marks come after, with their evidence.

Knows the page as plain data; changes nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from trainer.base.tongue import capital
from trainer.view import fonts
from trainer.view.language import again, spelt, tr
from trainer.view.pen import Pen
from trainer.view.screens.strip import MODES
from trainer.view.shapes import Message, Rect
from trainer.view.state import App, Job
from trainer.view.widgets import Kind, button, button_width, scrolled

#: A page is no wider than can be read; its plot is so high.
PAGE, PLOT = 800.0, 460.0


class Flow:
    """Draws blocks one below another, and knows how high they came out."""

    def __init__(self, pen: Pen, rect: Rect, measures: bool = False) -> None:
        self.pen, self.x, self.y, self.w = pen, rect.x, rect.y, rect.w
        #: Only the height is asked for: what is costly to draw and known to be so high is left out.
        self.measures = measures

    def heading(self, text: str) -> None:
        self.y += 20.0
        self.pen.words((self.x, self.y + 10.0), again(text), "heading", True, room=self.w)
        self.y += 28.0

    def text(self, text: str, colour: str = "ink", bold: bool = False, left: float = 0.0) -> None:
        place = Rect(self.x + left, self.y, self.w - left, 0.0)
        self.y = self.pen.paragraph(place, again(text), bold=bold, colour=colour) + 4.0

    def told(self, t: Mapping[str, Any], ink: str = "ink") -> None:
        """Happened, what it does, the practice, where it is written, where the evidence is."""
        top = self.y
        self.y += 10.0
        self.text(str(t["title"]), ink, True, 16.0)
        for part in ("happened", "does"):
            if t.get(part):
                self.text(str(t[part]), left=16.0)
        if t.get("practice"):
            source = f" ({again(str(t['source']))})" if t.get("source") else ""
            self.text(tr("Practice: {what}", what=again(str(t["practice"]))) + source, left=16.0)
        if t.get("where"):
            self.text(str(t["where"]), "quiet", left=16.0)
        self.y += 4.0
        self.pen.box(Rect(self.x, top + 4.0, 4.0, self.y - top - 8.0), ink, radius=2.0)
        self.y += 6.0


def debrief(app: App, pen: Pen) -> None:
    wide, high = app.size
    page: Any = app.page or {}
    sheet = Rect(max((wide - PAGE) / 2.0, 8.0), 10.0, min(PAGE, wide - 16.0), high - 72.0)
    pen.box(sheet.moved(3.0, 5.0), "rule", radius=6.0)
    pen.box(sheet, "sheet", "edge", 1.0, 6.0)
    inside = sheet.inset(28.0, 14.0)
    with pen.ground("sheet"):
        tall = _high(page, app, inside.w - 14.0)
        with scrolled(pen, "debrief", inside, tall) as place:
            _write(pen, place, page, app)
    _ways(pen, Rect(sheet.x, high - 54.0, sheet.w, 42.0), page, app)


def _ways(pen: Pen, rect: Rect, page: Mapping[str, Any], app: App) -> None:
    """Home and on to the left, the bench and a file to the right; narrow, all as wide as they must."""
    follow = page.get("next")
    left: list[tuple[str, str, Message, float]] = [("home", tr("Home"), ("screen", "home"), 130.0)]
    if follow:
        on: Message = ("exercise", str(follow["name"]), "practice")
        left.append(("next", tr("Next exercise"), on, 200.0))
    right: list[tuple[str, str, Message, float]] = []
    if app.job is not None:
        right.append(("bench", tr("Back to the bench"), ("screen", "bench"), 160.0))
    right.append(("save", tr("Save as a page"), ("save page",), 160.0))
    rows = [*left, *right]
    wides = [max(wide, button_width(label)) for _, label, _, wide in rows]
    if sum(wides) + 10.0 * len(rows) > rect.w:
        wides = [(rect.w - 10.0 * (len(rows) - 1)) / len(rows)] * len(rows)
    x = rect.x
    for n, ((name, label, on, _), wide) in enumerate(zip(rows, wides, strict=True)):
        if n == len(left):
            x = rect.right - sum(wides[n:]) - 10.0 * (len(right) - 1)
        kind: Kind = "main" if name == "next" else "plain"
        button(pen, f"debrief.{name}", Rect(x, rect.y, wide, rect.h), label, on, kind)
        x += wide + 10.0


def _high(page: Mapping[str, Any], app: App, wide: float) -> float:
    """The height of it all, by writing it where nobody looks."""
    blank = Pen(app.size)
    return _write(blank, Rect(0.0, 0.0, wide, 0.0), page, app, True) + 20.0


def _write(
    pen: Pen, place: Rect, page: Mapping[str, Any], app: App, measures: bool = False
) -> float:
    flow = Flow(pen, place, measures)
    if app.job is not None:
        about = [again(str(app.job.told.get("title", ""))), tr(MODES[app.job.mode])]
        pen.words((flow.x, flow.y + 8.0), ", ".join(about), "tag", colour="quiet", room=flow.w)
        flow.y += 16.0
    pen.words(
        (flow.x, flow.y + 16.0), again(str(page.get("question", ""))), "title", True, room=flow.w
    )
    flow.y += 40.0
    _ending(flow, page.get("ending"))
    if page.get("critical"):
        flow.heading(tr("Critical errors"))
        for t in page["critical"]:
            flow.told(t, "danger")
    if page.get("done_well"):
        flow.heading(tr("What was safe"))
        for text in page["done_well"]:
            flow.text(f"· {again(text)}", left=8.0)
    if page.get("first_broken"):
        flow.heading(tr("What broke first"))
        flow.told(page["first_broken"], "caution")
    _start(flow, page, app)
    if page.get("findings"):
        flow.heading(tr("Also"))
        for t in page["findings"]:
            flow.told(t)
    _wiring(flow, page, app)
    _marks(flow, page)
    for t in page.get("more_findings", ()):
        flow.told(t, "quiet")
    _timeline(flow, page, app)
    flow.heading(tr("Cautions"))
    for text in page.get("cautions", ()):
        flow.text(str(text), "quiet")
    return flow.y


def _ending(flow: Flow, ending: Any) -> None:
    if not ending:
        return
    flow.heading(str(ending["title"]))
    flow.text(str(ending["sentence"]), "danger", True)
    for name, value in ending["facts"]:
        flow.text(f"{again(name)}: {spelt(str(value))}")
    for text in ending["means"]:
        flow.text(str(text))
    flow.text(tr("What prevents it: {what}", what=again(ending["prevents"])), bold=True)


def _start(flow: Flow, page: Mapping[str, Any], app: App) -> None:
    """The start that went wrong, or the last one: its lines, then its numbers."""
    rows = page.get("numbers") or ()
    if not rows:
        return
    flow.heading(tr("What this very start did"))
    if app.job is not None:
        _plot(flow, app.job, int(page.get("shown_start") or 0))
    _numbers(flow, rows)


def _plot(flow: Flow, job: Job, seq: int) -> None:
    """Its four panels over one time axis, the start as wanted in grey behind."""
    from trainer.report.starts import reference_of
    from trainer.view.sheets.trace import start_numbered, told
    from trainer.view.traces import traces

    start = start_numbered(job, seq)
    if start is None or not start.waves:
        return
    behind = reference_of(job.events)
    flow.y = _legend(flow.pen, Rect(flow.x, flow.y, flow.w, 0.0), behind is not None,
                     start.levels is not None)  # fmt: skip
    area = Rect(flow.x, flow.y, flow.w, PLOT)
    if not flow.measures:
        traces(flow.pen, area, start, behind, None, ("debrief", job.header.get("scenario"), seq))
        flow.pen.node("debrief.plot", "picture", area, told(start), focus=False)
    flow.y += PLOT + 12.0


def _legend(pen: Pen, rect: Rect, behind: bool, relay: bool) -> float:
    """Which line is which, in as many lines as it needs; returns the y below."""
    rows = [(tr("this start"), "action", False), (tr("its rms of every cycle"), "ink", False)]
    rows += [(tr("as wanted"), "ghost", False)] if behind else []
    rows += [(tr("relay: pickup above, drop-out below"), "danger", True)] if relay else []
    x, y = rect.x, rect.y + 8.0
    for words, ink, dashed in rows:
        wide = 34.0 + fonts.width(words, "tag")
        if x > rect.x and x + wide > rect.right:
            x, y = rect.x, y + 18.0
        pen.line([(x, y), (x + 26.0, y)], ink, 2.5, dashed=dashed)
        pen.words((x + 34.0, y), words, "tag", room=rect.right - x - 34.0)
        x += wide + 22.0
    return y + 14.0


def _wiring(flow: Flow, page: Mapping[str, Any], app: App) -> None:
    """What the wiring comes to, and a way to see on the board where it differs."""
    from trainer.view.screens.differing import differing

    wiring = page.get("mark", {}).get("wiring", {})
    if not wiring.get("rows") or app.job is None:
        return
    flow.heading(tr("The wiring at the end"))
    flow.text(capital(again(str(wiring["level_text"]))) + ".")
    if differing(page):
        label = tr("See on the board where it differs")
        place = Rect(flow.x, flow.y + 2.0, button_width(label), 34.0)
        button(flow.pen, "debrief.wiring", place, label, ("step at", app.job.events[-1].seq))
        flow.y += 44.0


def _numbers(flow: Flow, rows: Sequence[Mapping[str, Any]]) -> None:
    pen, x, w = flow.pen, flow.x, flow.w
    pen.words((x + w * 0.74, flow.y + 8.0), tr("this start"), "tag", True, align="right")
    pen.words((x + w, flow.y + 8.0), tr("as wanted"), "tag", True, "quiet", "right")
    flow.y += 20.0
    for r in rows:
        pen.words((x, flow.y + 9.0), again(str(r["name"])), room=w * 0.4)
        pen.words(
            (x + w * 0.74, flow.y + 9.0),
            spelt(str(r["this"])),
            bold=True,
            align="right",
            room=w * 0.33,
        )
        pen.words(
            (x + w, flow.y + 9.0),
            spelt(str(r["wanted"])),
            colour="quiet",
            align="right",
            room=w * 0.25,
        )
        flow.y += 21.0
        pen.line([(x, flow.y - 1.0), (x + w, flow.y - 1.0)], "rule")


def _marks(flow: Flow, page: Mapping[str, Any]) -> None:
    flow.heading(tr("Marks"))
    verdict = str(page.get("verdict", ""))
    ink = "good" if verdict == "Pass" else "danger"
    words = tr("{verdict}: {total} of 100, cut {cut}", verdict=again(verdict),
               total=page.get("total_shown", ""), cut=page.get("cut_shown", ""))  # fmt: skip
    flow.text(words, ink, True)
    for d in page.get("mark", {}).get("domains", ()):
        share = float(d.get("score") or 0.0) / 100.0
        flow.pen.words((flow.x, flow.y + 9.0), again(str(d["title"])), room=flow.w * 0.4)
        bar = Rect(flow.x + flow.w * 0.42, flow.y + 3.0, flow.w * 0.44, 12.0)
        flow.pen.box(bar, "rule", radius=3.0)
        if share > 0.0:
            flow.pen.box(Rect(bar.x, bar.y, bar.w * min(share, 1.0), bar.h), "action", radius=3.0)
        flow.pen.words((flow.x + flow.w, flow.y + 9.0), str(d["shown"]), align="right")
        flow.y += 24.0


def _timeline(flow: Flow, page: Mapping[str, Any], app: App) -> None:
    from trainer.session.text import clock

    rows = page.get("timeline") or ()
    if not rows:
        return
    flow.heading(tr("Step by step"))
    if app.job is not None:
        place = Rect(flow.x, flow.y, 260.0, 34.0)
        button(
            flow.pen,
            "debrief.steps",
            place,
            tr("Step the bench through it"),
            ("step at", int(rows[0]["event"])),
        )
        flow.y += 44.0
    for r in rows:
        time = clock(int(r["at_ms"]))
        flow.pen.words((flow.x, flow.y + 9.0), time, "tag", colour="quiet", room=64.0)
        place = Rect(flow.x + 70.0, flow.y, flow.w - 78.0, 0.0)
        flow.y = flow.pen.paragraph(place, again(str(r["words"]))) + 2.0
