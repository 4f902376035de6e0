"""The starts of an attempt as their events carry them: figures, lines, the relay's two levels.

Lines are whole numbers with a scale; here they become values again, over time since energising.
Knows data of start events; solves nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from trainer.base.errors import TrainerError
from trainer.session.events import Event
from trainer.session.evolve import fold
from trainer.unit.circuit import parts_of

#: Line of a start -> what it is called in an event that was judged, and in one that was not.
LINES = {
    "supply_a": ("line_1", "common_a"),
    "v_sc": ("v_sc", "start_to_common_v"),
    "start_capacitor_v": ("start_capacitor_v",),
    "speed_rad_s": ("speed_rad_s",),
}
#: Outcomes that are as wanted.
GOOD = ("clean", "runs")
OUTCOMES = {
    "clean": "clean start", "runs": "runs", "early_disengage": "start capacitor left too early",
    "late_disengage": "start capacitor left late", "never_disengages": "start capacitor never left",
    "chatter": "relay chattered", "stalled": "stalled: did not come up to speed",
    "tripped": "a protector tripped", "short_circuit": "short circuit", "no_power": "nothing fed",
    "no_current": "no current", "reverse": "ran backwards", "slow": "came up slowly",
    "stands and hums": "stood and hummed", "trips": "a protector tripped",
    "ran and stopped": "ran and stopped", "over_torque": "over-torque",
}  # fmt: skip


@dataclass(frozen=True)
class Line:
    """Seconds since energising, and values."""

    t_s: tuple[float, ...]
    values: tuple[float, ...]


@dataclass(frozen=True)
class Levels:
    """Volts at which the start relay lets its contact go and takes it back."""

    part: str
    pickup_v: float
    dropout_v: float


@dataclass(frozen=True)
class Start:
    """``waves`` are values as they went, ``rms`` of every cycle; either may lack a line."""

    seq: int
    at_ms: int
    outcome: str
    figures: Mapping[str, Any]
    peak_a: float
    to_speed_s: float | None
    waves: Mapping[str, Line] = field(default_factory=dict)
    rms: Mapping[str, Line] = field(default_factory=dict)
    levels: Levels | None = None

    @property
    def good(self) -> bool:
        return self.outcome in GOOD

    @property
    def said(self) -> str:
        return OUTCOMES.get(self.outcome, self.outcome.replace("_", " "))


def starts_of(events: Sequence[Event]) -> list[Start]:
    """Every start in order."""
    return [start_of(e.seq, e.at_ms, e.data) for e in events if e.kind == "start"]


def reference_of(events: Sequence[Event]) -> Start | None:
    """The start of the unit as it was wanted, if the attempt carries one."""
    found = events[0].data.get("found", {}).get("reference") if events else None
    return start_of(0, 0, found) if found else None


def start_of(seq: int, at_ms: int, data: Mapping[str, Any]) -> Start:
    figures, course = data.get("figures") or {}, data.get("course") or {}
    outcome = figures.get("outcome") or course.get("outcome", "")
    peak = figures.get("peak_line_a") or course.get("peak_a") or 0.0
    slow = figures.get("time_to_90pct_s")
    heard = course.get("to_speed_ms")
    if slow is None and heard is not None and not figures:
        slow = heard / 1000.0
    near, far = data.get("near") or {}, data.get("far") or {}
    # both are over time since energising; the far lines begin when the hand moved
    zero = next(iter(_values(near.get("t_s"))), None)
    waves, rms = _lines(near, zero), _lines(far, zero)
    return Start(seq, at_ms, str(outcome), figures, float(peak), slow, waves, rms)


def with_levels(start: Start, events: Sequence[Event]) -> Start:
    """The start with pickup and drop-out of the relay that was in the unit then."""
    before = [e for e in events if e.seq < start.seq]
    try:
        parts = parts_of(fold(before).unit.parts)
    except (TrainerError, KeyError):
        return start
    for name, part in parts.items():
        pickup, dropout = getattr(part, "pickup_v", None), getattr(part, "dropout_v", None)
        if pickup and dropout:
            levels = Levels(name, float(pickup), float(dropout))
            return Start(**{**vars(start), "levels": levels})
    return start


def chosen(starts: Sequence[Start]) -> Start | None:
    """The start to show: the first that went wrong, else the last."""
    bad = [s for s in starts if not s.good]
    return bad[0] if bad else (starts[-1] if starts else None)


def _lines(kept: Mapping[str, Any], zero: float | None) -> dict[str, Line]:
    t = _values(kept.get("t_s"))
    if not t:
        return {}
    t = tuple(x - (t[0] if zero is None else zero) for x in t)
    found = {}
    for name, called in LINES.items():
        values = next((v for c in called if (v := _values(kept.get(c)))), ())
        if len(values) == len(t):
            found[name] = Line(t, values)
    return found


def _values(packed: Mapping[str, Any] | None) -> tuple[float, ...]:
    if not packed:
        return ()
    scale = float(packed["scale"])
    return tuple(scale * p for p in packed["points"])
