"""A start as it sounds, from the numbers of its event: plain samples, no device.

Hum at twice the line's frequency, as loud as the torque pulsates and the current flows; a growl
when it pulsates about a shaft that stands; a whirr whose pitch follows the shaft; the clunk of a
contactor, the click of a relay and the snap of a trip at their computed times, so that a
contactor that chatters clatters. Loudness and timbre are invented; times and pitches are computed.

``slowed`` stretches the course and not the tones: loudness, pitch of the whirr and instants go by
so many times slower, while every tone swings as fast as in truth, so nothing falls below hearing.
Knows numbers; must know no solver, no screen and no verdict.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from trainer.view.language import tr

Floats = NDArray[np.float64]

RATE_HZ = 44_100
#: No sample is beyond this share of full scale: 3.1 dB below it.
MOST = 0.70
SLOWED_MOST = 200.0
#: Longest that is made [s of sound]; a file of three minutes is 32 MB.
LONGEST_S = 180.0
#: Samples that are made at a time, so that a slowed start needs no memory of its length.
BLOCK = 10 * RATE_HZ
#: Course of a start is followed so often in a second.
COURSE_HZ = 800.0
#: Amps and torque that are as loud as they get, and amps that make no sound [A, N m]. Invented:
#: of the order of a locked compressor of three tons.
LOUD_A, LOUD_NM, SILENT_A = 80.0, 12.0, 0.2
#: Below this share of synchronous speed a shaft stands; above that one it runs up.
STANDS, TURNS, FULL = 0.02, 0.10, 0.90
#: Pulses a turn of the whirr: gas, vanes, bearings. Invented.
PULSES = (6.0, 11.0)
#: So many moves of a contactor so near to one another are a clatter [s].
CLATTER_MOVES, CLATTER_S = 4, 0.5
#: Shares of left and right.
_PANS = {"clunk": (0.5, 0.9), "click": (0.9, 0.6), "snap": (0.6, 0.9)}
#: A knock: its tones and how long each rings [Hz, s], share of noise, loudness.
_KNOCKS = {
    "clunk": (((140.0, 0.035), (620.0, 0.012)), 0.35, 0.50),
    "click": (((2300.0, 0.004), (4100.0, 0.002)), 0.50, 0.35),
    "snap": (((900.0, 0.008), (2700.0, 0.004)), 0.60, 0.50),
}
#: What moved -> what it sounds like. A contact's own opening is heard as its armature.
_MOVES = {"picked_up", "dropped_out"}


@dataclass(frozen=True)
class Knock:
    """``t_s`` since energising; ``sound`` clunk, click or snap; ``words`` what it was."""

    t_s: float
    sound: str
    words: str


@dataclass(frozen=True)
class Heard:
    """What of a start makes sound, over ``t_s`` since energising; ``sync`` in rad/s."""

    t_s: Floats
    amps: Floats  # rms of a cycle
    pulsing_nm: Floats  # half of the torque's swing
    speed: Floats
    knocks: tuple[Knock, ...]
    hz: float
    sync: float

    @property
    def turning(self) -> Floats:
        """Shaft speed over synchronous speed."""
        share: Floats = np.abs(self.speed) / self.sync
        return share


def heard_of(
    start: Mapping[str, Any],
    happenings: Sequence[tuple[float, str, str]] | None = None,
    *,
    contactors: Sequence[str] = ("contactor",),
    hz: float = 60.0,
    poles: int = 2,
    until_s: float = 2.0,
) -> Heard:
    """The start of an event's data.

    ``happenings`` are (seconds since energising, kind, name) of what moved; where they were not
    kept (None) the figures of the report give what they can. Names of ``contactors`` clunk, others click.
    """
    near, far = start.get("near") or {}, start.get("far") or {}
    zero = _first(near)
    t_near, t_far = _line(near, "t_s") - zero, _line(far, "t_s") - zero
    last = max([until_s * (t_far.size > 1), *(t_near[-1:])], default=0.0)
    t = np.arange(0.0, min(last, until_s), 1.0 / COURSE_HZ)
    amps, pulsing = _rms(t, t_near, _line(near, "line_1"), hz), _swing(t, t_near, near, hz)
    speed = _on(t, t_near, _line(near, "speed_rad_s"))
    if t_far.size > 1 and t.size and t_near.size:
        late = t > t_near[-1]
        far_amps = _on(t, t_far, _line(far, "line_1"))
        speed = np.where(late, _on(t, t_far, _line(far, "speed_rad_s")), speed)
        # torque swings with the square of the current
        ratio = (far_amps / max(float(amps[~late][-1]), 1e-3)) ** 2
        pulsing = np.where(late, float(pulsing[~late][-1]) * ratio, pulsing)
        amps = np.where(late, far_amps, amps)
    moved = happenings is not None
    knocks = _moved(happenings or (), contactors) if moved else _figured(start, zero)
    sync = 4.0 * np.pi * hz / poles
    return Heard(t, amps, pulsing, speed, knocks, hz, sync)


def sound(heard: Heard, slowed: float = 1.0) -> NDArray[np.int16]:
    """Samples of left and right (n, 2) at ``RATE_HZ``; the same for the same start."""
    slow = min(max(slowed, 1.0), SLOWED_MOST)
    ends = [float(heard.t_s[-1]) if heard.t_s.size else 0.0, *(k.t_s + 0.1 for k in heard.knocks)]
    count = round(min(slow * max(ends) + 0.15, LONGEST_S) * RATE_HZ)
    both, turns = np.zeros((count, 2), dtype=np.float32), 0.0
    for first in range(0, count, BLOCK):
        tones, turns = _tones(heard, slow, first, min(BLOCK, count - first), turns)
        both[first : first + BLOCK] = tones[:, None]
    for knock in heard.knocks:
        _add_knock(both, knock, slow)
    out = np.empty((count, 2), dtype=np.int16)
    for first in range(0, count, BLOCK):
        soft = MOST * np.tanh(both[first : first + BLOCK] / MOST)
        out[first : first + BLOCK] = np.round(32767.0 * soft)
    return out


def captions(heard: Heard) -> list[tuple[float, str]]:
    """Words for everything that is heard, at seconds since energising, in order of time."""
    found = [(k.t_s, k.words) for k in _unclattered(heard.knocks)]
    found += [(t, tr("Clatter: the contactor chatters")) for t in _clatters(heard.knocks)]
    found += _courses(heard)
    return sorted(found)


def _courses(heard: Heard) -> list[tuple[float, str]]:
    """What hum, growl and whirr do."""
    found: list[tuple[float, str]] = []
    flows, turning = heard.amps >= SILENT_A, heard.turning
    growls = flows & (turning < STANDS) & (heard.pulsing_nm > 0.05 * LOUD_NM)
    for now, words, least in (
        (flows, tr("Hum at {hz:.0f} Hz: current flows", hz=2.0 * heard.hz), 0.0),
        (growls, tr("Growl: the motor is fed and its shaft stands"), 0.15),
        (turning >= TURNS, tr("Whirr rising: the motor runs up"), 0.0),
        (turning >= FULL, tr("Whirr steady: full speed"), 0.0),
        (~flows & (np.cumsum(flows) > 0), tr("Silence: no current"), 0.0),
    ):
        at = _since(heard.t_s, now, least)
        if at is not None:
            found.append((at, words))
    return found


def _since(t: Floats, now: NDArray[np.bool_], least_s: float) -> float | None:
    """When something first holds for ``least_s`` on end."""
    edges = np.flatnonzero(np.diff(now.astype(int), prepend=0, append=0))
    for a, b in zip(edges[::2], edges[1::2], strict=True):
        if (b - a) / COURSE_HZ >= least_s:
            return float(t[a])
    return None


def _tones(heard: Heard, slow: float, first: int, count: int, turns: float) -> tuple[Floats, float]:
    """Hum, growl and whirr of ``count`` samples, and the shaft's turns at their end."""
    if heard.t_s.size < 2:
        return np.zeros(count), turns
    played = (first + np.arange(count)) / RATE_HZ
    at = played / slow
    over = at <= heard.t_s[-1]
    turning = np.interp(at, heard.t_s, heard.turning) * over
    flows = np.interp(at, heard.t_s, np.where(heard.amps >= SILENT_A, heard.amps, 0.0)) * over
    pulses = np.interp(at, heard.t_s, heard.pulsing_nm) * (flows > 0.0)
    hum = 0.30 * np.minimum(pulses / LOUD_NM, 1.0) + 0.15 * np.minimum(flows / LOUD_A, 1.0)
    # a shaft that turns growls no more
    growl = 0.35 * np.minimum(pulses / LOUD_NM, 1.0) * np.clip(1.0 - turning / TURNS, 0.0, 1.0)
    phase = 2.0 * np.pi * 2.0 * heard.hz * played
    rough = sum(np.sin(k * phase) / k for k in range(2, 7)) * (1.0 + 0.4 * np.sin(phase / 8.0))
    gone = turns + np.cumsum(turning) * heard.sync / (2.0 * np.pi) / RATE_HZ
    whirr = sum(np.sin(2.0 * np.pi * n * gone) / k for k, n in enumerate(PULSES, start=1))
    made: Floats = hum * np.sin(phase) + growl * rough + 0.12 * turning**2 * whirr
    return made, float(gone[-1])


def _add_knock(both: NDArray[np.float32], knock: Knock, slow: float) -> None:
    """One knock at its time; it rings as long as in truth, however slowed."""
    tones, noise, loud = _KNOCKS[knock.sound]
    first = round(max(knock.t_s, 0.0) * slow * RATE_HZ)
    t = np.arange(max(0, min(round(0.15 * RATE_HZ), len(both) - first))) / RATE_HZ
    made = sum(np.exp(-t / rings) * np.sin(2.0 * np.pi * hz * t) for hz, rings in tones)
    rings = tones[-1][1]
    made = made + noise * np.exp(-t / rings) * np.random.default_rng(1).uniform(-1.0, 1.0, t.size)
    both[first : first + t.size] += loud * made[:, None] * np.array(_PANS[knock.sound])


def _moved(
    happenings: Sequence[tuple[float, str, str]], contactors: Sequence[str]
) -> tuple[Knock, ...]:
    found = []
    for t, kind, name in happenings:
        part = name.partition("~")[0]
        if kind in ("tripped", "gave_up"):
            found.append(Knock(t, "snap", tr("Snap: {part} trips", part=part)))
        elif kind in _MOVES and part in contactors:
            does = tr("pulls in") if kind == "picked_up" else tr("drops out")
            words = tr("Clunk: {part} {does}", part=part, does=does)
            found.append(Knock(t, "clunk", words))
        elif kind in _MOVES:
            does = tr("pulls in") if kind == "picked_up" else tr("falls back")
            words = tr("Click: {part} {does}", part=part, does=does)
            found.append(Knock(t, "click", words))
    return tuple(found)


def _figured(start: Mapping[str, Any], zero: float) -> tuple[Knock, ...]:
    """From the figures of a report: energising, the start capacitor's leaving, trips."""
    figures = start.get("figures") or {}
    found = [Knock(0.0, "clunk", tr("Clunk: the contactor pulls in"))] if start.get("near") else []
    if figures.get("disengage_s") is not None:
        words = tr("Click: the start relay opens")
        found.append(Knock(float(figures["disengage_s"]), "click", words))
    for trip in figures.get("trips") or ():
        words = tr("Snap: {part} trips", part=trip["part"])
        found.append(Knock(float(trip["t_s"]) - zero, "snap", words))
    return tuple(found)


def _clatters(knocks: Sequence[Knock]) -> list[float]:
    """When a contactor begins to move so often."""
    times = [k.t_s for k in knocks if k.sound == "clunk"]
    n = CLATTER_MOVES - 1
    near = [a for a, b in zip(times, times[n:], strict=False) if b - a <= CLATTER_S]
    return [t for k, t in enumerate(near) if k == 0 or t - near[k - 1] > CLATTER_S]


def _unclattered(knocks: Sequence[Knock]) -> list[Knock]:
    """Without the clunks that a clatter stands for."""
    if not _clatters(knocks):
        return list(knocks)
    return [k for k in knocks if k.sound != "clunk"]


def _first(kept: Mapping[str, Any]) -> float:
    t = _line(kept, "t_s")
    return float(t[0]) if t.size else 0.0


def _line(kept: Mapping[str, Any], name: str) -> Floats:
    packed = kept.get(name)
    if not packed:
        return np.zeros(0)
    return float(packed["scale"]) * np.asarray(packed["points"], dtype=float)


def _on(t: Floats, at: Floats, values: Floats) -> Floats:
    """Values on the course's own instants; nothing where there is no line."""
    if values.size != at.size or not values.size:
        return np.zeros_like(t)
    return np.asarray(np.interp(t, at, values), dtype=float)


def _rms(t: Floats, at: Floats, values: Floats, hz: float) -> Floats:
    """rms of the cycle around each instant."""
    squares = _on(t, at, values) ** 2
    return np.asarray(np.sqrt(np.maximum(_smooth(squares, hz), 0.0)), dtype=float)


def _swing(t: Floats, at: Floats, near: Mapping[str, Any], hz: float) -> Floats:
    """Half of the torque's swing: sqrt 2 times its deviation over the cycle around."""
    torque = _on(t, at, _line(near, "torque_nm"))
    spread = _smooth((torque - _smooth(torque, hz)) ** 2, hz)
    return np.asarray(np.sqrt(2.0 * np.maximum(spread, 0.0)), dtype=float)


def _smooth(values: Floats, hz: float) -> Floats:
    """Mean of one cycle around each instant, of what there is of it at the ends."""
    count = max(1, round(COURSE_HZ / hz))
    if not values.size:
        return values
    window = np.ones(count)
    total = np.convolve(values, window, mode="same")[: values.size]
    return np.asarray(total / np.convolve(np.ones_like(values), window, mode="same")[: values.size])
