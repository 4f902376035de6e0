"""Resistance of a run of conductor and the volts it drops: the arithmetic done on paper.

Reads the same conductor table as the wires of a study; must know no circuit.
"""

from __future__ import annotations

import math

from trainer.parts.conductors import ohms_of

#: Linear change of resistance about 75 degC: NEC Chapter 9 Table 8 note (from memory).
ALPHA_COPPER = 0.00323
ALPHA_ALUMINIUM = 0.00330


def conductor_ohms(gauge: str, length_m: float, at_c: float = 75.0) -> float:
    """Resistance of one conductor [ohm], direct current.

    R(T) = R75 (1 + alpha (T - 75)); ``gauge`` as the conductor table names it. NEC 2023
    Chapter 9 Table 8.
    """
    alpha = ALPHA_ALUMINIUM if gauge.endswith("Al") else ALPHA_COPPER
    return ohms_of(gauge, length_m) * (1.0 + alpha * (at_c - 75.0))


def loop_ohms(gauge: str, length_m: float, at_c: float = 75.0) -> float:
    """Resistance out and back over a run of ``length_m`` [ohm]."""
    return 2.0 * conductor_ohms(gauge, length_m, at_c)


def volt_drop(amps: float, loop: complex, power_factor: float = 1.0) -> float:
    """Volts lost in a loop: I (R cos phi + X sin phi) [V rms], lagging.

    Approximate form: leaves out the small quadrature part. ``loop`` is out and back.
    """
    reactive = math.sqrt(max(0.0, 1.0 - power_factor**2))
    return amps * (loop.real * power_factor + loop.imag * reactive)
