"""Compiled: capacitor loops quicker than the step, resolved in closed form at a closing contact.

dvc/dt = -C^-1 Y vc with Y the port conductances of the capacitors (ESR included, inductive
ports open). Modes of C^-1/2 Y C^-1/2 with rate above 1/(FAST_STEPS h) go to zero at once:
charge balance. Their heat g sum_jk r_j r_k/(l_j + l_k) is booked to each resistance, and peak
amps and I2t to each contact that is closing (SI_CLOSED == 2).
"""

from __future__ import annotations

import numpy as np
from numba import njit

from trainer.circuit import layout as lay
from trainer.circuit.kernel_options import INNER
from trainer.circuit.kernel_states import across, contact_g, nodal, solve_symmetric, stamp

#: Energy below which a relaxation is not worth an account [J].
LEAST_J = 1e-6


@njit(**INNER)
def fast_relax(dims, g_static, ri, rf, si, sf, pi, pf, y, acc, h):
    """Relax the fast modes of the present contacts; see the module."""
    n_c = dims[lay.D_C]
    for s in range(si.shape[0]):
        sf[s, lay.SW_PEAK] = 0.0
        sf[s, lay.SW_A2S] = 0.0
    if n_c == 0:
        return
    n_l = dims[lay.D_L]
    at = 2 * dims[lay.D_P] + n_l
    nodes, k, root = modal_matrix(n_l, n_c, g_static, si, sf, pi, pf)
    vectors = np.eye(n_c)
    jacobi(k, vectors)
    x0 = np.zeros(n_c)
    energy = 0.0
    limit = 1.0 / (lay.FAST_STEPS * h)
    for j in range(n_c):
        if k[j, j] > limit:
            for i in range(n_c):
                x0[j] += vectors[i, j] * root[i] * y[at + i]
            energy += 0.5 * x0[j] * x0[j]
    if energy < LEAST_J:
        return
    acc[lay.EN_SURGE] += energy
    scaled = np.empty((n_c, n_c))
    weights = np.zeros((n_c, n_c))
    for i in range(n_c):
        for j in range(n_c):
            scaled[i, j] = vectors[i, j] / root[i] * x0[j]
            if k[i, i] > limit and k[j, j] > limit:
                weights[i, j] = 1.0 / (k[i, i] + k[j, j])
    book(n_l, n_c, ri, rf, si, sf, pi, pf, nodes, scaled, weights)
    for i in range(n_c):
        for j in range(n_c):
            y[at + i] -= scaled[i, j]


@njit(**INNER)
def modal_matrix(n_l, n_c, g_static, si, sf, pi, pf):
    """Node volts per capacitor volt, C^-1/2 Y C^-1/2, sqrt(C)."""
    g = nodal(g_static, si, sf)
    nodes = np.zeros((g.shape[0], n_c))
    root = np.empty(n_c)
    for j in range(n_c):
        ge = 1.0 / pf[n_l + j, lay.PF_OHMS]
        a, b = pi[n_l + j, 0], pi[n_l + j, 1]
        root[j] = np.sqrt(pf[n_l + j, lay.PF_FARADS])
        stamp(g, a, b, ge)
        if a > 0:
            nodes[a - 1, j] += ge
        if b > 0:
            nodes[b - 1, j] -= ge
    solve_symmetric(g, nodes)
    k = np.empty((n_c, n_c))
    for i in range(n_c):
        ge = 1.0 / pf[n_l + i, lay.PF_OHMS]
        for j in range(n_c):
            part = -ge * across(nodes, pi[n_l + i, 0], pi[n_l + i, 1], j)
            k[i, j] = part + (ge if i == j else 0.0)
    for i in range(n_c):
        for j in range(i, n_c):
            mean = 0.5 * (k[i, j] + k[j, i]) / (root[i] * root[j])
            k[i, j] = mean
            k[j, i] = mean
    return nodes, k, root


@njit(**INNER)
def jacobi(k, v):
    """Eigenvalues on the diagonal of k, eigenvectors in the columns of v (cyclic Jacobi)."""
    n = k.shape[0]
    for _ in range(60):
        off = 0.0
        total = 0.0
        for i in range(n):
            for j in range(n):
                total += k[i, j] ** 2
                if i != j:
                    off += k[i, j] ** 2
        if off <= 1e-28 * total:
            return
        for p in range(n - 1):
            for q in range(p + 1, n):
                rotate(k, v, p, q)


@njit(**INNER)
def rotate(k, v, p, q):
    """One Jacobi rotation that clears k[p, q]."""
    if k[p, q] == 0.0:
        return
    theta = (k[q, q] - k[p, p]) / (2.0 * k[p, q])
    sign = 1.0 if theta >= 0.0 else -1.0
    t = sign / (abs(theta) + np.sqrt(theta * theta + 1.0))
    c = 1.0 / np.sqrt(t * t + 1.0)
    s = t * c
    for i in range(k.shape[0]):
        a, b = k[i, p], k[i, q]
        k[i, p], k[i, q] = c * a - s * b, s * a + c * b
    for i in range(k.shape[0]):
        a, b = k[p, i], k[q, i]
        k[p, i], k[q, i] = c * a - s * b, s * a + c * b
    for i in range(k.shape[0]):
        a, b = v[i, p], v[i, q]
        v[i, p], v[i, q] = c * a - s * b, s * a + c * b


@njit(**INNER)
def book(n_l, n_c, ri, rf, si, sf, pi, pf, nodes, scaled, weights):
    """Heat of the fast modes into resistors, contacts and ESR; surge of closing contacts."""
    modes = np.zeros(n_c)
    for r in range(ri.shape[0]):
        modal(nodes, scaled, ri[r, 0], ri[r, 1], modes)
        rf[r, 1] += rf[r, 0] * form(modes, weights)
    for s in range(si.shape[0]):
        modal(nodes, scaled, si[s, lay.SI_A], si[s, lay.SI_B], modes)
        g = contact_g(sf, s, si[s, lay.SI_CLOSED] != 0)
        joules = g * form(modes, weights)
        sf[s, lay.SW_HEAT] += joules
        if si[s, lay.SI_CLOSED] == 2:
            sf[s, lay.SW_PEAK] = abs(g * np.sum(modes))
            sf[s, lay.SW_A2S] = g * joules
    for i in range(n_c):
        modal(nodes, scaled, pi[n_l + i, 0], pi[n_l + i, 1], modes)
        for j in range(n_c):
            modes[j] -= scaled[i, j]
        pf[n_l + i, lay.PF_HEAT] += form(modes, weights) / pf[n_l + i, lay.PF_OHMS]


@njit(**INNER)
def modal(nodes, scaled, a, b, out):
    """Volts between two nodes in each fast mode at its beginning."""
    n_c = scaled.shape[0]
    for j in range(n_c):
        out[j] = 0.0
    for i in range(n_c):
        volts = across(nodes, a, b, i)
        for j in range(n_c):
            out[j] += volts * scaled[i, j]


@njit(**INNER)
def form(modes, weights):
    """Integral over time of the squared sum of decaying modes."""
    total = 0.0
    for i in range(modes.shape[0]):
        for j in range(modes.shape[0]):
            total += modes[i] * modes[j] * weights[i, j]
    return total
