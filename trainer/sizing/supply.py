"""The supply seen from the unit: transformer, service drop, and what a locked motor does to it.

Series impedances as complex ohms at line frequency. Knows nothing of a start's course in time.
"""

from __future__ import annotations

from dataclasses import dataclass

from trainer.sizing import conductors
from trainer.sizing.ruled import Ruled
from trainer.sizing.tables import codes

#: Reactance of a triplex drop, out and back, per metre: 0.006 ohm over 100 ft, common practice.
DROP_LOOP_X_PER_M = 0.006 / 30.48


@dataclass(frozen=True)
class Sag:
    """What is left while a motor stands locked on a source. rms."""

    volts: float
    amps: float
    ratio: float  # share of the no-load volts that is lost

    @property
    def pct(self) -> float:
        return 100.0 * self.ratio


def transformer_ohms(kva: float, volts: float = 240.0) -> complex:
    """Series impedance of a centre-tap service transformer, both halves in series [ohm].

    Z = (R + jX) V^2/S with R 1.20 %, X 1.70 %; 5-100 kVA. IEEE 8500-node test feeder, reduced.
    """
    whole = codes().transformer.whole
    return complex(whole.r, whole.x) * volts**2 / (1000.0 * kva)


def transformer_half_ohms(kva: float, volts: float = 120.0) -> complex:
    """Series impedance of one 120 V half on the kVA of the whole transformer [ohm].

    R 1.80 %, X 2.04 %. IEEE 8500-node test feeder, reduced.
    """
    half = codes().transformer.half
    return complex(half.r, half.x) * volts**2 / (1000.0 * kva)


def drop_ohms(length_m: float, gauge: str = "1/0 AWG Al") -> complex:
    """Service drop of triplex, out and back [ohm]."""
    return complex(conductors.loop_ohms(gauge, length_m), DROP_LOOP_X_PER_M * length_m)


def sag(source: complex, load: complex, volts: float) -> Sag:
    """A constant impedance ``load`` on ``volts`` behind ``source``: V Z/(Z + Zs).

    For a locked motor its standstill impedance; linear iron, steady state. [V, A]
    """
    amps = volts / (source + load)
    left = abs(amps * load)
    return Sag(left, abs(amps), 1.0 - left / volts)


def least_operating_volts(nominal_v: float, tolerance: float = 0.10) -> Ruled:
    """Lowest volts hermetic equipment must run on: nominal less the tolerance [V].

    Plus or minus 10 % of the nameplate (trade article); 187 V for 208-230 V units from memory.
    """
    rule = f"{tolerance:.0%} under the lower nameplate voltage".replace("%", " %")
    return Ruled(nominal_v * (1.0 - tolerance), "V", rule, "common practice of makers")


def coil_must_pull_in_volts(nominal_v: float) -> Ruled:
    """A contactor coil must pull in at 85 % of its volts [V].

    NEMA ICS 2, IEC 60947-4-1 (from memory).
    """
    rule = "85 % of the coil's nominal volts"
    return Ruled(0.85 * nominal_v, "V", rule, "NEMA ICS 2, IEC 60947-4-1 (from memory)")
