"""Textbook formulas of the single-phase motor: revolving fields and starting capacitors.

Written apart from ``phasor`` on purpose, so that each can be held against the other. Ohms, rms
volts and amps, radians; ``slip`` is that of the forward field. Reactances of rotor and
magnetising branch are the full ones and are halved here in each field. Knows no circuit.
"""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass

#: Rotor turning this close to a field leaves that field's rotor branch open.
_NO_SLIP = 1e-12


@dataclass(frozen=True)
class FieldOhms:
    """One winding and the rotor seen from it: R1, X1, R2', X2', X_m [ohm]."""

    r1: float
    x1: float
    r2: float
    x2: float
    xm: float


def field_impedance(ohms: FieldOhms, slip: float) -> complex:
    """Half the rotor and magnetising branch, as the field of this slip sees it [ohm].

    Z = 1/2 * jX_m (R2/s + jX2) / (R2/s + j(X2 + X_m)); forward with s, backward with 2 - s.
    Source: double-revolving-field theory, as in Fitzgerald/Kingsley/Umans ch. 9.
    """
    if abs(slip) < _NO_SLIP:
        return 0.5j * ohms.xm
    rotor = complex(ohms.r2 / slip, ohms.x2)
    return 0.5j * ohms.xm * rotor / (rotor + 1j * ohms.xm)


@dataclass(frozen=True)
class MainAlone:
    """Main winding alone on ``volts`` at ``slip``. Amps, W, N m; no core or friction loss."""

    current_a: complex
    forward_gap_w: float
    backward_gap_w: float
    input_w: float
    converted_w: float
    torque_nm: float
    rotor_copper_w: float


def main_alone(ohms: FieldOhms, volts: complex, slip: float, sync_rad_s: float) -> MainAlone:
    """Single-phase running: I = V/(R1 + jX1 + Z_f + Z_b), T = (P_gf - P_gb)/w_s.

    P_conv = (1 - s)(P_gf - P_gb), rotor copper s P_gf + (2 - s) P_gb. ``sync_rad_s`` is the
    mechanical synchronous speed. Source: Fitzgerald/Kingsley/Umans ch. 9, Chapman ch. 9.
    """
    z_f, z_b = field_impedance(ohms, slip), field_impedance(ohms, 2.0 - slip)
    current = volts / (complex(ohms.r1, ohms.x1) + z_f + z_b)
    p_f, p_b = abs(current) ** 2 * z_f.real, abs(current) ** 2 * z_b.real
    return MainAlone(
        current_a=current,
        forward_gap_w=p_f,
        backward_gap_w=p_b,
        input_w=(volts * current.conjugate()).real,
        converted_w=(1.0 - slip) * (p_f - p_b),
        torque_nm=(p_f - p_b) / sync_rad_s,
        rotor_copper_w=slip * p_f + (2.0 - slip) * p_b,
    )


@dataclass(frozen=True)
class TwoWindings:
    """Both windings at ``slip``: currents, powers of the fields, torque. A, W, N m."""

    i_main: complex
    i_aux: complex
    forward_gap_w: float
    backward_gap_w: float
    converted_w: float
    torque_nm: float


def two_windings(
    ohms: FieldOhms, ratio: float, z_aux: complex, volts: complex, slip: float, sync_rad_s: float
) -> TwoWindings:
    """Main and auxiliary on one line, ``z_aux`` being all the impedance outside the fields.

    Z11 = R1 + jX1 + Z_f + Z_b; Z22 = z_aux + a^2 (Z_f + Z_b); Z12 = -ja (Z_f - Z_b) = -Z21.
    ``z_aux`` = R_a + jX_a + capacitor; Guru takes X_a = a^2 X1. The fields are driven by
    I_f = (I_m - j a I_a)/2 and I_b = (I_m + j a I_a)/2, P_g = 4 |I|^2 Re Z.
    Source: Guru and Hiziroglu, *Electric Machinery and Transformers*, ch. 10.
    """
    z_f, z_b = field_impedance(ohms, slip), field_impedance(ohms, 2.0 - slip)
    z11 = complex(ohms.r1, ohms.x1) + z_f + z_b
    z22 = z_aux + ratio**2 * (z_f + z_b)
    z12 = -1j * ratio * (z_f - z_b)
    det = z11 * z22 + z12 * z12
    i_m, i_a = volts * (z22 - z12) / det, volts * (z11 + z12) / det
    p_f = abs(i_m - 1j * ratio * i_a) ** 2 * z_f.real
    p_b = abs(i_m + 1j * ratio * i_a) ** 2 * z_b.real
    return TwoWindings(i_m, i_a, p_f, p_b, (1.0 - slip) * (p_f - p_b), (p_f - p_b) / sync_rad_s)


@dataclass(frozen=True)
class UmansHenries:
    """Two-phase machine by inductances: self, stator to rotor, rotor [H], resistances [ohm]."""

    r_main: float
    r_aux: float
    l_main: float
    l_aux: float
    l_main_rotor: float
    l_aux_rotor: float
    l_rotor: float
    r_rotor: float


def umans_flux(h: UmansHenries, hz: float, slip: float) -> tuple[complex, complex, complex]:
    """(A1, A2, A3) of lambda_main = A1 I_main + A2 I_aux, lambda_aux = -A2 I_main + A3 I_aux [H].

    K+ = s w / (2 (R_r + j s w L_r)), K- with 2 - s; A1 = L_main - j L_mr^2 (K+ + K-),
    A2 = L_mr L_ar (K+ - K-), A3 = L_aux - j L_ar^2 (K+ + K-).
    Source: Fitzgerald/Kingsley/Umans 6th ed., section 9.4. Its main leads where ours lags:
    the auxiliary current has the opposite sign to that of ``two_windings``.
    """
    forward, backward = _umans_k(h, hz, slip), _umans_k(h, hz, 2.0 - slip)
    both, between = forward + backward, forward - backward
    return (
        h.l_main - 1j * h.l_main_rotor**2 * both,
        h.l_main_rotor * h.l_aux_rotor * between,
        h.l_aux - 1j * h.l_aux_rotor**2 * both,
    )


def umans_torque(
    h: UmansHenries, hz: float, slip: float, pole_pairs: int, i_main: complex, i_aux: complex
) -> float:
    """Mean torque [N m] of the currents at this slip, Fitzgerald/Kingsley/Umans section 9.4.

    (P/2) Re[(L_mr^2 |I_m|^2 + L_ar^2 |I_a|^2)(K+ - K-)*
    + j L_mr L_ar (I_m* I_a - I_m I_a*)(K+ + K-)*].
    """
    forward, backward = _umans_k(h, hz, slip), _umans_k(h, hz, 2.0 - slip)
    own = (h.l_main_rotor * abs(i_main)) ** 2 + (h.l_aux_rotor * abs(i_aux)) ** 2
    cross = i_main.conjugate() * i_aux - i_main * i_aux.conjugate()
    mixed = 1j * h.l_main_rotor * h.l_aux_rotor * cross * (forward + backward).conjugate()
    return pole_pairs * (own * (forward - backward).conjugate() + mixed).real


def _umans_k(h: UmansHenries, hz: float, slip: float) -> complex:
    w_slip = slip * 2.0 * math.pi * hz
    return w_slip / (2.0 * (h.r_rotor + 1j * w_slip * h.l_rotor))


def ninety_degree_capacitor(z_main: complex, z_aux: complex, hz: float) -> float:
    """Series capacitance [F] that puts the auxiliary current 90 degrees ahead of the main.

    X_c = X_a + R_a R_m / X_m. Locked rotor; needs X_m > 0.
    Source: Fitzgerald/Kingsley/Umans Example 9.1.
    """
    x_c = z_aux.imag + z_aux.real * z_main.real / z_main.imag
    return 1.0 / (2.0 * math.pi * hz * x_c)


def most_torque_capacitor(z_main: complex, z_aux: complex, hz: float) -> float:
    """Series capacitance [F] of the greatest locked-rotor torque at given line volts.

    X_c = X_a + R_a (|Z_m| - X_m)/R_m: the maximum of I_a sin(alpha). Needs R_m > 0.
    Source: P. C. Sen, *Principles of Electric Machines and Power Electronics*, Example 7.4.
    """
    x_c = z_aux.imag + z_aux.real * (abs(z_main) - z_main.imag) / z_main.real
    return 1.0 / (2.0 * math.pi * hz * x_c)


def locked_torque(
    r_rotor_branch: float, ratio: float, i_main: complex, i_aux: complex, sync_rad_s: float
) -> float:
    """Standstill torque [N m]: T = 2 a R |I_m| |I_a| sin(alpha) / w_s.

    ``r_rotor_branch`` is the real part of the full rotor branch in parallel with jX_m,
    alpha the angle by which the auxiliary current leads. Source: Fitzgerald, McPherson ch. 6.
    """
    return 2.0 * ratio * r_rotor_branch * (i_aux * i_main.conjugate()).imag / sync_rad_s


def split_phase_torque_factor(i_main: complex, i_aux: complex) -> float:
    """|I_m| |I_a| sin(angle between) [A^2]: starting torque per unit of the machine constant.

    Source: C. I. Hubert, *Electric Machines*, ch. 6.
    """
    return abs(i_main) * abs(i_aux) * abs(math.sin(cmath.phase(i_aux) - cmath.phase(i_main)))


def capacitance_under_load(amps: float, volts: float, hz: float) -> float:
    """Capacitance [F] of a capacitor carrying ``amps`` with ``volts`` across it: I/(2 pi f V)."""
    return amps / (2.0 * math.pi * hz * volts)


def run_to_start_ohms(common_run: float, common_start: float) -> float:
    """R-S of a two-winding motor: the windings in series, C-R + C-S [ohm]. Common practice."""
    return common_run + common_start
