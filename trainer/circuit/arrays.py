"""The arrays of a circuit's elements: what each kind of element writes.

Knows elements and the names of layout.py; knows no channel, device or contact's reason, and
does no physics beyond companion conductances and the iron of a remembered state.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from trainer.circuit import layout as lay
from trainer.circuit.elements import (
    LEAKAGE_S,
    LEAST_OHMS,
    Capacitive,
    Elements,
    Inductive,
    Machine,
)
from trainer.circuit.network import LEAST_HENRIES
from trainer.circuit.probes import Probes, padded

#: Contact states kept solved; the oldest gives way.
STATE_SLOTS = 16
#: Copper is without resistance at this temperature by the usual straight line; textbook
#: constant, from memory. [deg C]
COPPER_ZERO_C = -234.5


def records(dtype: np.dtype, rows: Sequence[dict[str, float]]) -> np.ndarray:
    """One record a row; fields that a row does not name are zero."""
    out = np.zeros(len(rows), dtype=dtype)
    for record, row in zip(out, rows, strict=True):
        for name, value in row.items():
            record[name] = value
    return out


def network_arrays(elements: Elements, probes: Probes) -> lay.Network:
    """What contact states are solved from."""
    n = len(elements.nodes) - 1
    g = np.zeros((n, n))
    g[np.diag_indices(n)] = LEAKAGE_S
    siemens = [1.0 / max(r.ohms, LEAST_OHMS) for r in elements.resistors]
    for r, value in zip(elements.resistors, siemens, strict=True):
        stamp(g, r.a, r.b, value)
    resistors = [(r.a, r.b, g_r, 0.0) for r, g_r in zip(elements.resistors, siemens, strict=True)]
    pairs = [(r.a, r.b) for r in elements.resistors]
    pairs += [(s.a, s.b) for s in elements.switches]
    observed, terms = probes.arrays()
    incidence = incidence_of(elements, padded(len(probes.ports)))
    return lay.Network(
        g_static=g,
        resistors=np.array(resistors, dtype=lay.RESISTOR),
        ends=across(pairs, n),
        incidence=incidence,
        observed=observed,
        look=np.hstack([incidence, across(observed[["a", "b"]].tolist(), n).T]),
        terms=terms,
        drops=np.zeros((STATE_SLOTS, len(pairs), incidence.shape[1])),
        modes={},
    )


def across(pairs: Sequence[tuple[int, int]], n: int) -> np.ndarray:
    """Volts across each pair of nodes per node volt, one row a pair (node 0 is the chassis)."""
    whole = np.zeros((len(pairs), n + 1))
    rows = np.arange(len(pairs))
    ends = np.array(pairs, dtype=np.int64).reshape(-1, 2)
    whole[rows, ends[:, 0]] += 1.0
    whole[rows, ends[:, 1]] -= 1.0
    return whole[:, 1:]


def contact_arrays(elements: Elements, contact_columns: list[int]) -> np.ndarray:
    contacts = [
        {
            "a": s.a,
            "b": s.b,
            "parted": -1,
            "at": at,
            "on_siemens": 1.0 / max(s.closed_ohms, LEAST_OHMS),
            "off_siemens": 1.0 / s.open_ohms,
            "weld_a2s": s.weld_a2s,
            "arcs": s.arcs,
        }
        for s, at in zip(elements.switches, contact_columns, strict=True)
    ]
    return records(lay.CONTACT, contacts)


def stamp(g: np.ndarray, a: int, b: int, value: float) -> None:
    """Add a conductance between two nodes (0 is the chassis)."""
    for n in (a, b):
        if n:
            g[n - 1, n - 1] += value
    if a and b:
        g[a - 1, b - 1] -= value
        g[b - 1, a - 1] -= value


def port_arrays(elements: Elements, h: float, p: int) -> dict:
    """Ports, and what a step needs of them. Inductive ones, capacitive ones, then
    main and auxiliary of each machine; the rest up to p is empty."""
    ports = np.zeros(p, dtype=lay.PORT)
    ports["source"] = -1
    step = np.zeros((lay.STEP_ROWS, p))
    for j, i in enumerate(elements.inductives):
        put_inductive(ports, step, j, i, h)
    for j, c in enumerate(elements.capacitives, start=len(elements.inductives)):
        put_capacitive(ports, step, j, c, h)
    fed = [j for j, i in enumerate(elements.inductives) if i.source >= 0]
    return {"ports": ports, "step": step, "fed": np.array(fed, dtype=np.int64)}


def put_inductive(ports: np.ndarray, step: np.ndarray, j: int, i: Inductive, h: float) -> None:
    ohms = i.ohms if i.henries > LEAST_HENRIES else max(i.ohms, LEAST_OHMS)
    back = 2.0 * i.henries / h
    g = 1.0 / (ohms + back)
    ports[j]["source"], ports[j]["scale"] = i.source, i.source_scale
    ports[j]["ohms"], ports[j]["henries"] = ohms, i.henries
    step[:, j] = g, g, g * back, g * ohms


def put_capacitive(ports: np.ndarray, step: np.ndarray, j: int, c: Capacitive, h: float) -> None:
    esr, rise = max(c.esr_ohms, LEAST_OHMS), 0.5 * h / c.farads
    g = 1.0 / (esr + rise)
    ports[j]["ohms"], ports[j]["farads"], ports[j]["rise"] = esr, c.farads, rise
    step[:, j] = g, 0.0, 0.0, g * rise


def incidence_of(elements: Elements, p: int) -> np.ndarray:
    """Coefficients of node volts in the volts of every port, one column a port."""
    every: list[Sequence[tuple[int, float]]] = [i.taps for i in elements.inductives]
    every += [((c.a, 1.0), (c.b, -1.0)) for c in elements.capacitives]
    for m in elements.machines:
        every += [((m.main[0], 1.0), (m.main[1], -1.0)), ((m.aux[0], 1.0), (m.aux[1], -1.0))]
    whole = np.zeros((len(elements.nodes), p))
    for j, taps in enumerate(every):
        for node, factor in taps:
            whole[node, j] += factor
    return whole[1:]


def shape_arrays(elements: Elements) -> np.ndarray:
    """Gas torque of every machine over a turn, all with as many samples as the longest has."""
    size = max([len(m.load.shape) for m in elements.machines], default=1)
    shape = np.ones((len(elements.machines), size))
    for j, m in enumerate(elements.machines):
        n = len(m.load.shape)
        shape[j] = np.interp(
            np.arange(size) * n / size, np.arange(n + 1), (*m.load.shape, m.load.shape[0])
        )
    return shape


def source_arrays(elements: Elements) -> np.ndarray:
    drive = [
        {"device": -1, "peak": s.volts_peak, "turns": s.phase_rad / (2.0 * np.pi), "hz": s.hz}
        for s in elements.sources
    ]
    return records(lay.SOURCE, drive)


def machine_arrays(elements: Elements, hz: float, winding_heat: bool) -> dict:
    machines = [machine_record(m, hz, winding_heat) for m in elements.machines]
    axes = [axis for m in elements.machines for axis in axis_records(m)]
    return {
        "machines": records(lay.MACHINE, machines),
        "axes": records(lay.AXIS, axes),
        "shape": shape_arrays(elements),
    }


def machine_record(m: Machine, hz: float, winding_heat: bool) -> dict[str, float]:
    """Constants of one machine's load and shaft, by the names of layout.MACHINE."""
    p, load = m.params, m.load
    return {
        "drives_back": load.drives_back,
        "locked": load.locked,
        "pairs": p.pole_pairs,
        "ratio": p.ratio,
        "inertia": p.inertia_kg_m2,
        "sat_gain": p.sat_gain,
        "sat_knee": p.sat_knee_wb,
        "sync": p.synchronous_rad_s(hz),
        "run_nm": load.run_nm,
        "at_rest": load.at_rest,
        "at_speed": load.at_speed,
        "pull_down": load.pull_down_s,
        "equalise": load.equalise_s,
        "coulomb": load.coulomb_nm,
        "breakaway": load.breakaway_nm,
        "viscous": load.viscous_nms,
        "pocket_s": load.pocket_s,
        "fan": load.fan_nm,
        "r_heat": p.r_winding_k_per_w,
        "alpha": 1.0 / (p.ohms_at_c - COPPER_ZERO_C) if winding_heat else 0.0,
        "ohms_at": p.ohms_at_c,
        "shell": p.ohms_at_c,
        "lift": load.lift,
    }


def axis_records(m: Machine) -> tuple[dict[str, float], dict[str, float]]:
    """Constants of the main and the auxiliary axis, by the names of layout.AXIS."""
    p = m.params
    a2 = p.ratio**2
    lm_aux = a2 * p.l_mutual
    warm = {"warm_c": p.ohms_at_c, "last_c": p.ohms_at_c}
    main = {
        "cold_ohms": p.r_main,
        "ls": p.l_main + p.l_mutual,
        "lm": p.l_mutual,
        "lr": p.l_rotor + p.l_mutual,
        "rotor_ohms": p.r_rotor,
        "turns": p.pole_pairs / p.ratio,
        "to_main": 1.0,
        "heat_c": p.c_main_j_per_k,
    }
    aux = {
        "cold_ohms": p.r_aux,
        "ls": p.l_aux + lm_aux,
        "lm": lm_aux,
        "lr": a2 * p.l_rotor + lm_aux,
        "rotor_ohms": a2 * p.r_rotor,
        "turns": -p.pole_pairs * p.ratio,
        "to_main": 1.0 / p.ratio,
        "heat_c": p.c_aux_j_per_k,
    }
    return main | warm, aux | warm


def state_arrays(p: int, wide: int) -> dict:
    return {
        "key": np.zeros(STATE_SLOTS, dtype=np.int64),
        "quiet": np.zeros(STATE_SLOTS, dtype=np.int64),
        "mt": np.zeros((STATE_SLOTS, p, wide)),
        "heat_s": np.zeros((STATE_SLOTS, p, p)),
    }


def stretch_arrays(elements: Elements, p: int, wide: int, per_tick: int) -> dict:
    """Rows of a stretch, with the charges of the beginning in the last, and what drives them."""
    rows = per_tick + lay.MORE_ROWS
    machines, sources = len(elements.machines), len(elements.sources)
    flux = np.zeros((rows, 2 * machines), dtype=lay.FLUX)
    shaft = np.zeros((rows, machines), dtype=lay.SHAFT)
    caps = np.zeros((rows, len(elements.capacitives)))
    caps[lay.LAST_ROW] = [c.volts for c in elements.capacitives]
    return {
        "sources": source_arrays(elements),
        "volts": np.zeros((rows, wide)),
        "amps": np.zeros((rows, p)),
        "hist": np.zeros((rows, p)),
        "caps": caps,
        "emf": np.zeros((rows, sources)),
        "flux": flux,
        "shaft": shaft,
        "flux_values": flux.view(float).reshape(rows, -1),
        "shaft_values": shaft.view(float).reshape(rows, -1),
        "weight": np.zeros(rows),
        "kept": np.zeros(rows, dtype=np.int64),
    }


def iron_amps(axes: np.ndarray, machine: np.void, flux: np.ndarray) -> list[float]:
    """Extra magnetising amps of both axes that go with these flux linkages (see saturation).

    Magnetising flux at given linkages hardly depends on them: a few rounds settle it.
    """
    extra = [0.0, 0.0]
    for _ in range(12):
        amps = [magnetising(k, f, x) for k, f, x in zip(axes, flux, extra, strict=True)]
        along = np.hypot(*[k["lm"] * i * k["to_main"] for k, i in zip(axes, amps, strict=True)])
        over = max(0.0, along / machine["sat_knee"] - 1.0)
        extra = [float(i * machine["sat_gain"] * over**2) for i in amps]
    return extra


def magnetising(k: np.void, at: np.void, extra: float) -> float:
    """Straight-line magnetising amps of one axis from its flux linkages."""
    ls, lm, lr = k["ls"], k["lm"], k["lr"]
    f, fr = at["stator"] + lm * extra, at["rotor"] + lm * extra
    return float(((lr - lm) * f + (ls - lm) * fr) / (ls * lr - lm * lm) - extra)
