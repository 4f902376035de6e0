"""What a start cost the start capacitor: time in circuit, heat, life.

Life law borrowed from IEC 60252-1 (from memory): L = L_N (U_N/U)^k 2^((T_N - T)/10 K). The can
is one lump that keeps its heat for the length of a start. Knows numbers; must know no circuit.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from trainer.starts.signals import Floats
from trainer.starts.thresholds import Thresholds

AMBIENT_C = 25.0


@dataclass(frozen=True)
class CanData:
    """Ratings of a start capacitor: volts rms, life at them and at ``rated_c``, seconds an hour."""

    rated_v: float
    life_s: float
    rated_c: float
    duty_s_per_hour: float
    esr_ohms: float


@dataclass(frozen=True)
class Wear:
    """``life_used`` is the share of its life that this start took; ``vents_in_s`` from the end on
    at the last heat, None when it is out of the circuit by then."""

    seconds_in_circuit: float
    rms_v: float
    over_rated_v: float
    peak_rms_a: float
    end_c: float
    duty_used_ratio: float
    life_used_ratio: float
    vents_in_s: float | None


def wear(
    can: CanData, volts_rms: Floats, amps_rms: Floats, step_s: float, limits: Thresholds
) -> Wear:
    """From cycle-rms volts and amps of the can at even steps; amps are 0 while it is out."""
    inside = amps_rms >= limits.in_circuit.value
    seconds = float(np.count_nonzero(inside)) * step_s
    heat = can.esr_ohms * amps_rms**2
    warm = AMBIENT_C + np.cumsum(heat) * step_s / limits.can_heat_capacity.value
    rate = (volts_rms / can.rated_v) ** limits.life_voltage_exponent.value * 2.0 ** (
        np.minimum(warm - can.rated_c, 500.0) / limits.life_halves_every.value
    )
    used = float(np.sum(rate[inside])) * step_s / can.life_s
    rms = float(np.sqrt(np.mean(volts_rms[inside] ** 2))) if seconds else 0.0
    return Wear(
        seconds_in_circuit=seconds,
        rms_v=rms,
        over_rated_v=rms / can.rated_v,
        peak_rms_a=float(np.max(amps_rms, initial=0.0)),
        end_c=float(warm[-1]) if warm.size else AMBIENT_C,
        duty_used_ratio=seconds * limits.starts_per_hour.value / can.duty_s_per_hour,
        life_used_ratio=min(1.0, used),
        vents_in_s=_vents(warm, heat, inside, limits),
    )


def _vents(warm: Floats, heat: Floats, inside: np.ndarray, limits: Thresholds) -> float | None:
    """Seconds until it boils: c (T_vent - T)/P at the last heat; 0 when it already does."""
    if not inside.size or not inside[-1]:
        return None
    left = max(0.0, limits.vents_at.value - float(warm[-1]))
    return limits.can_heat_capacity.value * left / float(heat[-1])
