"""Steady state of the two-winding machine at one speed, by phasors.

The stationary-frame equations of Krause, Wasynczuk, Sudhoff (*Analysis of Electric
Machinery*, single-phase chapter, from memory) with p -> j omega. Main winding is q, auxiliary
is d; rotor values of the d axis are referred to the auxiliary winding. All volts and amps are
rms phasors; speeds are mechanical [rad/s]; iron is linear (see ``saturation``).
Knows terminals of the windings only: no capacitor, no line.

Every function takes ``temps = (main_c, aux_c)`` or None for the temperature at which the
resistances of the parameters hold. Speed may be an array; results then have its shape in front.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from trainer.motor.heat import copper_factor
from trainer.motor.params import MotorParams

Complex = NDArray[np.complex128]
Temps = tuple[float, float] | None


@dataclass(frozen=True)
class OperatingPoint:
    """Everything the machine does at one speed between given winding volts. rms, W, N m.

    ``i_main`` and ``i_aux`` flow in at the terminals, so the current of ``core_ohms`` is part
    of ``i_main``; ``i_rotor_q`` and ``i_rotor_d`` are referred to main and auxiliary.
    """

    i_main: complex
    i_aux: complex
    i_rotor_q: complex
    i_rotor_d: complex
    torque_nm: float
    pulsation_nm: float
    main_copper_w: float
    aux_copper_w: float
    rotor_copper_w: float
    core_w: float
    converted_w: float

    @property
    def stator_copper_w(self) -> float:
        return self.main_copper_w + self.aux_copper_w

    @property
    def air_gap_w(self) -> float:
        """Power crossing the gap, forward less backward field not separated [W]."""
        return self.rotor_copper_w + self.converted_w

    @property
    def input_w(self) -> float:
        return self.stator_copper_w + self.core_w + self.air_gap_w


def system(params: MotorParams, hz: float, speed_rad_s: ArrayLike, temps: Temps = None) -> Complex:
    """4x4 matrix A of A [I_main, I_aux, I'_qr, I'_dr] = [V_main, V_aux, 0, 0].

    Rows: v_qs = r i + p lambda_qs; v_ds likewise; 0 = r'_qr i'_qr - (1/a) w_r lambda'_dr
    + p lambda'_qr; 0 = r'_dr i'_dr + a w_r lambda'_qr + p lambda'_dr, with p = j 2 pi hz and
    w_r the electrical rotor speed. Leaves out ``core_ohms``.
    """
    r_main, r_aux = stator_ohms(params, temps)
    a, w = params.ratio, 2.0 * math.pi * hz
    wr = params.pole_pairs * np.asarray(speed_rad_s, dtype=float)
    m_q, m_d = params.l_mutual, a * a * params.l_mutual
    rr_q, rr_d = m_q + params.l_rotor, a * a * (m_q + params.l_rotor)
    matrix = np.zeros((*wr.shape, 4, 4), dtype=complex)
    matrix[..., 0, 0] = r_main + 1j * w * (params.l_main + m_q)
    matrix[..., 0, 2] = 1j * w * m_q
    matrix[..., 1, 1] = r_aux + 1j * w * (params.l_aux + m_d)
    matrix[..., 1, 3] = 1j * w * m_d
    matrix[..., 2, 0], matrix[..., 2, 1] = 1j * w * m_q, -wr / a * m_d
    matrix[..., 2, 2], matrix[..., 2, 3] = params.r_rotor + 1j * w * rr_q, -wr / a * rr_d
    matrix[..., 3, 0], matrix[..., 3, 1] = a * wr * m_q, 1j * w * m_d
    matrix[..., 3, 2], matrix[..., 3, 3] = a * wr * rr_q, a * a * params.r_rotor + 1j * w * rr_d
    return matrix


def stator_ohms(params: MotorParams, temps: Temps = None) -> tuple[float, float]:
    """Main and auxiliary resistance [ohm] at ``temps``."""
    if temps is None:
        return params.r_main, params.r_aux
    return (
        params.r_main * copper_factor(params.ohms_at_c, temps[0]),
        params.r_aux * copper_factor(params.ohms_at_c, temps[1]),
    )


def inverted(
    params: MotorParams, hz: float, speed_rad_s: ArrayLike, temps: Temps = None
) -> Complex:
    """Inverse of ``system``, for whoever asks it twice."""
    return np.asarray(np.linalg.inv(system(params, hz, speed_rad_s, temps)), dtype=np.complex128)


def winding_admittance(
    params: MotorParams, hz: float, speed_rad_s: ArrayLike, temps: Temps = None
) -> Complex:
    """Y of [I_main, I_aux] = Y [V_main, V_aux]: terminal currents at a held speed [S]."""
    return admittance_of(params, inverted(params, hz, speed_rad_s, temps))


def admittance_of(params: MotorParams, inverse: Complex) -> Complex:
    """``winding_admittance`` from ``inverted`` [S]."""
    y = np.ascontiguousarray(inverse[..., :2, :2])
    if params.core_ohms > 0.0:
        y[..., 0, 0] += 1.0 / params.core_ohms
    return y


def currents(
    params: MotorParams,
    hz: float,
    speed_rad_s: ArrayLike,
    v_main: ArrayLike,
    v_aux: ArrayLike,
    temps: Temps = None,
) -> Complex:
    """[I_main, I_aux, I'_qr, I'_dr] of the windings alone, without the core-loss current [A]."""
    return currents_of(inverted(params, hz, speed_rad_s, temps), v_main, v_aux)


def currents_of(inverse: Complex, v_main: ArrayLike, v_aux: ArrayLike) -> Complex:
    """``currents`` from ``inverted`` [A]."""
    volts = np.stack(np.broadcast_arrays(v_main, v_aux), axis=-1).astype(complex)
    return np.einsum("...ij,...j->...i", inverse[..., :, :2], volts)


def rotor_currents(
    params: MotorParams,
    hz: float,
    speed_rad_s: float,
    v_main: complex,
    v_aux: complex,
    temps: Temps = None,
) -> tuple[complex, complex]:
    """Rotor currents referred to main (q) and to auxiliary (d) [A rms]."""
    i = currents(params, hz, speed_rad_s, v_main, v_aux, temps)
    return complex(i[2]), complex(i[3])


def torque_of(params: MotorParams, i: Complex) -> NDArray[np.float64]:
    """Mean torque of the four currents: (P/2) a L_mq Re(I_qs I'_dr* - I_ds I'_qr*) [N m]."""
    scale = params.pole_pairs * params.ratio * params.l_mutual
    return scale * np.real(i[..., 0] * np.conj(i[..., 3]) - i[..., 1] * np.conj(i[..., 2]))


def pulsation_of(params: MotorParams, i: Complex) -> NDArray[np.float64]:
    """Amplitude of the torque at twice line frequency [N m]: (P/2) a L_mq |I_qs I'_dr - ...|."""
    scale = params.pole_pairs * params.ratio * params.l_mutual
    return scale * np.abs(i[..., 0] * i[..., 3] - i[..., 1] * i[..., 2])


def torque_avg(
    params: MotorParams,
    hz: float,
    speed_rad_s: float,
    v_main: complex,
    v_aux: complex,
    temps: Temps = None,
) -> float:
    """Mean torque of the field on the rotor between the given winding volts [N m]."""
    return float(torque_of(params, currents(params, hz, speed_rad_s, v_main, v_aux, temps)))


def torque_pulsation(
    params: MotorParams,
    hz: float,
    speed_rad_s: float,
    v_main: complex,
    v_aux: complex,
    temps: Temps = None,
) -> float:
    """Peak of the torque at twice line frequency about its mean [N m]."""
    return float(pulsation_of(params, currents(params, hz, speed_rad_s, v_main, v_aux, temps)))


def operating_point(
    params: MotorParams,
    hz: float,
    speed_rad_s: float,
    v_main: complex,
    v_aux: complex,
    temps: Temps = None,
) -> OperatingPoint:
    """Currents, torque and losses at a held speed between the given winding volts."""
    i = currents(params, hz, speed_rad_s, v_main, v_aux, temps)
    r_main, r_aux = stator_ohms(params, temps)
    core = 1.0 / params.core_ohms if params.core_ohms > 0.0 else 0.0
    torque = float(torque_of(params, i))
    heat_rotor = params.r_rotor * (abs(i[2]) ** 2 + params.ratio**2 * abs(i[3]) ** 2)
    return OperatingPoint(
        i_main=complex(i[0]) + core * v_main,
        i_aux=complex(i[1]),
        i_rotor_q=complex(i[2]),
        i_rotor_d=complex(i[3]),
        torque_nm=torque,
        pulsation_nm=float(pulsation_of(params, i)),
        main_copper_w=float(r_main * abs(i[0]) ** 2),
        aux_copper_w=float(r_aux * abs(i[1]) ** 2),
        rotor_copper_w=float(heat_rotor),
        core_w=core * abs(v_main) ** 2,
        converted_w=torque * speed_rad_s,
    )
