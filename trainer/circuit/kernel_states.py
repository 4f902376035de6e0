"""Compiled: what belongs to one contact state: its port matrix and its heat.

The nodal matrix is constant while no contact moves, so node volts are one fixed linear map of
the history currents; the map is kept for every contact state met, the oldest giving way. Heat
in resistors is recovered from the sum of products of history currents of each state.
"""

from __future__ import annotations

import numpy as np
from numba import njit

from trainer.circuit import layout as lay
from trainer.circuit.kernel_options import ENTRY, INNER


@njit(**INNER)
def stamp(g, a, b, value):
    """Add a conductance between nodes a and b (0 is the chassis) to a nodal matrix."""
    if a > 0:
        g[a - 1, a - 1] += value
    if b > 0:
        g[b - 1, b - 1] += value
    if a > 0 and b > 0:
        g[a - 1, b - 1] -= value
        g[b - 1, a - 1] -= value


@njit(**INNER)
def contact_g(sf, s, closed):
    """Conductance of contact s."""
    return 1.0 / sf[s, lay.SW_ON] if closed else 1.0 / sf[s, lay.SW_OFF]


@njit(**INNER)
def nodal(g_static, si, sf):
    """Nodal matrix of resistors and contacts, without the ports."""
    g = g_static.copy()
    for s in range(si.shape[0]):
        stamp(g, si[s, lay.SI_A], si[s, lay.SI_B], contact_g(sf, s, si[s, lay.SI_CLOSED] != 0))
    return g


@njit(**INNER)
def solve_symmetric(g, x):
    """x <- g^-1 x by L D L' without pivoting: g is symmetric and positive definite."""
    n, p = x.shape
    for k in range(n):
        inverse = 1.0 / g[k, k]
        for i in range(k + 1, n):
            if g[i, k] == 0.0:
                continue
            f = g[i, k] * inverse
            for j in range(k + 1, n):
                g[i, j] -= f * g[k, j]
            for j in range(p):
                x[i, j] -= f * x[k, j]
    for k in range(n - 1, -1, -1):
        for j in range(k + 1, n):
            f = g[k, j]
            if f != 0.0:
                for q in range(p):
                    x[k, q] -= f * x[j, q]
        inverse = 1.0 / g[k, k]
        for q in range(p):
            x[k, q] *= inverse


@njit(**INNER)
def across(x, a, b, j):
    """Volts from node a to node b in column j."""
    total = 0.0
    if a > 0:
        total += x[a - 1, j]
    if b > 0:
        total -= x[b - 1, j]
    return total


@njit(**INNER)
def port_columns(pi, taps, n):
    """Incidence of the ports: column j holds the tap coefficients of port j."""
    p = pi.shape[0]
    a = np.zeros((n, p))
    for j in range(p):
        for t in range(4):
            if pi[j, t] > 0:
                a[pi[j, t] - 1, j] += taps[j, t]
    return a


@njit(**INNER)
def build_state(g_static, rf, si, sf, pi, pf, taps, qi, mt, xs, heat_s, slot):
    """Solve the network of the present contact state into ``slot``."""
    p = pi.shape[0]
    n_s = si.shape[0]
    g = nodal(g_static, si, sf)
    for j in range(p):
        for t in range(4):
            if pi[j, t] <= 0:
                continue
            f = pf[j, lay.PF_G] * taps[j, t]
            for u in range(4):
                if pi[j, u] > 0:
                    g[pi[j, t] - 1, pi[j, u] - 1] += f * taps[j, u]
    x = port_columns(pi, taps, g.shape[0])
    solve_symmetric(g, x)
    for i in range(x.shape[0]):
        for j in range(p):
            xs[slot, i, j] = x[i, j]
    for j in range(p):
        for i in range(p):
            total = 0.0
            for t in range(4):
                if pi[i, t] > 0:
                    total += taps[i, t] * x[pi[i, t] - 1, j]
            mt[slot, j, i] = total
            heat_s[slot, j, i] = 0.0
        for s in range(n_s):
            g_s = contact_g(sf, s, si[s, lay.SI_CLOSED] != 0)
            mt[slot, j, p + s] = g_s * across(x, si[s, lay.SI_A], si[s, lay.SI_B], j)
        for q in range(qi.shape[0]):
            g_q = rf[qi[q, 2], 0] if qi[q, 2] >= 0 else 1.0
            mt[slot, j, p + n_s + q] = g_q * across(x, qi[q, 0], qi[q, 1], j)


@njit(**INNER)
def find_state(counts, g_static, ri, rf, si, sf, pi, pf, taps, qi, key, mt, xs, heat_s, h):
    """Slot of the present contact state, solved first if it was not met before."""
    now = np.int64(0)
    for s in range(si.shape[0]):
        if si[s, lay.SI_CLOSED] != 0:
            now |= np.int64(1) << s
    for slot in range(min(counts[lay.N_STATES], key.shape[0])):
        if key[slot] == now:
            return slot
    slot = counts[lay.N_STATES] % key.shape[0]
    if counts[lay.N_STATES] >= key.shape[0]:
        book_heat(ri, rf, si, sf, key, xs, heat_s, slot, h)
    key[slot] = now
    build_state(g_static, rf, si, sf, pi, pf, taps, qi, mt, xs, heat_s, slot)
    counts[lay.N_STATES] += 1
    counts[lay.N_BUILT] += 1
    return slot


@njit(**INNER)
def book_heat(ri, rf, si, sf, key, xs, heat_s, slot, h):
    """Joules of every resistor and contact in one state: g h row S row'; then S = 0."""
    p = heat_s.shape[1]
    row = np.empty(p)
    for r in range(ri.shape[0]):
        for j in range(p):
            row[j] = across(xs[slot], ri[r, 0], ri[r, 1], j)
        rf[r, 1] += rf[r, 0] * h * quadratic(row, heat_s, slot)
    for k in range(si.shape[0]):
        for j in range(p):
            row[j] = across(xs[slot], si[k, lay.SI_A], si[k, lay.SI_B], j)
        g = contact_g(sf, k, (key[slot] >> k) & 1 != 0)
        sf[k, lay.SW_HEAT] += g * h * quadratic(row, heat_s, slot)
    for i in range(p):
        for j in range(p):
            heat_s[slot, i, j] = 0.0


@njit(**ENTRY)
def book_all(counts, ri, rf, si, sf, key, xs, heat_s, h):
    """Book the heat of every contact state met so far."""
    for slot in range(min(counts[lay.N_STATES], key.shape[0])):
        book_heat(ri, rf, si, sf, key, xs, heat_s, slot, h)


@njit(**INNER)
def quadratic(row, heat_s, slot):
    """row S row'."""
    total = 0.0
    for i in range(row.shape[0]):
        part = 0.0
        for j in range(row.shape[0]):
            part += heat_s[slot, i, j] * row[j]
        total += row[i] * part
    return total
