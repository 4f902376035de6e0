"""Which column of the solver's arrays means what. Shared by plan.py and the compiled kernel.

Knows names and numbers only.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

# machine constants, one row a machine; from MC_RQ on: derived, see kernel_step.refresh -------
(
    MC_R_MAIN,
    MC_LS_MAIN,
    MC_LM_MAIN,
    MC_LR_MAIN,
    MC_R_AUX,
    MC_LS_AUX,
    MC_LM_AUX,
    MC_LR_AUX,
    MC_RR_MAIN,
    MC_RR_AUX,
    MC_RATIO,
    MC_PAIRS,
    MC_INERTIA,
    MC_SAT_GAIN,
    MC_SAT_KNEE,
    MC_SYNC,
    MC_RUN_NM,
    MC_AT_REST,
    MC_AT_SPEED,
    MC_PULL_DOWN,
    MC_EQUALISE,
    MC_COULOMB,
    MC_BREAKAWAY,
    MC_VISCOUS,
    MC_DRIVES_BACK,
    MC_POCKET,
    MC_FAN,
    MC_LOCKED,
    MC_C_MAIN,
    MC_C_AUX,
    MC_R_HEAT,
    MC_ALPHA,
    MC_OHMS_AT,
    MC_SHELL,
    MC_LAST_MAIN_C,
    MC_LAST_AUX_C,
    MC_GIVEN,
) = range(37)
# of each axis: winding ohms, 1/den, lm/lr', 1/lr', then ls, lm, lr over ls lr - lm^2; reciprocals
(
    MC_RQ,
    MC_RD,
    MC_IDENQ,
    MC_IDEND,
    MC_PULLQ,
    MC_PULLD,
    MC_ILRQ,
    MC_ILRD,
    MC_YSQ,
    MC_YSD,
    MC_YMQ,
    MC_YMD,
    MC_YRQ,
    MC_YRD,
    MC_IRATIO,
    MC_ISYNC,
    MC_IINERTIA,
    MC_SIZE,
) = range(36, 54)

# machine scratch of one step: rotor histories, speed voltages, saturation amps ahead and now
SC_KQR, SC_KDR, SC_SQ, SC_SD, SC_XQ, SC_XD, SC_FXQ, SC_FXD, SC_SIZE = range(9)

# ports -------------------------------------------------------------------------------------
# PF_BACK: 2L/h of an inductive port, h/2C of a capacitive one
PF_G, PF_OHMS, PF_HENRIES, PF_SCALE, PF_FARADS, PF_HEAT, PF_BACK, PF_SIZE = range(8)
PI_SOURCE = 4  # after four tap nodes
PI_SIZE = 5

# machine state inside y, one block a machine -----------------------------------------------
(
    MS_FQ,
    MS_FD,
    MS_FQR,
    MS_FDR,
    MS_SPEED,
    MS_ANGLE,
    MS_SQ,
    MS_SD,
    MS_NET,
    MS_TORQUE,
    MS_IXQ,
    MS_IXD,
    MS_SQ2,
    MS_SD2,
    MS_FXQ,
    MS_FXD,
    MS_SIZE,
) = range(17)

# slow machine state, one row a machine -----------------------------------------------------
SL_LIFT, SL_POCKET, SL_MAIN_C, SL_AUX_C, SL_SIZE = range(5)

# contacts: numbers, and integers -------------------------------------------------------------
SW_ON, SW_OFF, SW_WELD, SW_ARCS, SW_PEAK, SW_A2S, SW_HEAT, SW_SIZE = range(8)
SI_A, SI_B, SI_CLOSED, SI_PARTED, SI_WELDED, SI_REASONS, SI_SIZE = range(7)

# dims: sizes and places ----------------------------------------------------------------------
D_NODES, D_L, D_C, D_M, D_PER_TICK, D_MACHINE, D_FIRST, D_P, D_S, D_Q, D_SIZE = range(11)

# sources -----------------------------------------------------------------------------------
SRC_AMP, SRC_PHASE, SRC_HZ, SRC_FOLD, SRC_LIMIT, SRC_SENSE, SRC_SIZE = range(7)

# counters ----------------------------------------------------------------------------------
(
    N_EVENTS,
    N_STATES,
    N_BUILT,
    N_STATE,
    N_REC,
    N_STEP,
    N_DIRTY,
    N_STEADY,
    N_PENDING,
    N_PAD,
    N_SIZE,
) = range(11)

#: N_PAD: the next step starts damped, from this part of the last step over WHOLE; 0: it does not.
WHOLE = 1 << 60

# energies ----------------------------------------------------------------------------------
EN_SOURCE, EN_ROTOR, EN_SHAFT, EN_DAMPING, EN_SURGE, EN_SIZE = range(6)

# devices: kinds ----------------------------------------------------------------------------
(
    DEV_COIL,
    DEV_THERMAL,
    DEV_MAGNETIC,
    DEV_RESIDUAL,
    DEV_TIMER,
    DEV_PTC,
    DEV_PHASE,
    DEV_GENERATOR,
    DEV_INVERTER,
) = range(9)

# devices: integer columns ------------------------------------------------------------------
DI_KIND, DI_SENSE, DI_RING, DI_MACHINE, DI_A, DI_B, DI_MAKES = range(7)
MOST = 6  # contacts a device can move each way
DI_BREAKS = DI_MAKES + MOST
DI_SIZE = DI_BREAKS + MOST
DF_SIZE = 16  # device parameters
DS_SIZE = 12  # device state

# events ------------------------------------------------------------------------------------
(
    EV_CLOSED,
    EV_PARTED,
    EV_OPENED,
    EV_PICKED_UP,
    EV_DROPPED_OUT,
    EV_TRIPPED,
    EV_RESET,
    EV_WELDED,
    EV_SURGE,
    EV_GAVE_UP,
) = range(10)
EVENT_NAMES = (
    "closed",
    "parted",
    "opened",
    "picked_up",
    "dropped_out",
    "tripped",
    "reset",
    "welded",
    "surge",
    "gave_up",
)

#: Bit of ``reasons`` that belongs to a hand or a call; device d owns bit d % 60.
HAND_BIT = 62

#: A parted contact carrying less than this opens at once. Invented; real gaps chop more.
CHOP_A = 0.02
#: No small air gap holds an arc longer than this without a current zero. Invented.
LONGEST_ARC_S = 0.025
#: A capacitor loop faster than this many steps is relaxed in closed form.
FAST_STEPS = 10.0
#: A soft starter that has seen no zero of its volts for so long has lost them [s].
NO_VOLTS_S = 0.03
#: Winding temperature change after which resistances are brought up to date [K].
REFRESH_K = 2.0

#: A scroll pocket fills within about this once it turns. Invented.
POCKET_FILL_S = 0.05

#: Ticks per cycle at which devices look; the step count per cycle is a multiple of it.
TICKS_PER_CYCLE = 84


class Core(NamedTuple):
    """Every array the kernel reads and writes, in the order of kernel.run's arguments.

    p ports, s contacts, n nodes, r resistors, q probes, m machines, d devices.
    """

    dims: np.ndarray  # (D_SIZE,) int
    counts: np.ndarray  # (N_SIZE,) int
    g_static: np.ndarray  # (n, n) resistors and leakage, without contacts and ports
    ri: np.ndarray  # (r, 2) int: nodes of resistors
    rf: np.ndarray  # (r, 2) conductance, joules
    si: np.ndarray  # (s, SI_SIZE) int
    sf: np.ndarray  # (s, SW_SIZE)
    pi: np.ndarray  # (p, PI_SIZE) int: four tap nodes (-1 unused), source
    pf: np.ndarray  # (p, PF_SIZE)
    taps: np.ndarray  # (p, 4) coefficients
    qi: np.ndarray  # (q, 3) int: nodes of probes, resistor whose amps are read (-1: volts)
    ci: np.ndarray  # (c, 4) int: columns of y added up
    cf: np.ndarray  # (c, 4) signs
    mach: np.ndarray  # (m, MC_SIZE)
    shape: np.ndarray  # (m, k) gas torque over a shaft turn
    slow: np.ndarray  # (m, SL_SIZE)
    scr: np.ndarray  # (m, SC_SIZE)
    src: np.ndarray  # (k, SRC_SIZE)
    key: np.ndarray  # (slots,) int: contact states met so far
    mt: np.ndarray  # (slots, p, p + s + q) port matrix, contacts and probes, transposed
    xs: np.ndarray  # (slots, n, p) node volts per history current
    heat_s: np.ndarray  # (slots, p, p) sums of products of history currents
    # volts p, amps p, emf l, capacitor volts c, machines; then contacts, probes, sums
    y: np.ndarray  # (ny,)
    y_old: np.ndarray
    half: np.ndarray  # (6, ny) damped half-steps
    hist: np.ndarray  # (p,) history currents of the step
    di: np.ndarray  # (d, DI_SIZE) int
    df: np.ndarray  # (d, DF_SIZE)
    ds: np.ndarray  # (d, DS_SIZE)
    rings: np.ndarray  # (k, TICKS_PER_CYCLE + 1) squares over one cycle, and their sum
    fast: np.ndarray  # indices of devices that look every step
    acc: np.ndarray  # (EN_SIZE,)
    events: np.ndarray  # (e, 4)
    cycle: np.ndarray  # (2, p + m) sums of squared port amps and speeds: this cycle, last cycle
    h: float
