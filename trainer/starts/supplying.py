"""What the start did to the supply: sag, voltage change and flicker at the service.

Half-cycle rms aligned to zero crossings, as IEC 61000-3-3 wants. Knows the record of the legs;
must know no compressor.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from trainer.starts import flicker
from trainer.starts import watching as w
from trainer.starts.half_cycles import HalfCycles, half_cycle_rms, relative_voltage_change
from trainer.starts.recording import Recording


@dataclass(frozen=True)
class Disturbance:
    """Of one pair of supply terminals. Per cent of the volts before (sag) or of nominal (rest)."""

    before_v: float
    least_v: float
    sag_pct: float
    dmax_pct: float
    dc_pct: float
    over_limit_s: float
    pst: float


def disturbances(
    record: Recording, energised_at_s: float | None, until_s: float, starts_per_hour: float
) -> dict[str, Disturbance]:
    """By pair: leg_1, leg_2 (to neutral) and leg_to_leg, as far as the supply has them."""
    return {
        name: _of(record, name, energised_at_s, until_s, starts_per_hour)
        for name in w.LEGS
        if record.has(name)
    }


def _of(
    record: Recording, name: str, start: float | None, until_s: float, per_hour: float
) -> Disturbance:
    nominal = record.roles.volts_rms * (1.0 if name == w.LEGS[2] else _share(record, name))
    halves = half_cycle_rms(record.t_s, record[name], record.roles.hz)
    before = _before(halves, start, nominal)
    during = halves.rms[(halves.edges_s[:-1] >= (start or 0.0)) & (halves.edges_s[1:] <= until_s)]
    if during.size == 0:
        return Disturbance(before, before, 0.0, 0.0, 0.0, 0.0, 0.0)
    change = relative_voltage_change(during, nominal, record.roles.hz, before)
    least = float(np.min(during))
    lamp = flicker.lamp_factor(flicker.lamp_for(_to_neutral(record), record.roles.hz))
    return Disturbance(
        before_v=before,
        least_v=least,
        sag_pct=100.0 * (before - least) / before if before > 0.0 else 0.0,
        dmax_pct=change.dmax_pct,
        dc_pct=change.dc_pct,
        over_limit_s=change.over_limit_s,
        pst=flicker.pst_of_starts(change.dmax_pct, per_hour, lamp) if change.dmax_pct else 0.0,
    )


def _before(halves: HalfCycles, start: float | None, nominal: float) -> float:
    """Volts before the start: median of the half cycles before it, nominal when there are none."""
    if start is None:
        return float(np.median(halves.rms)) if halves.rms.size else nominal
    quiet = halves.rms[halves.edges_s[1:] <= start]
    return float(np.median(quiet)) if quiet.size else nominal


def _share(record: Recording, name: str) -> float:
    """Volts to neutral over volts between legs, from the first cycles of the record."""
    count = 2 * record.per_cycle
    whole = float(np.sqrt(np.mean(record[w.LEGS[2]][:count] ** 2)))
    part = float(np.sqrt(np.mean(record[name][:count] ** 2)))
    return part / whole if whole > 0.0 else 0.5


def _to_neutral(record: Recording) -> float:
    """Nominal volts of the lamps on this supply."""
    if record.has(w.LEGS[0]):
        return record.roles.volts_rms * _share(record, w.LEGS[0])
    return record.roles.volts_rms
