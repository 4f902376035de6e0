"""Independent transient of the two-winding motor on a line, for cross-checks only.

Written apart from the package (it imports nothing of it) and solved by scipy at tight
tolerance, so that a slip in one of the two shows. What it solves:

States      lambda_qs, lambda_ds, lambda'_qr, lambda'_dr [Wb], v_run, v_start [V], w_m [rad/s]
Stator      v_qs = r_qs i_qs + p lambda_qs             v_ds = r_ds i_ds + p lambda_ds
Rotor       0 = r'_qr i'_qr - (1/a) w_r lambda'_dr + p lambda'_qr
            0 = r'_dr i'_dr +  a    w_r lambda'_qr + p lambda'_dr,   w_r = (P/2) w_m
Flux        lambda_qs = L_lqs i_qs + L_mq (i_qs + i'_qr), lambda'_qr = L'_lqr i'_qr + L_mq (...)
            d axis alike with L_md = a^2 L_mq, L'_ldr = a^2 L'_lqr, r'_dr = a^2 r'_qr
Torque      T_e = (P/2) a L_mq (i_qs i'_dr - i_ds i'_qr),   J dw_m/dt = T_e - T_L
Circuit     v_qs = v_line = e(t) - R_s i_line - L_s di_line/dt,   i_line = i_qs + i_ds
            v_ds = v_line - u, u across the capacitors in the auxiliary lead:
            run branch C_r with R_r always there (or absent), start branch C_s with R_s behind a
            contact. A branch without series resistance fixes u; two of them are one capacitor.
            No branch left: i_ds = 0, and lambda_ds only follows the rotor.

Form and signs: Krause, Wasynczuk, Sudhoff, *Analysis of Electric Machinery*, single-phase
chapter, from memory. Instantaneous values; e(t) = sqrt(2) V sin(2 pi f t + phase).

Contact: once w_m passes ``opens_at`` times synchronous speed it waits for the next zero of its
own current and opens there, for good. Rest: a shaft at zero speed is held while |T_e| does not
exceed the load; the load resists motion either way. Both are found as events, not by smoothing.
The load is ``load_nm`` + ``rise_nm`` (w/w_sync)^2. ``no_reverse`` holds the shaft against turning
backwards too, as some published and recomputed starts were made; a real motor is free to.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from scipy.integrate import solve_ivp

#: A shaft at rest breaks away this far above the load, so that it really moves off.
MARGIN_NM = 1e-6
#: Speed given to a shaft that moves off, so that its next stop is a true crossing of zero.
NUDGE_RAD_S = 1e-9


@dataclass(frozen=True)
class Motor:
    """r and X in ohm at ``hz_of_x``; d-axis rotor values follow from the ratio."""

    r_qs: float
    x_lqs: float
    r_ds: float
    x_lds: float
    r_qr: float
    x_lqr: float
    x_mq: float
    ratio: float
    pole_pairs: int
    inertia: float
    hz_of_x: float = 60.0


@dataclass(frozen=True)
class Branch:
    """A capacitor with series resistance and the volts it holds at the beginning."""

    farads: float
    ohms: float = 0.0
    volts: float = 0.0


@dataclass(frozen=True)
class Run:
    """One energising. ``phase_rad`` 0: line volts begin at zero rising; pi/2: at the peak."""

    volts_rms: float
    hz: float = 60.0
    phase_rad: float = 0.0
    run: Branch | None = None
    start: Branch | None = None
    opens_at: float = 0.75
    load_nm: float = 0.0
    rise_nm: float = 0.0
    no_reverse: bool = False
    locked: bool = False
    source_ohms: float = 0.0
    source_henries: float = 0.0
    until_s: float = 1.0
    #: two-stage switch: the run branch is out until the start contact opens, then takes its place
    two_stage: bool = False
    rtol: float = 1e-8
    method: str = "Radau"
    samples_per_s: float = 20000.0


@dataclass
class Trace:
    """Samples over time, and when the contact opened (None: never)."""

    t: np.ndarray
    i_main: np.ndarray
    i_aux: np.ndarray
    i_rotor_q: np.ndarray
    i_rotor_d: np.ndarray
    torque: np.ndarray
    speed: np.ndarray
    v_run: np.ndarray
    v_start: np.ndarray
    v_aux: np.ndarray
    opened_s: float | None

    @property
    def i_line(self) -> np.ndarray:
        return self.i_main + self.i_aux

    def time_to(self, speed: float) -> float | None:
        """First time the shaft reaches this speed [s], between samples by a straight line."""
        over = np.nonzero(self.speed >= speed)[0]
        if len(over) == 0:
            return None
        k = int(over[0])
        if k == 0:
            return float(self.t[0])
        share = (speed - self.speed[k - 1]) / (self.speed[k] - self.speed[k - 1])
        return float(self.t[k - 1] + share * (self.t[k] - self.t[k - 1]))

    def rms(self, name: str, from_s: float, to_s: float) -> float:
        """Root mean square of a column between two times (whole cycles are the caller's care)."""
        values = getattr(self, name)
        inside = (self.t >= from_s - 1e-9) & (self.t < to_s - 1e-9)
        return float(np.sqrt(np.mean(values[inside] ** 2)))


@dataclass
class _Mode:
    """What is connected and how the shaft moves: -1 backwards, 0 held, +1 forwards."""

    start_in: bool
    motion: int


@dataclass
class Bench:
    """The equations for one motor and one energising; ``simulate`` integrates them."""

    motor: Motor
    run: Run
    mode: _Mode = field(default_factory=lambda: _Mode(True, 0))

    def __post_init__(self) -> None:
        m, w = self.motor, 2.0 * math.pi * self.motor.hz_of_x
        self.a, self.m_q = m.ratio, m.x_mq / w
        self.m_d = m.ratio**2 * self.m_q
        s_q, s_d = m.x_lqs / w + self.m_q, m.x_lds / w + self.m_d
        self.rr_q = m.x_lqr / w + self.m_q
        self.rr_d = m.ratio**2 * self.rr_q
        det_q, det_d = s_q * self.rr_q - self.m_q**2, s_d * self.rr_d - self.m_d**2
        self.q = (self.rr_q / det_q, -self.m_q / det_q, s_q / det_q)
        self.d = (self.rr_d / det_d, -self.m_d / det_d, s_d / det_d)
        self.mode = _Mode(self.run.start is not None, 0 if self._stuck_possible() else 1)

    def _stuck_possible(self) -> bool:
        return self.run.locked or self.holds()

    def holds(self) -> bool:
        """Whether a shaft at rest may stay there."""
        return self.run.load_nm > 0.0 or self.run.no_reverse

    def load(self, w_m: float) -> float:
        """Load torque against the present direction of motion."""
        sync = 2.0 * math.pi * self.run.hz / self.motor.pole_pairs
        load = self.run.load_nm + self.run.rise_nm * (w_m / sync) ** 2
        return load * self.mode.motion if self.holds() else load * math.copysign(1.0, w_m)

    def aux_open(self) -> bool:
        return self.run_branch() is None and not self.mode.start_in

    def run_branch(self) -> Branch | None:
        """The run branch while it is in circuit."""
        return None if self.run.two_stage and self.mode.start_in else self.run.run

    def currents(self, y: np.ndarray) -> tuple[float, float, float, float]:
        """(i_qs, i_ds, i'_qr, i'_dr) from the fluxes."""
        i_qs = self.q[0] * y[0] + self.q[1] * y[2]
        i_qr = self.q[1] * y[0] + self.q[2] * y[2]
        if self.aux_open():
            return i_qs, 0.0, i_qr, y[3] / self.rr_d
        i_ds = self.d[0] * y[1] + self.d[1] * y[3]
        return i_qs, i_ds, i_qr, self.d[1] * y[1] + self.d[2] * y[3]

    def torque(self, i: tuple[float, float, float, float]) -> float:
        return self.motor.pole_pairs * self.a * self.m_q * (i[0] * i[3] - i[1] * i[2])

    def pull(self, y: np.ndarray) -> float:
        """Torque that may turn a shaft at rest: of either sign, or forwards only."""
        torque = self.torque(self.currents(y))
        return torque if self.run.no_reverse else abs(torque)

    def branches(self, i_ds: float, y: np.ndarray) -> tuple[float, float, float]:
        """(u, current into run branch, current into start branch)."""
        run, start = self.run_branch(), self.run.start if self.mode.start_in else None
        if run is None and start is None:
            return 0.0, 0.0, 0.0
        if start is None:
            assert run is not None
            return y[4] + run.ohms * i_ds, i_ds, 0.0
        if run is None:
            return y[5] + start.ohms * i_ds, 0.0, i_ds
        if run.ohms == 0.0 and start.ohms == 0.0:
            share = run.farads / (run.farads + start.farads)
            return y[4], share * i_ds, (1.0 - share) * i_ds
        if run.ohms == 0.0:
            i_s = (y[4] - y[5]) / start.ohms
            return y[4], i_ds - i_s, i_s
        if start.ohms == 0.0:
            i_r = (y[5] - y[4]) / run.ohms
            return y[5], i_r, i_ds - i_r
        g_r, g_s = 1.0 / run.ohms, 1.0 / start.ohms
        u = (i_ds + g_r * y[4] + g_s * y[5]) / (g_r + g_s)
        return u, (u - y[4]) * g_r, (u - y[5]) * g_s

    def line_volts(
        self, t: float, i: tuple[float, float, float, float], u: float, rotor: tuple[float, float]
    ) -> float:
        """v_line, solved with the source inductance since both winding fluxes hang on it."""
        run, m = self.run, self.motor
        e = math.sqrt(2.0) * run.volts_rms * math.sin(2.0 * math.pi * run.hz * t + run.phase_rad)
        v = e - run.source_ohms * (i[0] + i[1])
        if run.source_henries == 0.0:
            return v
        # di_line/dt = g v_line + h, from di = L^-1 dlambda on each axis in circuit.
        g = self.q[0]
        h = -self.q[0] * m.r_qs * i[0] + self.q[1] * rotor[0]
        if not self.aux_open():
            g += self.d[0]
            h += self.d[0] * (-m.r_ds * i[1] - u) + self.d[1] * rotor[1]
        return (v - run.source_henries * h) / (1.0 + run.source_henries * g)

    def slopes(self, t: float, y: np.ndarray) -> list[float]:
        """Right-hand side of the equations in the module docstring."""
        t, y = float(t), y.tolist()  # plain numbers are several times quicker one by one
        m, i = self.motor, self.currents(y)
        w_r = m.pole_pairs * y[6]
        d_qr = -m.r_qr * i[2] + w_r / self.a * y[3]
        d_dr = -(self.a**2) * m.r_qr * i[3] - self.a * w_r * y[2]
        u, i_run, i_start = self.branches(i[1], y)
        v = self.line_volts(t, i, u, (d_qr, d_dr))
        d_ds = self.m_d / self.rr_d * d_dr if self.aux_open() else v - u - m.r_ds * i[1]
        accel = 0.0
        if self.mode.motion != 0:
            accel = (self.torque(i) - self.load(y[6])) / m.inertia
        d_vr = i_run / self.run.run.farads if self.run.run else 0.0
        d_vs = i_start / self.run.start.farads if self.run.start else 0.0
        return [v - m.r_qs * i[0], d_ds, d_qr, d_dr, d_vr, d_vs, accel]

    def aux_volts(self, t: float, y: np.ndarray) -> float:
        """Volts from start to common: r_ds i_ds + p lambda_ds."""
        i_ds = self.currents(y.tolist())[1]
        return self.motor.r_ds * i_ds + self.slopes(t, y)[1]

    def events(self) -> list[Callable[[float, np.ndarray], float]]:
        """Crossings that end the present mode, in the order ``advance`` expects."""
        sync = 2.0 * math.pi * self.run.hz / self.motor.pole_pairs
        threshold = self.run.opens_at * sync

        def reached(t: float, y: np.ndarray) -> float:
            return y[6] - threshold

        def stopped(t: float, y: np.ndarray) -> float:
            return y[6] * self.mode.motion

        def breaks_away(t: float, y: np.ndarray) -> float:
            return self.pull(y) - self.run.load_nm - MARGIN_NM

        reached.direction, stopped.direction, breaks_away.direction = 1, -1, 1
        return [reached, stopped, breaks_away]


def simulate(motor: Motor, run: Run) -> Trace:
    """Integrate from rest, empty flux and the given capacitor volts to ``until_s``."""
    bench = Bench(motor, run)
    y = np.array([0.0] * 7)
    y[4] = run.run.volts if run.run else 0.0
    y[5] = run.start.volts if run.start else 0.0
    t, waiting, opened = 0.0, False, None
    rows: list[list[float]] = []
    while t < run.until_s - 1e-12:
        ends = _ends(bench, waiting)
        grid = _grid(t, run.until_s, run.samples_per_s)
        sol = solve_ivp(
            bench.slopes,
            (t, run.until_s),
            y,
            method=run.method,
            rtol=run.rtol,
            atol=1e-9,
            dense_output=True,
            events=[event for _, event in ends],
            max_step=2e-3,
        )
        assert sol.success, sol.message
        grid = grid[grid <= sol.t[-1]]
        if len(grid):
            rows.extend(map(_row, [bench] * len(grid), grid, sol.sol(grid).T))
        t, y = float(sol.t[-1]), sol.y[:, -1].copy()
        for (name, _), times in zip(ends, sol.t_events, strict=True):
            if len(times):
                waiting, opened = _apply(bench, name, t, y, waiting, opened)
    columns = np.array(rows).T
    return Trace(*columns, opened_s=opened)


def _grid(from_s: float, until_s: float, per_s: float) -> np.ndarray:
    return np.arange(math.ceil(from_s * per_s), math.floor(until_s * per_s) + 1) / per_s


def _row(bench: Bench, t: float, y: np.ndarray) -> list[float]:
    at = y.tolist()
    i = bench.currents(at)
    return [t, *i, bench.torque(i), at[6], at[4], at[5], bench.aux_volts(t, y)]


def _ends(bench: Bench, waiting: bool) -> list[tuple[str, Callable]]:
    """The events that matter now, by name, each ending the stretch."""
    reached, stopped, breaks_away = bench.events()
    ends: list[tuple[str, Callable]] = []
    if bench.mode.start_in and not waiting:
        ends.append(("reached", reached))
    if bench.mode.start_in and waiting:

        def no_current(t: float, y: np.ndarray) -> float:
            return bench.branches(bench.currents(y)[1], y)[2]

        ends.append(("no_current", no_current))
    if bench.holds() and not bench.run.locked:
        ends.append(("stopped", stopped) if bench.mode.motion else ("breaks", breaks_away))
    for _, event in ends:
        event.terminal = True  # type: ignore[attr-defined]
    return ends


def _apply(
    bench: Bench, name: str, t: float, y: np.ndarray, waiting: bool, opened: float | None
) -> tuple[bool, float | None]:
    """Change the mode after an event; settle the state exactly on it."""
    if name == "reached":
        return True, opened
    if name == "no_current":
        bench.mode.start_in = False
        return False, t
    if name == "stopped":
        y[6] = 0.0
        bench.mode.motion = 0
    if name == "breaks" or (name == "stopped" and bench.pull(y) > bench.run.load_nm + MARGIN_NM):
        forwards = bench.run.no_reverse or bench.torque(bench.currents(y)) > 0
        bench.mode.motion = 1 if forwards else -1
        y[6] = bench.mode.motion * NUDGE_RAD_S
    return waiting, opened
