"""Limits of flicker and voltage change, and the supply impedance a load may have.

IEC 61000-3-3 and IEC 61000-3-11 over the law of ``trainer.starts.flicker``, which is passed on
from here. Must know no circuit. Per cent here is per cent of nominal volts, as the standards
write it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from trainer.base.errors import TrainerError
from trainer.sizing.ruled import Ruled
from trainer.sizing.tables import codes
from trainer.starts.flicker import (
    change_for_pst,
    flicker_time,
    lamp_factor,
    lamp_for,
    plt_of_starts,
    pst,
    pst_of_starts,
)

__all__ = [
    "Verdict", "amps_for_dmax", "change_for_pst", "dmax_on", "flicker_time", "judge", "lamp_factor",
    "lamp_for", "permitted_impedance", "plt_of_starts", "pst", "pst_of_starts",
    "reference_impedance", "test_impedance",
]  # fmt: skip


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
