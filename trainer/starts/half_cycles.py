"""Half-cycle rms of a sampled voltage, and the voltage change it shows.

Works on arrays of samples; knows no circuit and no standard's limits. The rms of each half cycle
runs from one zero crossing to the next (IEC 61000-3-3), the crossings found between samples.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

#: Crossings closer than this share of a half cycle are one crossing with noise on it. Invented.
NEAREST = 0.3
#: A stretch without crossings longer than this many half cycles has no alternating voltage left.
LONGEST = 1.5
#: Half cycles within this share of their mean count as settled; IEC 61000-3-3 (from memory).
SETTLED_RATIO = 0.002
#: How long they must stay so; IEC 61000-3-3 (from memory).
SETTLED_S = 1.0


@dataclass(frozen=True)
class HalfCycles:
    """``rms[k]`` [V] of the half cycle from ``edges_s[k]`` to ``edges_s[k + 1]``."""

    edges_s: Floats
    rms: Floats


@dataclass(frozen=True)
class VoltageChange:
    """Relative voltage change of one event, per cent of nominal.

    ``dc_pct`` compares the last second (or what there is) with before; ``settled`` tells whether
    that last stretch stood still within 0.2 % for a whole second, as the standard wants.
    """

    dmax_pct: float
    dc_pct: float
    over_limit_s: float
    settled: bool


def half_cycle_rms(t_s: ArrayLike, volts: ArrayLike, hz: float) -> HalfCycles:
    """rms between successive zero crossings of samples joined by straight lines.

    V = sqrt(int v^2 dt / T) with each straight piece integrated exactly, so at 300 samples a
    cycle the rms of a sine is 0.002 % low. Where the voltage vanishes, pieces of the nominal
    length are used. Needs at least one crossing and two samples.
    """
    t, v = np.asarray(t_s, dtype=float), np.asarray(volts, dtype=float)
    edges = _with_gaps_cut(_crossings(t, v, hz), t, hz)
    if edges.size < 2:
        return HalfCycles(edges, np.zeros(0))
    energy = _energy_at(edges, t, v)
    return HalfCycles(edges, np.sqrt(np.maximum(np.diff(energy), 0.0) / np.diff(edges)))


def relative_voltage_change(
    v_rms_half_cycles: ArrayLike,
    nominal: float,
    hz: float = 60.0,
    before_rms: float | None = None,
    limit_ratio: float = 0.033,
) -> VoltageChange:
    """dmax, dc and time above 3.3 % from successive half-cycle rms values.

    d = (U_before - U(t))/U_n; dmax its greatest size, dc the settled difference.
    ``before_rms`` is the voltage before the event; without it the first half cycle stands for
    that. IEC 61000-3-3 (from memory).
    """
    rms = np.asarray(v_rms_half_cycles, dtype=float)
    if rms.size == 0:
        raise ValueError("no half cycle to judge")
    change = ((rms[0] if before_rms is None else before_rms) - rms) / nominal
    last = change[-max(1, round(SETTLED_S * 2.0 * hz)) :]
    still = float(np.max(np.abs(last - last.mean()))) <= SETTLED_RATIO
    over = np.count_nonzero(np.abs(change) > limit_ratio) / (2.0 * hz)
    return VoltageChange(
        dmax_pct=100.0 * float(np.max(np.abs(change))),
        dc_pct=100.0 * abs(float(last.mean())),
        over_limit_s=float(over),
        settled=bool(still and last.size >= round(SETTLED_S * 2.0 * hz)),
    )


def _crossings(t: Floats, v: Floats, hz: float) -> Floats:
    """Times at which the straight lines between samples pass zero, noise removed."""
    positive = v > 0.0
    at = np.flatnonzero(positive[1:] != positive[:-1])
    exact = t[at] - v[at] * (t[at + 1] - t[at]) / (v[at + 1] - v[at])
    return _one_per_cluster(exact, NEAREST / (2.0 * hz))


def _one_per_cluster(times: Floats, nearest_s: float) -> Floats:
    """An odd cluster changes the sign once and leaves its mean; an even one changes nothing."""
    if times.size == 0:
        return times
    cuts = np.flatnonzero(np.diff(times) > nearest_s) + 1
    if cuts.size == times.size - 1:  # as good as always: every crossing stands alone
        return times
    return np.array([part.mean() for part in np.split(times, cuts) if part.size % 2 == 1])


def _with_gaps_cut(edges: Floats, t: Floats, hz: float) -> Floats:
    """Long gaps, and the time after the last crossing, cut into nominal half cycles.

    The pieces of the tail that would be shorter than a half cycle are left out.
    """
    if edges.size == 0:
        edges = t[:1]
    half = 0.5 / hz
    pieces: list[Floats] = []
    done = 0
    for k in np.flatnonzero(np.diff(edges) > LONGEST * half).tolist():
        start, gap = edges[k], edges[k + 1] - edges[k]
        count = round(gap / half)
        pieces += [edges[done : k + 1], start + gap * np.arange(1, count) / count]
        done = k + 1
    pieces.append(edges[done:])
    beyond = t[-1] - edges[-1]
    if beyond > LONGEST * half:
        pieces.append(edges[-1] + half * np.arange(1, int(beyond / half) + 1))
    return np.concatenate(pieces)


def _energy_at(edges: Floats, t: Floats, v: Floats) -> Floats:
    """int v^2 dt up to each edge, for straight lines between samples [V2 s]."""
    step = np.diff(t)
    each = step * (v[:-1] ** 2 + v[:-1] * v[1:] + v[1:] ** 2) / 3.0
    total = np.concatenate([[0.0], np.cumsum(each)])
    k = np.clip(np.searchsorted(t, edges, side="right") - 1, 0, t.size - 2)
    there = v[k] + (v[k + 1] - v[k]) * (edges - t[k]) / step[k]
    part = (edges - t[k]) * (v[k] ** 2 + v[k] * there + there**2) / 3.0
    return total[k] + part
