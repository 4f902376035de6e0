"""Flicker of lamps from the voltage changes a start makes.

Pst by the analytical method of IEC 61000-3-3, its limits, and the supply impedance a load may
have by IEC 61000-3-11. Knows numbers of changes and their size; must know no circuit. Per cent
here is per cent of nominal volts, as the standards write it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from trainer.base.errors import TrainerError
from trainer.sizing.ruled import Ruled
from trainer.sizing.tables import codes

WINDOW_S = 600.0
WINDOWS_IN_PLT = 12
EXPONENT = 3.2
#: The formula asks for a second between changes; IEC 61000-3-3 (from memory).
MOST_PER_MIN = 60.0
#: The lamp the formula was made for.
REFERENCE_LAMP = "230 V 50 Hz"
#: Rows of the performance table that lie in the formula's range.
_ROWS_IN_RANGE = 3


def lamp_factor(lamp: str) -> float:
    """How much a lamp shows compared with the 230 V 50 Hz lamp of the formula.

    Mean ratio of the changes that give Pst = 1 on both lamps, at 1, 7 and 39 a minute. About
    0.86 for 120 V 60 Hz: its filament is thicker and slower. IEC 61000-4-15 ed. 2 table.
    """
    lamps = codes().flicker.lamps
    if lamp not in lamps:
        raise TrainerError(f"no lamp {lamp!r}", hint=f"use one of {', '.join(lamps)}")
    pairs = list(zip(lamps[REFERENCE_LAMP], lamps[lamp], strict=True))[:_ROWS_IN_RANGE]
    return sum(reference / here for reference, here in pairs) / len(pairs)


def lamp_for(volts: float, hz: float) -> str:
    """The lamp that hangs on a supply of these volts to neutral and this frequency."""
    return f"{'120' if volts < 175.0 else '230'} V {'50' if hz < 55.0 else '60'} Hz"


def flicker_time(d_pct: float, factor: float = 1.0) -> float:
    """Flicker impression time of one change: t_f = 2.3 (F d)^3.2 [s].

    ``factor`` is the shape factor (1 for a step) times the lamp factor. IEC 61000-3-3 (from
    memory).
    """
    seconds: float = 2.3 * (factor * d_pct) ** EXPONENT
    return seconds


def pst(d_pct: float, changes: float, factor: float = 1.0) -> float:
    """Short-term flicker of ``changes`` equal changes in ten minutes.

    Pst = (sum t_f / T_p)^(1/3.2), T_p 600 s. Not for changes closer than a second: refuses more
    than 60 a minute. IEC 61000-3-3 (from memory).
    """
    if changes > MOST_PER_MIN * WINDOW_S / 60.0:
        raise TrainerError(
            f"{changes / 10.0:g} changes a minute are beyond the analytical method",
            hint="use at most 60 a minute, or a flickermeter",
        )
    return float((changes * flicker_time(d_pct, factor) / WINDOW_S) ** (1.0 / EXPONENT))


def change_for_pst(target: float, changes: float, factor: float = 1.0) -> float:
    """The change that gives ``target`` Pst: the inverse of ``pst`` [%]."""
    return float((WINDOW_S / changes / 2.3) ** (1.0 / EXPONENT)) * target / factor


def pst_of_starts(d_pct: float, starts_per_hour: float, factor: float = 1.0) -> float:
    """Pst of the worst ten minutes of an hour with evenly spaced starts.

    One start is one change: the drop and its recovery together, as IEC 61000-3-3 counts a
    motor start, taken with the shape factor of a step (from memory).
    """
    return pst(d_pct, _starts_in_worst_window(starts_per_hour), factor)


def plt_of_starts(d_pct: float, starts_per_hour: float, factor: float = 1.0) -> float:
    """Long-term flicker over two hours: (sum Pst^3 / 12)^(1/3). IEC 61000-3-3 (from memory)."""
    total = math.ceil(2.0 * starts_per_hour)
    each, more = divmod(total, WINDOWS_IN_PLT)
    cubes = more * pst(d_pct, each + 1, factor) ** 3
    cubes += (WINDOWS_IN_PLT - more) * (pst(d_pct, each, factor) ** 3 if each else 0.0)
    return math.cbrt(cubes / WINDOWS_IN_PLT)


def _starts_in_worst_window(starts_per_hour: float) -> int:
    if starts_per_hour <= 0.0:
        raise TrainerError("starts an hour must be above zero", hint="give at least 1")
    return math.ceil(starts_per_hour * WINDOW_S / 3600.0)


@dataclass(frozen=True)
class Verdict:
    """One limit and what was found. ``ok`` is whether it holds."""

    name: str
    found: float
    limit: float
    unit: str

    @property
    def ok(self) -> bool:
        return self.found <= self.limit


def judge(
    dmax_pct: float, dc_pct: float, over_limit_s: float, pst_found: float, kind: str = "general"
) -> list[Verdict]:
    """Limits of IEC 61000-3-3 against what was found; ``kind`` names the dmax class.

    ``general`` 4 %; ``delayed_restart`` 6 % (switched by hand, or automatically more than twice
    a day with a delayed restart); ``attended`` 7 % (while attended, or at most twice a day).
    """
    limits = codes().voltage_change
    classes = limits.dmax.model_dump()
    if kind not in classes:
        raise TrainerError(f"no dmax class {kind!r}", hint=f"use one of {', '.join(classes)}")
    return [
        Verdict("dmax", dmax_pct, 100.0 * classes[kind], "%"),
        Verdict("dc", dc_pct, 100.0 * limits.dc, "%"),
        Verdict("time above 3.3 %", over_limit_s, limits.longest, "s"),
        Verdict("Pst", pst_found, limits.pst, ""),
    ]


def reference_impedance() -> complex:
    """Line and neutral loop the limits are tested on, 0.40 + j0.25 ohm. IEC TR 60725."""
    table = codes().reference_impedance
    return complex(*table.phase) + complex(*table.neutral)


def test_impedance() -> complex:
    """Loop for equipment meant for services of 100 A and more. IEC 61000-3-11 [ohm]."""
    return complex(*codes().test_impedance.loop)


def dmax_on(impedance: complex, amps: float, power_factor: float, volts: float) -> float:
    """Voltage change of a current that appears: 100 I (R cos phi + X sin phi)/V [%]."""
    reactive = math.sqrt(max(0.0, 1.0 - power_factor**2))
    return 100.0 * amps * (impedance.real * power_factor + impedance.imag * reactive) / volts


def amps_for_dmax(impedance: complex, d_pct: float, power_factor: float, volts: float) -> float:
    """Current that makes a change of ``d_pct``: the inverse of ``dmax_on`` [A]."""
    return d_pct / dmax_on(impedance, 1.0, power_factor, volts)


def permitted_impedance(
    dmax_pct: float, pst_found: float, plt_found: float, kind: str = "general"
) -> Ruled:
    """Largest supply impedance for equipment measured on the reference impedance [ohm].

    The least of Z_ref limit/dmax, Z_ref (1/Pst)^1.5 and Z_ref (0.65/Plt)^1.5.
    IEC 61000-3-11 (from memory), equipment of 16-75 A per phase.
    """
    limits = codes().voltage_change
    ratios = {
        "dmax": 100.0 * getattr(limits.dmax, kind) / dmax_pct,
        "Pst": (limits.pst / pst_found) ** 1.5,
        "Plt": (limits.plt / plt_found) ** 1.5,
    }
    tightest = min(ratios, key=lambda name: ratios[name])
    return Ruled(ratios[tightest] * abs(reference_impedance()), "ohm",
                 f"reference impedance scaled by {tightest}", "IEC 61000-3-11 (from memory)",
    )  # fmt: skip
