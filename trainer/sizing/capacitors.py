"""Run and start capacitors by themselves: energy, bleeding, life, tests, heat.

Farads, volts rms unless named peak. Knows no motor and no relay.
"""

from __future__ import annotations

import math

from trainer.base.errors import TrainerError
from trainer.sizing.ruled import Ruled

#: Volts that must not be exceeded a minute after disconnection. NEC 2023 460.6(A).
SAFE_V = 50.0
SAFE_WITHIN_S = 60.0
#: Voltage exponent of film life for defaults (from memory); the class test times give 7.2.
FILM_LIFE_EXPONENT = 7.0
#: Life halves for each of these. From memory.
HALVING_K = 10.0


def stored_j(farads: float, peak_v: float) -> float:
    """Energy W = C V^2/2 at ``peak_v`` [J]."""
    return 0.5 * farads * peak_v**2


def peak_of(rms_v: float) -> float:
    """Peak of a sine [V]."""
    return math.sqrt(2.0) * rms_v


def bleed_s(farads: float, ohms: float, from_v: float, to_v: float = SAFE_V) -> float:
    """Time to bleed: t = R C ln(V0/V) [s]. Zero when there is nothing to bleed."""
    return ohms * farads * math.log(from_v / to_v) if from_v > to_v else 0.0


def volts_left(farads: float, ohms: float, from_v: float, after_s: float) -> float:
    """v = V0 exp(-t/RC) [V]. No dielectric recovery."""
    return from_v * math.exp(-after_s / (ohms * farads))


def largest_bleed(farads: float, from_v: float) -> Ruled:
    """Largest resistor that brings the capacitor to 50 V within a minute [ohm].

    R = t / (C ln(V0/50)). NEC 2023 460.6; capacitors that are parts of other apparatus are
    outside its scope (460.1), so here it is a yardstick.
    """
    if from_v <= SAFE_V:
        raise TrainerError(f"{from_v:g} V needs no bleeding", hint="give more than 50 V")
    value = SAFE_WITHIN_S / (farads * math.log(from_v / SAFE_V))
    return Ruled(value, "ohm", "50 V within one minute", "NEC 2023 460.6(A)")


def bleed_peak_w(ohms: float, from_v: float) -> float:
    """Power in the resistor in the first instant [W]."""
    return from_v**2 / ohms


def life_exponent(rated_over_test: float, test_volts_ratio: float) -> float:
    """Exponent k of L ~ U^-k from two lives: k = ln(L1/L2)/ln(U2/U1)."""
    return math.log(rated_over_test) / math.log(test_volts_ratio)


def film_life_h(
    rated_h: float,
    volts_ratio: float,
    cooler_k: float = 0.0,
    exponent: float = FILM_LIFE_EXPONENT,
) -> float:
    """Life of a film capacitor: L = L_N (U_N/U)^k 2^((T_N - T)/10) [h] (from memory).

    ``volts_ratio`` is U/U_N, ``cooler_k`` how far below rated temperature it works.
    """
    return float(rated_h * volts_ratio**-exponent * 2.0 ** (cooler_k / HALVING_K))


def under_load_f(amps: float, volts: float, hz: float) -> float:
    """Capacitance from clamp and meter on a running unit: C = I/(2 pi f V) [F]."""
    return amps / (2.0 * math.pi * hz * volts)


def passes_tolerance(nominal_f: float, measured_f: float, minus: float, plus: float) -> bool:
    """Whether a run capacitor measures inside its printed tolerance, ends included."""
    slack = 1e-9 * nominal_f
    low, high = (1.0 - minus) * nominal_f, (1.0 + plus) * nominal_f
    return low - slack <= measured_f <= high + slack


def passes_range(range_f: tuple[float, float], measured_f: float) -> bool:
    """Whether a start capacitor measures inside its printed range, ends included."""
    slack = 1e-9 * range_f[1]
    return range_f[0] - slack <= measured_f <= range_f[1] + slack


def esr_from_loss(farads: float, hz: float, power_factor: float) -> float:
    """Series resistance of a lossy capacitor: pf / sqrt(1 - pf^2) / (2 pi f C) [ohm]."""
    tangent = power_factor / math.sqrt(1.0 - power_factor**2)
    return tangent / (2.0 * math.pi * hz * farads)


def heat_w(amps: float, esr_ohms: float) -> float:
    """Loss I^2 ESR [W]."""
    return amps**2 * esr_ohms
