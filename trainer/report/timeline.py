"""What happened when: one row for each thing worth a look, and a strip of five lanes.

Knows kinds of event and a mark's notes; judges nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from trainer.assess.marks import Mark
from trainer.base.retold import again
from trainer.report.starts import start_of
from trainer.report.svg import Drawing, steps, wide
from trainer.session.events import ASKED, Event
from trainer.session.text import clock, tell

Lane = Literal["power", "test", "start", "near miss", "hazard"]
LANES: tuple[tuple[Lane, str], ...] = (
    ("power", "Power, locks"),
    ("test", "Tests"),
    ("start", "Starts"),
    ("near miss", "Near misses"),
    ("hazard", "Hazards"),
)
#: Acts that change what is fed, or who may feed it.
POWER = (
    "open", "close", "thermostat", "lock", "unlock", "try start", "declare dead", "take off",
    "put back", "hand over",
)  # fmt: skip
HURTS = ("shock", "arc", "pierced", "killed")


@dataclass(frozen=True)
class Row:
    """``at`` is bench time as written; ``event`` the number in the attempt."""

    event: int
    at_ms: int
    lane: Lane
    words: str

    @property
    def at(self) -> str:
        return clock(self.at_ms)

    def as_data(self) -> dict[str, Any]:
        return {"event": self.event, "at_ms": self.at_ms, "kind": self.lane, "words": self.words}


def rows_of(mark: Mark, events: Sequence[Event]) -> list[Row]:
    """Every row in order of events, each thing once."""
    found = [*_of_acts(events), *_of_marks(mark)]
    order = {lane: n for n, (lane, _) in enumerate(LANES)}
    return sorted(dict.fromkeys(found), key=lambda r: (r.event, order[r.lane]))


def _of_acts(events: Sequence[Event]) -> Iterator[Row]:
    for asked, results in acts_of(events):
        refused = any(e.kind == "refused" for e in results)
        act = str(asked.data.get("act", ""))
        if act in POWER and not refused:
            yield Row(asked.seq, asked.at_ms, "power", spelled(asked.data))
        for event in results:
            words = " ".join(tell([event])).removeprefix(f"[{event.seq}] ")
            if event.kind in HURTS:
                yield Row(event.seq, event.at_ms, "hazard", sober(event))
            elif event.kind == "harmed":
                yield Row(event.seq, event.at_ms, "near miss", words)
            elif event.kind == "read":
                yield Row(event.seq, event.at_ms, "test", words)
            elif event.kind == "start":
                start = start_of(event.seq, event.at_ms, event.data)
                told = f"Start: {start.said}."
                if start.peak_a:
                    told = f"Start: {start.said}, {start.peak_a:.0f} A at its peak."
                yield Row(event.seq, event.at_ms, "start", told)


def _of_marks(mark: Mark) -> Iterator[Row]:
    for c in mark.critical:
        for seq, at_ms in zip(c.evidence.events, c.evidence.at_ms, strict=False):
            yield Row(seq, at_ms, "hazard", f"{c.code}: {c.title}.")
    for note in mark.notes:
        if note.kind == "near miss" and note.evidence.events:
            at_ms = note.evidence.at_ms[0] if note.evidence.at_ms else 0
            yield Row(note.evidence.events[0], at_ms, "near miss", note.sentence)


def acts_of(events: Sequence[Event]) -> Iterator[tuple[Event, list[Event]]]:
    """Every act with what came of it."""
    asked: Event | None = None
    results: list[Event] = []
    for event in events:
        if event.kind == ASKED:
            if asked is not None:
                yield asked, results
            asked, results = event, []
        else:
            results.append(event)
    if asked is not None:
        yield asked, results


def act_before(events: Sequence[Event], seq: int) -> Event | None:
    """The act of which an event came."""
    before = [e for e in events if e.kind == ASKED and e.seq <= seq]
    return before[-1] if before else None


def spelled(data: Mapping[str, Any]) -> str:
    """An act as it was asked for, its own words and no more."""
    words = [
        " and ".join(map(str, v)) if isinstance(v, list) else str(v)
        for k, v in data.items() if k not in ("act", "words") and v not in ("", [])
    ]  # fmt: skip
    said = " ".join([str(data.get("act", "")), *words])
    return f"{said[:1].upper()}{said[1:]}."


def sober(event: Event) -> str:
    """What hurt, in one quiet sentence."""
    d = event.data
    if event.kind == "shock":
        volts, kind = shock_volts(d)
        amps = max(d["amps"], d["peak_a"])
        drives = f"{volts:.0f} V {kind}, {1e3 * amps:.0f} mA"
        return f"Current through the body at {d['place']}: {drives}."
    if event.kind == "arc":
        return f"A flash between {d['a']} and {d['b']}: {d['joules']:.3g} J."
    if event.kind == "pierced":
        return f"A screw went into the {d['zone']}."
    return f"{d.get('part', 'A part')} was destroyed."


def shock_volts(d: Mapping[str, Any]) -> tuple[float, str]:
    if d["volts_ac"] > abs(d["volts_dc"]):
        return float(d["volts_ac"]), "ac"
    return abs(float(d["volts_dc"])), "dc"


# --- the strip -----------------------------------------------------------------------------------

LANE, FOOT, HALF = 30.0, 38.0, 6.0
#: Lanes whose marks carry the number of their event.
NUMBERED = ("start", "near miss", "hazard")


def drawn(rows: Sequence[Row], until_ms: int, width: float = 760.0, css: str = "") -> str:
    """The strip as markup: a shape of its own for each lane, bench minutes below."""
    left = 100.0
    right = width - 16.0
    bottom = LANE * len(LANES)
    counts = {lane: sum(r.lane == lane for r in rows) for lane, _ in LANES}
    told = ", ".join(f"{title.lower()}: {counts[lane]}" for lane, title in LANES)
    d = Drawing(width, bottom + FOOT, f"Timeline of the attempt. {told}. Its table follows.")
    whole = max(until_ms, 60_000)
    for n, (lane, title) in enumerate(LANES):
        y = LANE * (n + 0.5)
        d.line(left, y, right, y, "grid")
        d.text(0.0, y + 4.5, title, "tag")
        mine = [r for r in rows if r.lane == lane]
        xs = [left + (right - left) * r.at_ms / whole for r in mine]
        free = left
        for n, (x, row) in enumerate(zip(xs, mine, strict=True)):
            d.polygon(
                _shape(lane, x, y), f"lane-{lane.replace(' ', '-')}", f"{row.at} {again(row.words)}"
            )
            if lane in NUMBERED:
                after = xs[n + 1] - HALF if n + 1 < len(xs) else width
                free = max(_number(d, row, x, y, free, after), x + HALF)
    d.line(left, bottom, right, bottom, "axis")
    for minutes in steps(0.0, whole / 60_000.0, 8 if width > 500.0 else 4):
        x = left + (right - left) * minutes * 60_000.0 / whole
        d.line(x, bottom, x, bottom + 4.0, "axis")
        d.text(x, bottom + 18.0, f"{minutes:g}", "tag", "middle")
    d.text(left, bottom + 34.0, "bench minutes; numbers are events", "tag")
    return d.markup(css)


def _number(d: Drawing, row: Row, x: float, y: float, free: float, after: float) -> float:
    """The event's number beside its mark where there is room; where free room then begins."""
    words = str(row.event)
    need = wide(words) + HALF + 6.0
    if x + need < after:
        d.text(x + HALF + 3.0, y + 4.5, words, "tag on")
        return x + need
    if x - need > free:
        d.text(x - HALF - 3.0, y + 4.5, words, "tag on", "end")
    return free


def _shape(lane: Lane, x: float, y: float) -> list[tuple[float, float]]:
    h = HALF
    return {
        "power": [(x - 2.0, y - h), (x + 2.0, y - h), (x + 2.0, y + h), (x - 2.0, y + h)],
        "test": [(x - 3.0, y - 3.0), (x + 3.0, y - 3.0), (x + 3.0, y + 3.0), (x - 3.0, y + 3.0)],
        "start": [(x - h, y + h), (x, y - h), (x + h, y + h)],
        "near miss": [(x, y - h), (x + h, y), (x, y + h), (x - h, y)],
        "hazard": [
            (x - h, y - 2.5), (x - 2.5, y - h), (x + 2.5, y - h), (x + h, y - 2.5),
            (x + h, y + 2.5), (x + 2.5, y + h), (x - 2.5, y + h), (x - h, y + 2.5),
        ],
    }[lane]  # fmt: skip
