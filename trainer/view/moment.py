"""One instant of a start from the lines its event kept: contacts, shaft, lamp, phasors.

Everything is computed from those lines; nothing is drawn here. Knows numbers; must know no shape.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from trainer.view.language import later as _

Floats = NDArray[np.float64]

#: Light of an incandescent lamp goes with volts to this power. Source: lamp rerating rule of the
#: trade, exponent 3.4 for light, from memory.
LIGHT_POWER = 3.4
#: A drawn lamp changes at most so often in a second; WCAG 2.2, 2.3.1.
CHANGES_S = 3.0
#: From this much slower on, a chattering contact is drawn as it was at every instant: half a cycle
#: of the line lasts longer than a third of a second then.
SLOW = 40.0
#: Lines of a start that are shown as phasors, and what they are called.
PHASORS = (
    ("leg_1", _("line to ground, leg 1")), ("v_sc", _("S to C")),
    ("run_capacitor_v", _("run capacitor")), ("start_capacitor_v", _("start capacitor")),
)  # fmt: skip


#: Line amps below this for longer than a zero crossing are none: what is left then are control
#: transformer and crankcase heater. Invented. [A]
NO_AMPS = 0.6
#: A capacitor whose volts change by less than this share of a full swing stands apart. Invented.
STILL = 0.03


@dataclass(frozen=True)
class Moment:
    """``light`` is 1 for the lamp at the volts before the start; ``angle`` of the shaft in rad.

    ``contactor``: closed, or None once something has tripped, for the lines cannot tell then;
    ``relay_open``: the start capacitor is out, None without one; ``pill_hot``: a thermistor has
    let go of the start winding, None where none was seen to.
    """

    contactor: bool | None
    relay_open: bool | None
    angle: float
    turns_per_s: float
    light: float
    volts: float
    pill_hot: bool | None = None


class Kept:
    """The near lines of one start as arrays over time since energising."""

    def __init__(self, near: Mapping[str, Any], hz: float = 60.0) -> None:
        self.hz = hz
        #: What was worked out of these lines last: volts before the start, and one moment.
        self.before: float | None = None
        self.last: tuple[tuple[float, float], Moment] | None = None
        #: The phasor asked for last: a lamp asks for the same one many frames long.
        self.found: tuple[tuple[str, float], complex | None] | None = None
        self.lines = {
            name: float(row["scale"]) * np.asarray(row["points"], dtype=float)
            for name, row in near.items()
        }
        t = self.lines.pop("t_s", np.zeros(0))
        self.t = t - t[0] if t.size else t
        speed = self.lines.get("speed_rad_s", np.zeros(self.t.size))
        steps = np.diff(self.t) * 0.5 * (speed[1:] + speed[:-1]) if self.t.size > 1 else []
        self.angle = np.concatenate([[0.0], np.cumsum(steps)]) if self.t.size else np.zeros(0)

        #: Stretches without line amps, and with the start capacitor's volts at rest.
        self.no_amps = self._spans(np.abs(self.lines.get("line_1", np.ones(self.t.size))) < NO_AMPS)
        volts = self.lines.get("start_capacitor_v", np.zeros(0))
        still = STILL * 2.0 * math.pi * hz * float(np.max(np.abs(volts), initial=0.0))
        self.apart = self._spans(np.abs(np.gradient(volts, self.t)) < still) if volts.size else []

    def _spans(self, where: NDArray[np.bool_]) -> list[tuple[float, float]]:
        """Stretches of time in which something is so, longer than a wave takes through zero."""
        if self.t.size < 8 or where.size != self.t.size:
            return []
        edges = np.flatnonzero(np.diff(np.concatenate([[False], where, [False]]).astype(int)))
        runs = zip(self.t[edges[::2]], self.t[edges[1::2] - 1], strict=True)
        return [(float(a), float(b)) for a, b in runs if b - a > 1.0 / (3.0 * self.hz)]

    def at(self, name: str, t: float) -> float:
        line = self.angle if name == "angle" else self.lines.get(name)
        return 0.0 if line is None or not self.t.size else float(np.interp(t, self.t, line))

    def phasor(self, name: str, t: float) -> complex | None:
        """Fundamental of the cycle that ends at ``t`` (of the first one before that), as rms and
        angle against a cosine of the line's frequency: least squares of
        v = a cos wt + b sin wt + c over its points, V = (a - j b) / sqrt 2.
        """
        if self.found is None or self.found[0] != (name, t):
            self.found = (name, t), self._phasor(name, t)
        return self.found[1]

    def _phasor(self, name: str, t: float) -> complex | None:
        line = self.lines.get(name)
        if line is None or self.t.size < 8:
            return None
        end = max(t, 1.0 / self.hz)
        inside = (self.t > end - 1.0 / self.hz) & (self.t <= end)
        if np.count_nonzero(inside) < 5:
            return None
        turn = 2.0 * math.pi * self.hz * self.t[inside]
        terms = np.stack([np.cos(turn), np.sin(turn), np.ones(turn.size)], axis=1)
        (a, b, _), *_ = np.linalg.lstsq(terms, line[inside], rcond=None)
        return complex(a, -b) / math.sqrt(2.0)


@lru_cache(maxsize=8)
def _kept(key: int, hz: float) -> Kept:
    return Kept(_NEAR[key], hz)


_NEAR: dict[int, Mapping[str, Any]] = {}


def kept_of(near: Mapping[str, Any], hz: float = 60.0) -> Kept:
    """The lines of an event, unpacked once."""
    if id(near) not in _NEAR:
        if len(_NEAR) > 16:
            _NEAR.clear()
            _kept.cache_clear()
        _NEAR[id(near)] = near
    return _kept(id(near), hz)


def moment(data: Mapping[str, Any], t: float, slowed: float = 1.0) -> Moment:
    """What is so ``t`` seconds after energising. The lamp steps no oftener than ``CHANGES_S``."""
    kept = kept_of(data.get("near") or {})
    if kept.last is None or kept.last[0] != (t, slowed):
        kept.last = (t, slowed), _moment(data, kept, t, slowed)
    return kept.last[1]


def _moment(data: Mapping[str, Any], kept: Kept, t: float, slowed: float) -> Moment:
    step = 1.0 / (CHANGES_S * max(slowed, 1.0))
    then = math.floor(t / step) * step
    now, full = abs(kept.phasor("leg_1", then) or 0.0), before_v(data, kept)
    light = min((now / full) ** LIGHT_POWER, 1.2) if full else 0.0
    turns = kept.at("speed_rad_s", t) / (2.0 * math.pi)
    figures = data.get("figures") or {}
    chatters = bool(kept.no_amps or figures.get("recloses"))
    seen = then if chatters and slowed < SLOW else t
    aid, out = "start_capacitor_v" in kept.lines, figures.get("disengage_s")
    hot = None if aid or out is None else t >= float(out)
    relay = capacitor_out(data, kept, seen) if aid else None
    closed = contactor_closed(data, kept, seen) if t < _first_trip(data) else None
    return Moment(closed, relay, kept.at("angle", t), turns, light, now, hot)


def contactor_closed(data: Mapping[str, Any], kept: Kept, t: float) -> bool:
    """Closed from energising on, but for stretches in which the supply gave no amps. Until
    something trips: no amps may be for another reason then."""
    return t >= 0.0 and not any(a <= t <= b for a, b in kept.no_amps)


def _first_trip(data: Mapping[str, Any]) -> float:
    trips = (data.get("figures") or {}).get("trips") or []
    return min((float(trip["t_s"]) for trip in trips if "t_s" in trip), default=math.inf)


def capacitor_out(data: Mapping[str, Any], kept: Kept, t: float) -> bool:
    """Whether the start capacitor is out: by the instant that was found, and where it came back,
    by its volts standing still."""
    figures = data.get("figures") or {}
    out = figures.get("disengage_s")
    if out is None or t < float(out):
        return False
    return not figures.get("recloses") or any(a <= t <= b for a, b in kept.apart)


def before_v(data: Mapping[str, Any], kept: Kept) -> float:
    """Leg 1 before the start: its lowest cycle and the sag that the report made of it."""
    if kept.before is None:
        kept.before = _before_v(data, kept)
    return kept.before


def _before_v(data: Mapping[str, Any], kept: Kept) -> float:
    sag = ((data.get("figures") or {}).get("sag_pct") or {}).get("leg_1")
    ends = np.arange(1.0, kept.hz * float(kept.t[-1]) if kept.t.size else 0.0) / kept.hz
    cycles = [abs(v) for end in ends if (v := kept.phasor("leg_1", float(end))) is not None]
    if not cycles:
        return 0.0
    if not sag or _first_trip(data) < float(kept.t[-1]) - 2.0 / kept.hz:
        return max(cycles)  # once all is off, the volts are as before
    return min(cycles) / (1.0 - float(sag) / 100.0)


def phasors(data: Mapping[str, Any], t: float) -> list[tuple[str, str, complex]]:
    """(line, what it is called, phasor) turned so that leg 1 stands at angle 0."""
    kept = kept_of(data.get("near") or {})
    reference = kept.phasor("leg_1", t)
    turn = 1.0 if not reference else reference.conjugate() / abs(reference)
    rows = [(name, words, kept.phasor(name, t)) for name, words in PHASORS]
    return [(name, words, p * turn) for name, words, p in rows if p is not None]
