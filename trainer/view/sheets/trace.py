"""The Trace sheet: what a start looked like, its scrubber and slow motion, the verdict computed.

Knows starts as their events carry them; changes nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from trainer.report.starts import Start, reference_of, start_of, with_levels
from trainer.session.events import Event
from trainer.session.text import clock
from trainer.view import fonts
from trainer.view.language import again, tr
from trainer.view.pen import Pen
from trainer.view.replay import SLOWED
from trainer.view.shapes import Rect
from trainer.view.sheets.moments import STRIP, diagram, strip
from trainer.view.sound import captions as captions_of
from trainer.view.sound import heard_of
from trainer.view.state import App, Job
from trainer.view.steady import Same, steady
from trainer.view.traces import span_of, traces
from trainer.view.widgets import button, scrolled, slider, toggle

#: Starts by attempt and event, with the relay's levels then.
_KEPT: dict[tuple[int, int], Start] = {}
#: What is heard of the start shown, by start.
_CAPTIONS: dict[tuple[int, int], list[tuple[float, str]]] = {}
#: Height of scrubber, slow motion and the strip of moments beneath the panels.
FOOT = 98.0 + STRIP
#: Room for the verdict above the panels, and the least for these; a lower sheet scrolls.
HEAD, PLOT_LEAST = 110.0, 260.0
#: Narrower sheets leave out the word beside the choices of slow motion.
FULL = 330.0


def starts_in(job: Job) -> list[int]:
    return [e.seq for e in job.events if e.kind == "start"]


def start_shown(job: Job) -> Start | None:
    """The start chosen, with pickup and drop-out of the relay fitted then."""
    return start_numbered(job, job.start_seq)


def start_numbered(job: Job, seq: int) -> Start | None:
    event = _numbered(job, seq)
    if event is None or event.kind != "start":
        return None
    key = id(event), event.seq
    if key not in _KEPT:
        if len(_KEPT) > 12:
            _KEPT.clear()
        _KEPT[key] = with_levels(start_of(event.seq, event.at_ms, event.data), job.events)
    return _KEPT[key]


def _numbered(job: Job, seq: int) -> Event | None:
    """The event of that number, which stands at its number's place."""
    if 0 < seq <= len(job.events) and job.events[seq - 1].seq == seq:
        return job.events[seq - 1]
    return next((e for e in job.events if e.seq == seq), None)


def data_shown(job: Job) -> Mapping[str, Any]:
    """The data of the start that is shown."""
    event = _numbered(job, job.start_seq)
    return event.data if event is not None else {}


def behind_shown(job: Job) -> Start | None:
    """The start as it is wanted, where it may be shown."""
    if not job.ghost or job.mode == "graded" or not job.events:
        return None
    first = job.events[0]
    if not _BEHIND or _BEHIND[0][0] is not first:
        _BEHIND[:] = [(first, reference_of(job.events))]
    return _BEHIND[0][1]


#: The first event last asked for, and the start as wanted that it carries.
_BEHIND: list[tuple[Event, Start | None]] = []


def span_shown(job: Job) -> float:
    """Seconds that the sheet shows; 0 without a start."""
    start = start_shown(job)
    return span_of(start, behind_shown(job)) if start is not None else 0.0


def replayed_s(job: Job) -> float | None:
    """The instant that the replay stands at; None where it is not on the sheet or has ended."""
    over = job.at_s >= 0.9995 and not job.playing
    if job.sheet != "trace" or job.form or over or start_shown(job) is None:
        return None
    return job.at_s * span_shown(job)


def trace(pen: Pen, rect: Rect, app: App, job: Job, state: Same) -> None:
    start = start_shown(job)
    if start is None:
        pen.paragraph(rect, tr("No start yet. When the compressor is energised, its start is shown here."),
                      colour="quiet")  # fmt: skip
        return
    high = max(rect.h, HEAD + PLOT_LEAST + FOOT)
    with scrolled(pen, "trace", rect, high) as place:
        _whole(pen, Rect(place.x, place.y, place.w, high), app, job, start, state)


def _whole(pen: Pen, rect: Rect, app: App, job: Job, start: Start, state: Same) -> None:
    behind = behind_shown(job)
    y: float = steady(pen, "trace head", state, lambda p: _head(p, rect, job, start), rect)
    at = job.at_s * span_of(start, behind)
    area = Rect(rect.x, y, rect.w, rect.bottom - y - FOOT)
    if job.phasors and job.mode != "graded":
        diagram(pen, area, data_shown(job), at)
    else:
        traces(pen, area, start, behind, at, job.header.get("scenario"))
    pen.node("trace.plot", "picture", area, told(start), focus=False)
    heard = heard_at(job, start, at) if app.settings.captions and job.at_s < 1.0 else ""
    foot = Rect(rect.x, rect.bottom - FOOT + 4.0, rect.w, FOOT - 4.0)
    slider(pen, "trace.scrub", Rect(foot.x + 11.0, foot.y, foot.w - 22.0, 42.0), heard or tr("Moment"),
           job.at_s, f"{at:.3f} s", ("scrub",))  # fmt: skip
    steady(pen, "trace pace", state, lambda p: _pace(p, foot, job), foot, job.playing)
    still = app.settings.reduced_motion
    strip(pen, Rect(foot.x, foot.y + 90.0, foot.w, STRIP), data_shown(job), at, job.slowed, still)


def told(start: Start) -> str:
    """The verdict of the figures of this very start."""
    f = start.figures
    said = again(start.said)
    words = [said[:1].upper() + said[1:]]
    if f.get("disengage_s") and f.get("disengage_speed_ratio") is not None:
        words.append(tr("start capacitor out at {share:.0f} % speed after {t:.2f} s",
                        share=100.0 * f["disengage_speed_ratio"], t=f["disengage_s"]))  # fmt: skip
    if start.to_speed_s:
        words.append(tr("90 % speed after {t:.2f} s", t=start.to_speed_s))
    if f.get("over_torque"):
        words.append(tr("over-torque: {n:.1f} times", n=f.get("over_torque_ratio") or 0.0))
    sags = [v for v in (f.get("sag_pct") or {}).values() if v]
    if sags:
        words.append(tr("the service sags {n:.1f} %", n=max(sags)))
    return "; ".join(words) + "."


def heard_at(job: Job, start: Start, t: float) -> str:
    """The caption of what is heard at a moment of the replay."""
    key = id(start), start.seq
    if key not in _CAPTIONS:
        _CAPTIONS.clear()
        _CAPTIONS[key] = captions_of(heard_of(data_shown(job)))
    before = [words for at, words in _CAPTIONS[key] if at <= t]
    return before[-1] if before else tr("nothing is heard yet")


def _head(pen: Pen, rect: Rect, job: Job, start: Start) -> float:
    numbers = starts_in(job)
    n = numbers.index(start.seq)
    time = clock(start.at_ms)
    title = tr("Start {n} of {of}, {time}", n=n + 1, of=len(numbers), time=time)
    room = rect.w - (80.0 if len(numbers) > 1 else 0.0)
    if fonts.width(title, "heading", True) > room:
        title = title.partition(",")[0]  # the clock stands on the board too
    pen.words((rect.x, rect.y + 11.0), title, "heading", True, room=room)
    if len(numbers) > 1:
        before, after = numbers[max(n - 1, 0)], numbers[min(n + 1, len(numbers) - 1)]
        button(pen, "trace.before", Rect(rect.right - 70.0, rect.y, 32.0, 26.0), "←", ("start", before),
               enabled=n > 0, said=tr("the start before"))  # fmt: skip
        button(pen, "trace.after", Rect(rect.right - 34.0, rect.y, 32.0, 26.0), "→", ("start", after),
               enabled=n < len(numbers) - 1, said=tr("the next start"))  # fmt: skip
    if job.mode == "graded":
        return rect.y + 30.0
    label = tr("Grey: as wanted")
    place = Rect(rect.x, rect.y + 24.0, fonts.width(label) + 40.0, 26.0)
    toggle(pen, "trace.ghost", place, label, job.ghost, ("ghost",))
    place = Rect(place.right + 8.0, place.y, rect.right - place.right - 8.0, 26.0)
    toggle(pen, "trace.phasors", place, tr("Phasors"), job.phasors, ("phasors",))
    ink = "good" if start.good else "danger"
    icon = "icons/good" if start.good else "icons/warning"
    pen.picture(icon, Rect(rect.x, rect.y + 54.0, 18.0, 18.0), ink)
    place = Rect(rect.x + 24.0, rect.y + 54.0, rect.w - 24.0, 0.0)
    return pen.paragraph(place, told(start), bold=True, colour=ink, most=4) + 6.0


def _pace(pen: Pen, rect: Rect, job: Job) -> None:
    """Play or pause, and how much slower."""
    play = tr("Pause") if job.playing else tr("Play")
    y = rect.y + 50.0
    few = rect.w < FULL
    button(
        pen,
        "trace.play",
        Rect(rect.x, y, 80.0 if few else 92.0, 32.0),
        play,
        ("play",),
        "main",
        "pause" if job.playing else "play",
    )
    x = rect.x + (84.0 if few else 100.0)
    if not few:
        x += pen.words((x, y + 16.0), tr("slower"), "tag", colour="quiet") + 6.0
    paces = SLOWED if rect.right - x >= 27.0 * len(SLOWED) else SLOWED[::2]
    each = (rect.right - x) / len(paces)
    for n in paces:
        place = Rect(x, y + 1.0, each - 2.0, 30.0)
        here = n == job.slowed
        pen.box(place, "wash" if here else "", "action" if here else "", 1.0, 4.0)
        pen.words(
            place.centre, f"{n}", "tag", here, "action" if here else "ink", "middle", each - 2.0
        )
        pen.node(
            f"trace.slow.{n}",
            "choice",
            place,
            tr("{n} times slower", n=n),
            ("slowed", n),
            chosen=here,
        )
        x += each
