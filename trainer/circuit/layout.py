"""Which field of the solver's records means what. Shared by the planner and the compiled kernel.

Records rather than columns of numbers: a field costs the compiler a tenth of an element of an
array, and has a name. What a step goes through port by port stays in plain arrays, so that the
compiler can work on several ports at once. Knows names and numbers only.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np


def _fields(whole: str = "", real: str = "") -> np.dtype:
    """A record of integers and floating-point numbers, by name."""
    named = [(name, np.int64) for name in whole.split()]
    return np.dtype(named + [(name, np.float64) for name in real.split()])


#: Sizes: ports (padded), volts computed at a sample and whenever somebody looks, steps between
#: two looks of the devices, whether somebody looks at every step, whether heat is booked.
SIZES = _fields("inductives capacitives machines ports seen wide per_tick watch books", "step_s")
#: Counters and energies. ``restart``: the next step starts damped, from this part of the last
#: step over WHOLE; 0: it does not. ``loads``: the last row is to be taken up first. ``asks``: the
#: kernel came back for a matrix or a closing contact (states.py); ``stale``: ohms have changed.
TALLY = _fields(
    "step events states built recorded steady pending restart loads asks stale",
    "source_j rotor_j shaft_j damping_j surge_j",
)
#: Conductance and booked heat of a resistor.
RESISTOR = _fields("a b", "siemens joules")
#: ``reasons`` to be open, a bit each. ``at``: column of its amps. ``peak_a`` and ``a2s`` of the
#: last closing surge.
CONTACT = _fields(
    "a b closed parted welded reasons at",
    "on_siemens off_siemens weld_a2s arcs peak_a a2s joules",
)
#: A branch that remembers. ``rise``: h/2C.
PORT = _fields("source", "ohms henries scale farads rise joules")
#: Volts between nodes; amps of a contact or resistor where it has the number of one (else -1).
OBSERVED = _fields("a b contact resistor")
#: A share of one reading in an observed sum.
TERM = _fields("of to", "sign")
#: ``device``: what drives it (-1: nothing). ``turns`` at the last instant, each below 1.
SOURCE = _fields("device sense", "peak turns hz fold limit")
EVENT = _fields("step kind index", "value")
#: What is recorded: kind, and which one of its kind (a column, for a reading).
RECORDED = _fields("kind i")

#: One machine: constants of its load and shaft, pressures; from ``per_sync`` on derived.
MACHINE = _fields(
    "drives_back locked",
    "pairs ratio inertia sat_gain sat_knee sync run_nm at_rest at_speed pull_down equalise "
    "coulomb breakaway viscous pocket_s fan r_heat alpha ohms_at shell lift pocket "
    "per_sync per_inertia per_knee",
)
#: One axis of a machine: constants and temperature of its winding; from ``ohms`` on derived:
#: ohms as warm as ``last_c``, 1/den, lm/lr', 1/lr', and ls, lm, lr over ls lr - lm^2 (see
#: states.refresh). ``turns``: speed volts per rad/s and flux of the other axis.
AXIS = _fields(
    "",
    "cold_ohms ls lm lr rotor_ohms turns to_main heat_c warm_c last_c "
    "ohms per_den pull per_lr ys ym yr",
)
#: Flux linkages of one axis, speed volts one and two steps back, extra magnetising amps of
#: saturated iron and those that its flux calls for, rotor amps.
FLUX = _fields("", "stator rotor speed_v speed_v2 extra felt rotor_a")
FLUX_WIDTH = len(FLUX.names or ())
SHAFT = _fields("", "speed angle net torque")

#: A device: parameters p, state s as listed in kernel_devices; ``shown``: what a channel or an
#: event of it shows. ``sense`` and ``across`` are columns of readings; its moves are those from
#: ``first`` on, before ``end``.
PARAMETERS, STATES = 14, 12
DEVICE = _fields(
    "kind sense across ring machine contact resistor first end",
    " ".join(["shown", *(f"p{n}" for n in range(PARAMETERS)), *(f"s{n}" for n in range(STATES))]),
)
#: A contact that a device moves: closed by it when energised (``makes``), or opened.
MOVE = _fields("contact makes")

# what a step needs of every port: one row a quantity, one column a port -------------------------
# (see kernel_step.histories)
G, STAY, BACK, FALL, STEP_ROWS = range(5)

#: Ports and observed columns come in multiples of this, the rest being empty: the loops over
#: them then have no odd end.
LANES = 4

#: The row a stretch begins with. Typed, as a plain 0 would have numba compile its users twice.
FIRST_ROW = np.int64(0)
#: Rows of a stretch beside one a step: its beginning, five half-steps, two that regain the step
#: grid, padding, and the last instant, which is what other modules read and write.
MORE_ROWS = 12
LAST_ROW = -1

#: The kernel comes back for a longer table of events when fewer rows than this are left: more
#: than can happen in one stretch.
EVENT_ROOM = 600

#: TALLY.restart of a whole step.
WHOLE = 1 << 60

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

# what is recorded: kinds -------------------------------------------------------------------------
(
    REC_READING,
    REC_PLATES,
    REC_SPEED,
    REC_TORQUE,
    REC_ANGLE,
    REC_LIFT,
    REC_WARM,
    REC_DEVICE,
) = range(8)

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
    """Everything the kernel reads and writes, in the order of kernel.run's arguments.

    p ports and w volts (ports and what is observed), both padded; c capacitors, m machines,
    k sources. A stretch is the steps from one look of the devices to the next; its
    arrays have a row for each instant.
    """

    sizes: np.void
    tally: np.void
    contacts: np.ndarray
    ports: np.ndarray  # (p,) records
    step: np.ndarray  # (STEP_ROWS, p)
    fed: np.ndarray  # ports with a source
    machines: np.ndarray
    axes: np.ndarray  # (2m,) main and auxiliary of each machine
    shape: np.ndarray  # (m, samples) gas torque over a shaft turn
    sources: np.ndarray
    devices: np.ndarray
    moves: np.ndarray
    rings: np.ndarray  # (ringed devices, TICKS_PER_CYCLE + 1) squares over one cycle, their sum
    fast: np.ndarray  # devices that look every step
    key: np.ndarray  # (slots,) contact states met so far
    quiet: np.ndarray  # (slots,) whether no capacitor loop of the state is faster than the step
    mt: np.ndarray  # (slots, p, w) volts per history current, transposed
    heat_s: np.ndarray  # (slots, p, p) sums of products of history currents, lower half
    volts: np.ndarray  # (rows, w) of ports, then observed
    amps: np.ndarray  # (rows, p)
    hist: np.ndarray  # (rows, p) history currents
    caps: np.ndarray  # (rows, c) volts on the plates
    emf: np.ndarray  # (rows, k)
    flux: np.ndarray  # (rows, 2m)
    shaft: np.ndarray  # (rows, m)
    flux_values: np.ndarray  # (rows, values) the numbers of ``flux``
    shaft_values: np.ndarray  # (rows, values) the numbers of ``shaft``
    weight: np.ndarray  # (rows,) share of a step that a row is booked with
    kept: np.ndarray  # (rows,) rows to be recorded
    cycle: np.ndarray  # (2, p + m) sums of squared port amps and speeds: this cycle, last cycle
    events: np.ndarray


#: Element and number of dimensions (0: a record by itself) of what the kernel is handed.
KINDS: dict[str, tuple[Any, int]] = {
    "sizes": (SIZES, 0), "tally": (TALLY, 0), "contacts": (CONTACT, 1), "ports": (PORT, 1),
    "step": (float, 2), "fed": (np.int64, 1), "machines": (MACHINE, 1), "axes": (AXIS, 1),
    "shape": (float, 2), "sources": (SOURCE, 1), "devices": (DEVICE, 1), "moves": (MOVE, 1),
    "rings": (float, 2), "fast": (np.int64, 1), "key": (np.int64, 1), "quiet": (np.int64, 1),
    "mt": (float, 3), "heat_s": (float, 3), "volts": (float, 2), "amps": (float, 2),
    "hist": (float, 2), "caps": (float, 2), "emf": (float, 2), "flux": (FLUX, 2),
    "shaft": (SHAFT, 2), "flux_values": (float, 2), "shaft_values": (float, 2),
    "weight": (float, 1), "kept": (np.int64, 1), "cycle": (float, 2), "events": (EVENT, 1),
    "rec": (float, 2), "recorded": (RECORDED, 1),
}  # fmt: skip


class Network(NamedTuple):
    """What a contact state is solved from; the kernel sees only the result.

    n nodes without the chassis, r resistors, s contacts; p, w as in Core.
    """

    g_static: np.ndarray  # (n, n) resistors and leakage, without contacts and ports
    resistors: np.ndarray  # (r,) records
    ends: np.ndarray  # (r + s, n) volts across each resistor and contact per node volt
    incidence: np.ndarray  # (n, p) coefficients of node volts in the volts of each port
    observed: np.ndarray  # (w - p,) records
    look: np.ndarray  # (n, w) volts of each port and observed pair per node volt
    terms: np.ndarray
    drops: np.ndarray  # (slots, r + s, p) volts across resistors and contacts per history current
    modes: dict[int, Any]  # modes of the capacitors by contact state, as far as asked for
