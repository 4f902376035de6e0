"""What the plate of a compressor says of its motor, and whether that can be one motor.

Refuses what cannot exist, with the reason; the parameters are ``fit``'s business. RLA is a
rating (largest continuous current over 1.56 or 1.44), not what a healthy unit draws.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from trainer.base.errors import Fault, Faults

#: R-S must equal C-S + C-R within this share and these ohms: a meter and its leads. Invented.
OHMS_SHARE, OHMS_SLACK = 0.05, 0.1
#: Locked over rated amps of hermetic motors: 4 to 7 is common practice, no source; outside the
#: wider bounds no induction motor with a run capacitor is known to us.
LRA_RATIO_MOST = 12.0
#: V/X_c over RLA: amps the run capacitor alone would take from the line. Ordinary units lie
#: between 0.1 and 0.45 of RLA; beyond these bounds it cannot be this motor's capacitor. Invented.
CAPACITOR_SHARE_LEAST, CAPACITOR_SHARE_MOST = 0.05, 0.67
POLES = (2, 4, 6, 8)


@dataclass(frozen=True)
class Nameplate:
    """Volts, amps rms; farads; ohms between the terminals at ``ohms_at_c``, leads taken off."""

    volts: float
    hz: float
    poles: int
    rla_a: float
    lra_a: float
    run_f: float
    common_run_ohms: float | None = None
    common_start_ohms: float | None = None
    run_start_ohms: float | None = None
    ohms_at_c: float = 25.0

    @property
    def capacitor_share(self) -> float:
        """Amps of the run capacitor straight across the line, over RLA."""
        return self.volts * 2.0 * math.pi * self.hz * self.run_f / self.rla_a

    @property
    def balanced_ratio(self) -> float:
        """Turns ratio at which this capacitor would balance both windings at RLA.

        Balance wants V_aux = a V a quarter turn ahead, hence X_c RLA / V = 1 + a^2. Derived.
        """
        return math.sqrt(1.0 / self.capacitor_share - 1.0)

    def windings(self) -> tuple[float, float] | None:
        """(main, auxiliary) ohms from any two of the three readings; None without readings."""
        run, start, both = self.common_run_ohms, self.common_start_ohms, self.run_start_ohms
        if run is not None and start is not None:
            return run, start
        if both is not None and run is not None:
            return run, both - run
        if both is not None and start is not None:
            return both - start, start
        return None


def check(plate: Nameplate) -> None:
    """Raise Faults naming everything that keeps this plate from being one motor."""
    faults = list(_numbers(plate))
    if not faults:
        faults = [*_amps(plate), *_capacitor(plate), *_ohms(plate)]
    if faults:
        raise Faults(faults)


def _numbers(plate: Nameplate) -> Iterator[Fault]:
    for name in ("volts", "hz", "rla_a", "lra_a", "run_f"):
        value = getattr(plate, name)
        if not (math.isfinite(value) and value > 0.0):
            yield Fault(name, f"{value:g} is not above zero", "the figure of the plate")
    for name in ("common_run_ohms", "common_start_ohms", "run_start_ohms"):
        value = getattr(plate, name)
        if value is not None and not (math.isfinite(value) and value > 0.0):
            yield Fault(name, f"{value:g} ohm is no winding", "a reading above zero, leads off")
    if plate.poles not in POLES:
        what = f"{plate.poles} poles: poles come in pairs"
        yield Fault("poles", what, f"one of {', '.join(map(str, POLES))}")


def _amps(plate: Nameplate) -> Iterator[Fault]:
    if plate.lra_a <= plate.rla_a:
        what = f"LRA {plate.lra_a:g} A is not above RLA {plate.rla_a:g} A"
        yield Fault("lra_a", what, "the larger figure of the plate, often 4 to 7 times RLA")
    elif plate.lra_a > LRA_RATIO_MOST * plate.rla_a:
        what = f"LRA is {plate.lra_a / plate.rla_a:.0f} times RLA; no such motor is built"
        yield Fault("lra_a", what, "the figures of one and the same compressor")


def _capacitor(plate: Nameplate) -> Iterator[Fault]:
    share = plate.capacitor_share
    if share > CAPACITOR_SHARE_MOST:
        what = (
            f"a run capacitor of {plate.run_f * 1e6:.3g} uF takes {share * plate.rla_a:.3g} A from "
            f"this line by itself, too much for RLA {plate.rla_a:g} A"
        )
        yield Fault("run_f", what, "the run (HERM) value, not a start capacitor's")
    elif share < CAPACITOR_SHARE_LEAST:
        what = (
            f"a run capacitor of {plate.run_f * 1e6:.3g} uF passes {share * plate.rla_a:.3g} A, "
            f"nothing beside RLA {plate.rla_a:g} A"
        )
        yield Fault("run_f", what, "the compressor's (HERM) value, not the fan's")


def _ohms(plate: Nameplate) -> Iterator[Fault]:
    readings = (plate.common_run_ohms, plate.common_start_ohms, plate.run_start_ohms)
    given = [ohms for ohms in readings if ohms is not None]
    if len(given) == 1:
        what = "one resistance alone does not tell the windings apart"
        yield Fault("common_run_ohms", what, "C-R and C-S, or either of them and R-S")
        return
    windings = plate.windings()
    if windings is None:
        return
    run, start = windings
    if min(run, start) <= 0.0:
        what = "R-S is not above the winding in series with the other"
        yield Fault("run_start_ohms", what, "the highest of the three readings")
        return
    yield from _sum_of_ohms(plate, run + start)
    if run >= 0.9 * plate.volts / plate.lra_a:
        limit = plate.volts / plate.lra_a
        what = f"C-R {run:g} ohm alone would hold locked amps below LRA ({limit:.3g} ohm in all)"
        yield Fault("common_run_ohms", what, "the lowest of the three readings, leads taken off")


def _sum_of_ohms(plate: Nameplate, series: float) -> Iterator[Fault]:
    both = plate.run_start_ohms
    if both is None:
        return
    if abs(both - series) > max(OHMS_SHARE * series, OHMS_SLACK):
        what = f"R-S {both:g} ohm is not C-R plus C-S, {series:.3g} ohm"
        yield Fault("run_start_ohms", what, "readings taken again, cold, with leads subtracted")
