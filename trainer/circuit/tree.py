"""The strongest tree of a circuit: a maximum-weight set of independent branch rows.

Greedy choice is optimal for any kind of independence (a matroid: Edmonds, *Matroids and the
greedy algorithm*, 1971, from memory). Two-ended branches depend when they close a loop, which
is counting; rows of transformers need elimination. Knows rows and weights, no circuit.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

#: Below this a coefficient is rounding of a turns ratio, not a coefficient.
TINY = 1e-12


def clean(matrix: Array) -> Array:
    """The same matrix with rounding residues made exact zeros, in place."""
    matrix[np.abs(matrix) < TINY] = 0.0
    return matrix


def strongest_tree(rows: Array, strength: Array) -> NDArray[np.intp]:
    """Indices of a maximum-weight set of independent rows, strongest first.

    Rows are taken in falling strength (ties in list order) unless they depend on those already
    taken. Raises ValueError when the rows do not span the nodes: a node without leakage.
    Two-ended rows depend when they close a loop; a transformer's row, and every row after it,
    is checked by elimination over the groups of nodes that are joined by then.
    """
    nodes = rows.shape[1]
    root = list(range(nodes + 1))
    taken: list[int] = []
    doubtful: list[int] = []
    groups = root
    order = np.argsort(-strength, kind="stable")
    for k, a, b in _ends(rows, order):
        if b < 0 and not doubtful:
            groups = [_top(root, n) for n in range(nodes + 1)]
        if b < 0 or _join(root, a, b):
            (doubtful if doubtful or b < 0 else taken).append(k)
    if doubtful:
        joined = rows[doubtful] @ _indicator(groups)
        taken += [doubtful[k] for k in _independent(joined)]
    if len(taken) < nodes:
        raise ValueError("some nodes touch no branch: give every node its leakage to chassis")
    return np.array(taken, dtype=np.intp)


def _ends(rows: Array, order: NDArray[np.intp]) -> list[tuple[int, int, int]]:
    """(row, its two ends) in order, the chassis as the last node; second end -1: has more ends.

    Rows without ends are left out.
    """
    if rows.size == 0:
        return []
    there = rows != 0.0
    count, nodes = there.sum(axis=1), rows.shape[1]
    first = there.argmax(axis=1)
    last = nodes - 1 - there[:, ::-1].argmax(axis=1)
    every = np.arange(len(rows))
    unbalanced = rows[every, first] + rows[every, last] != 0.0
    last = np.where(count == 1, nodes, last)
    last = np.where((count > 2) | ((count == 2) & unbalanced), -1, last)
    kept = order[count[order] > 0]
    return list(zip(kept.tolist(), first[kept].tolist(), last[kept].tolist(), strict=True))


def _indicator(groups: list[int]) -> Array:
    """Which group every node but the chassis is in, one column a group but the chassis's own."""
    ground = groups[-1]
    names = sorted(set(groups) - {ground})
    column = {name: k for k, name in enumerate(names)}
    table = np.zeros((len(groups) - 1, len(names)))
    for node, name in enumerate(groups[:-1]):
        if name != ground:
            table[node, column[name]] = 1.0
    return table


def _top(root: list[int], a: int) -> int:
    while root[a] != a:
        root[a] = a = root[root[a]]
    return a


def _join(root: list[int], a: int, b: int) -> bool:
    """Put two nodes into one group; False when they are in one already."""
    a, b = _top(root, a), _top(root, b)
    root[a] = b
    return a != b


def _independent(rows: Array) -> list[int]:
    """Positions of the rows that do not depend on rows before them."""
    work = rows.copy()
    taken: list[int] = []
    for k in range(len(rows)):
        if len(taken) == rows.shape[1]:
            break
        pivot = int(np.abs(work[k]).argmax())
        if abs(work[k, pivot]) < 1e-9:
            continue
        taken.append(k)
        factors = work[k + 1 :, pivot] / work[k, pivot]
        hit = np.nonzero(factors)[0]
        below = hit + k + 1
        work[below] = clean(work[below] - factors[hit, None] * work[k])
    return taken
