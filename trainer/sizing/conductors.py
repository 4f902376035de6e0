"""Resistance of conductors and the volts they drop.

Knows gauge, metal, length and temperature; must know no circuit: a study's wires have their own
model, this is the arithmetic a tradesman does on paper.
"""

from __future__ import annotations

import math
from typing import Literal

from trainer.base.errors import TrainerError
from trainer.sizing.tables import M_PER_KFT, Gauge, codes

MetalName = Literal["copper", "aluminium"]
#: Linear change of resistance about 75 degC, copper: NEC Chapter 9 Table 8 note 2 (from memory).
ALPHA_75 = 0.00323
#: The same for aluminium: NEC Chapter 9 Table 8 note 2 (from memory).
ALPHA_75_ALUMINIUM = 0.00330


def ohms_per_m(
    gauge: str, metal: MetalName = "copper", solid: bool = False, at_c: float = 75.0
) -> float:
    """Resistance of one conductor per metre [ohm/m], direct current.

    R(T) = R75 (1 + alpha (T - 75)). NEC 2023 Chapter 9 Table 8.
    """
    row = _row(gauge, metal)
    per_kft = row.solid_ohm_per_kft if solid else row.stranded_ohm_per_kft
    if per_kft is None:
        raise TrainerError(f"no solid {gauge} {metal} in the table", hint="use stranded")
    return per_kft / M_PER_KFT * temperature_factor(at_c, metal)


def temperature_factor(at_c: float, metal: MetalName = "copper") -> float:
    """Resistance at ``at_c`` over that at 75 degC. Linear; ordinary wire temperatures."""
    alpha = ALPHA_75 if metal == "copper" else ALPHA_75_ALUMINIUM
    return 1.0 + alpha * (at_c - 75.0)


def loop_ohms(
    gauge: str,
    length_m: float,
    metal: MetalName = "copper",
    solid: bool = False,
    at_c: float = 75.0,
) -> float:
    """Resistance out and back over a run of ``length_m`` [ohm]."""
    return 2.0 * length_m * ohms_per_m(gauge, metal, solid, at_c)


def volt_drop(amps: float, loop: complex, power_factor: float = 1.0) -> float:
    """Volts lost in a loop: I (R cos phi + X sin phi) [V rms], lagging.

    Approximate form: leaves out the small quadrature part. ``loop`` is out and back.
    """
    reactive = math.sqrt(max(0.0, 1.0 - power_factor**2))
    return amps * (loop.real * power_factor + loop.imag * reactive)


def _row(gauge: str, metal: MetalName) -> Gauge:
    table = codes().copper if metal == "copper" else codes().aluminium
    if gauge not in table.rows:
        raise TrainerError(
            f"{gauge!r} {metal} is not in the shipped table",
            hint=f"use one of {', '.join(table.rows)}",
        )
    return table.rows[gauge]
