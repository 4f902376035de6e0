"""The arrays of a circuit's elements: what each kind of element writes.

Knows elements and the column names of layout.py; knows no channel, device or contact's reason,
and does no physics beyond companion conductances and the iron of a remembered state.
"""

from __future__ import annotations

import numpy as np

from trainer.circuit import layout as lay
from trainer.circuit.elements import LEAKAGE_S, LEAST_OHMS, Elements
from trainer.circuit.network import LEAST_HENRIES
from trainer.motor.params import LoadParams, MotorParams

STATE_SLOTS = 64
#: Copper is without resistance at this temperature by the usual straight line; textbook
#: constant, from memory. [deg C]
COPPER_ZERO_C = -234.5


def network_arrays(elements: Elements) -> dict:
    n = len(elements.nodes) - 1
    g = np.zeros((n, n))
    g[np.diag_indices(n)] = LEAKAGE_S
    for r in elements.resistors:
        stamp(g, r.a, r.b, 1.0 / max(r.ohms, LEAST_OHMS))
    switches = elements.switches
    return {
        "g_static": g,
        "ri": ints([(r.a, r.b) for r in elements.resistors], 2),
        "rf": floats([(1.0 / max(r.ohms, LEAST_OHMS), 0.0) for r in elements.resistors], 2),
        "si": ints([(s.a, s.b, 0, -1, 0, 0) for s in switches], lay.SI_SIZE),
        "sf": floats(
            [
                (max(s.closed_ohms, LEAST_OHMS), s.open_ohms, s.weld_a2s, s.arcs, 0.0, 0.0, 0.0)
                for s in switches
            ],
            lay.SW_SIZE,
        ),
    }


def stamp(g: np.ndarray, a: int, b: int, value: float) -> None:
    """Add a conductance between two nodes (0 is the chassis)."""
    for n in (a, b):
        if n:
            g[n - 1, n - 1] += value
    if a and b:
        g[a - 1, b - 1] -= value
        g[b - 1, a - 1] -= value


def port_arrays(elements: Elements, h: float, p: int) -> dict:
    taps = [i.taps for i in elements.inductives]
    taps += [((c.a, 1.0), (c.b, -1.0)) for c in elements.capacitives]
    for m in elements.machines:
        taps += [((m.main[0], 1.0), (m.main[1], -1.0)), ((m.aux[0], 1.0), (m.aux[1], -1.0))]
    whole = np.full((p, lay.PI_SIZE), -1, dtype=np.int64)
    coeff = np.zeros((p, 4))
    for j, tap in enumerate(taps):
        for t, (node, factor) in enumerate(tap):
            whole[j, t], coeff[j, t] = node, factor
    f = np.zeros((p, lay.PF_SIZE))
    for j, i in enumerate(elements.inductives):
        ohms = i.ohms if i.henries > LEAST_HENRIES else max(i.ohms, LEAST_OHMS)
        whole[j, lay.PI_SOURCE] = i.source
        f[j, : lay.PF_FARADS] = (
            1.0 / (ohms + 2.0 * i.henries / h),
            ohms,
            i.henries,
            i.source_scale,
        )
        f[j, lay.PF_BACK] = 2.0 * i.henries / h
    for j, c in enumerate(elements.capacitives, start=len(elements.inductives)):
        esr = max(c.esr_ohms, LEAST_OHMS)
        f[j, lay.PF_G] = 1.0 / (esr + 0.5 * h / c.farads)
        f[j, lay.PF_OHMS], f[j, lay.PF_FARADS] = esr, c.farads
        f[j, lay.PF_BACK] = 0.5 * h / c.farads
    return {"pi": whole, "pf": f, "taps": coeff}


def machine_arrays(elements: Elements, hz: float, winding_heat: bool) -> dict:
    rows = [machine_row(m.params, m.load, hz, winding_heat) for m in elements.machines]
    size = max([len(m.load.shape) for m in elements.machines], default=1)
    shape = np.ones((len(rows), size))
    for j, m in enumerate(elements.machines):
        n = len(m.load.shape)
        shape[j] = np.interp(
            np.arange(size) * n / size, np.arange(n + 1), (*m.load.shape, m.load.shape[0])
        )
    slow = np.array(
        [(m.load.lift, 0.0, 25.0, 25.0) for m in elements.machines], dtype=float
    ).reshape(len(rows), lay.SL_SIZE)
    for j, m in enumerate(elements.machines):
        slow[j, lay.SL_MAIN_C] = slow[j, lay.SL_AUX_C] = m.params.ohms_at_c
    mach = np.zeros((len(rows), lay.MC_SIZE))
    mach[:, : lay.MC_GIVEN] = floats(rows, lay.MC_GIVEN)
    scratch = np.zeros((len(rows), lay.SC_SIZE))
    return {"mach": mach, "shape": shape, "slow": slow, "scr": scratch}


def machine_row(p: MotorParams, load: LoadParams, hz: float, winding_heat: bool) -> list[float]:
    """One row of machine constants in the order of layout.MC_*."""
    a2 = p.ratio**2
    lm_aux = a2 * p.l_mutual
    return [
        p.r_main,
        p.l_main + p.l_mutual,
        p.l_mutual,
        p.l_rotor + p.l_mutual,
        p.r_aux,
        p.l_aux + lm_aux,
        lm_aux,
        a2 * p.l_rotor + lm_aux,
        p.r_rotor,
        a2 * p.r_rotor,
        p.ratio,
        float(p.pole_pairs),
        p.inertia_kg_m2,
        p.sat_gain,
        p.sat_knee_wb,
        p.synchronous_rad_s(hz),
        load.run_nm,
        load.at_rest,
        load.at_speed,
        load.pull_down_s,
        load.equalise_s,
        load.coulomb_nm,
        load.breakaway_nm,
        load.viscous_nms,
        float(load.drives_back),
        load.pocket_s,
        load.fan_nm,
        float(load.locked),
        p.c_main_j_per_k,
        p.c_aux_j_per_k,
        p.r_winding_k_per_w,
        1.0 / (p.ohms_at_c - COPPER_ZERO_C) if winding_heat else 0.0,
        p.ohms_at_c,
        p.ohms_at_c,
        p.ohms_at_c,
        p.ohms_at_c,
    ]


def state_arrays(n: int, p: int, observed: int) -> dict:
    return {
        "key": np.zeros(STATE_SLOTS, dtype=np.int64),
        "mt": np.zeros((STATE_SLOTS, p, p + observed)),
        "xs": np.zeros((STATE_SLOTS, n, p)),
        "heat_s": np.zeros((STATE_SLOTS, p, p)),
    }


def moving_arrays(elements: Elements, ny: int, p: int) -> dict:
    y = np.zeros(ny)
    vc = 2 * p + len(elements.inductives)
    for j, c in enumerate(elements.capacitives):
        y[vc + j] = c.volts
    src = np.zeros((max(1, len(elements.sources)), lay.SRC_SIZE))
    for j, s in enumerate(elements.sources):
        src[j, : lay.SRC_FOLD] = (s.volts_peak, s.phase_rad / (2.0 * np.pi), s.hz)
    return {
        "y": y,
        "y_old": y.copy(),
        "half": np.zeros((6, ny)),
        "hist": np.zeros(p),
        "src": src,
    }


def iron_amps(k: np.ndarray, flux: np.ndarray) -> tuple[float, float]:
    """Extra magnetising amps of both axes that go with these flux linkages (see saturation).

    Magnetising flux at given linkages hardly depends on them: a few rounds settle it.
    """
    xq = xd = 0.0
    for _ in range(12):
        mag_q = magnetising(
            flux[0], flux[2], xq, *k[[lay.MC_LS_MAIN, lay.MC_LM_MAIN, lay.MC_LR_MAIN]]
        )
        mag_d = magnetising(flux[1], flux[3], xd, *k[[lay.MC_LS_AUX, lay.MC_LM_AUX, lay.MC_LR_AUX]])
        along = k[lay.MC_LM_MAIN] * np.hypot(mag_q, k[lay.MC_RATIO] * mag_d)
        over = max(0.0, along / k[lay.MC_SAT_KNEE] - 1.0)
        xq, xd = mag_q * k[lay.MC_SAT_GAIN] * over**2, mag_d * k[lay.MC_SAT_GAIN] * over**2
    return float(xq), float(xd)


def magnetising(f: float, fr: float, x: float, ls: float, lm: float, lr: float) -> float:
    """Straight-line magnetising amps of one axis from its flux linkages."""
    f, fr = f + lm * x, fr + lm * x
    return ((lr - lm) * f + (ls - lm) * fr) / (ls * lr - lm * lm) - x


def floats(rows: list, width: int) -> np.ndarray:
    return np.array(rows, dtype=float).reshape(len(rows), width)


def ints(rows: list, width: int) -> np.ndarray:
    return np.array(rows, dtype=np.int64).reshape(len(rows), width)
