"""Resistance of copper with temperature. Knows no circuit and no machine."""

from __future__ import annotations

#: Temperature at which the resistance of annealed copper would extrapolate to zero, negated
#: [degC]. Standard constant for copper windings (IEC 60034-1 and IEEE 112, from memory).
COPPER_ZERO_C = 234.5


def copper_factor(from_c: float, to_c: float) -> float:
    """Ratio of winding resistance at ``to_c`` to that at ``from_c``.

    R2/R1 = (234.5 + T2) / (234.5 + T1), temperatures in degC, copper, about -50 to 250 degC.
    """
    return (COPPER_ZERO_C + to_c) / (COPPER_ZERO_C + from_c)


def copper_ohms(ohms: float, measured_c: float, at_c: float) -> float:
    """Resistance [ohm] at ``at_c`` of a winding that measured ``ohms`` at ``measured_c``."""
    return ohms * copper_factor(measured_c, at_c)
