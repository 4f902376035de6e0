"""Frozen data of a single-phase two-winding motor and of the load on its shaft.

Main winding is the q axis, auxiliary the d axis of the stationary frame; rotor values are
referred to the main winding; ``ratio`` is a = N_aux/N_main (Krause, Wasynczuk, Sudhoff,
*Analysis of Electric Machinery*, single-phase chapter, from memory). Knows no circuit.
"""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class MotorParams:
    """Ohms, henries, kg m2. Rotor d-axis values follow as a^2 times the q-axis ones."""

    r_main: float
    l_main: float  # leakage of the main winding
    r_aux: float
    l_aux: float  # leakage of the auxiliary winding, as measured (not referred)
    r_rotor: float
    l_rotor: float  # rotor leakage referred to main
    l_mutual: float  # magnetising inductance referred to main
    ratio: float
    pole_pairs: int
    inertia_kg_m2: float
    #: magnetising current grows by (1 + sat_gain*max(0, flux/sat_knee_wb - 1)^2); 0 = linear iron
    sat_gain: float = 0.0
    sat_knee_wb: float = 1.0  # peak flux linkage of main at the knee
    core_ohms: float = 0.0  # iron loss as a resistor across the main winding; 0 = none
    #: winding heat: lumped copper of each winding and its path to the shell
    c_main_j_per_k: float = 900.0
    c_aux_j_per_k: float = 350.0
    r_winding_k_per_w: float = 0.15
    ohms_at_c: float = 25.0  # temperature at which r_main and r_aux hold

    def synchronous_rad_s(self, hz: float) -> float:
        """Mechanical synchronous speed [rad/s]."""
        return 2.0 * math.pi * hz / self.pole_pairs


@dataclass(frozen=True)
class LoadParams:
    """Torque the shaft must overcome.

    T_gas = run_nm * L, L = (1-lift)*(at_rest + (at_speed-at_rest)*r^2) + lift, r = |w/w_sync|;
    ``lift`` (0..1) is how far the pressures have parted: it grows while pumping with
    ``pull_down_s`` and equalises at rest with ``equalise_s``. ``shape`` is T_gas over one shaft
    turn divided by its mean (even samples). Friction adds ``coulomb_nm`` (``breakaway_nm`` at
    rest) and ``viscous`` w. ``drives_back``: gas torque can turn the shaft backwards (scroll
    pocket, decaying with ``pocket_s``); otherwise it only resists, in either direction.
    """

    run_nm: float = 0.0
    at_rest: float = 0.1
    at_speed: float = 0.4
    lift: float = 0.0
    pull_down_s: float = 20.0
    equalise_s: float = 60.0
    shape: tuple[float, ...] = (1.0,)
    coulomb_nm: float = 0.0
    breakaway_nm: float = 0.0
    viscous_nms: float = 0.0
    drives_back: bool = False
    pocket_s: float = 0.25
    #: fan: torque = fan_nm * r^2 on top of everything else
    fan_nm: float = 0.0
    locked: bool = False
