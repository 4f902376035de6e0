"""The strongest tree against its definition: take in falling strength what adds rank."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.outside import examples
from trainer.circuit.tree import strongest_tree


def test_a_node_without_leakage_is_refused() -> None:
    with pytest.raises(ValueError, match="leakage"):
        strongest_tree(np.array([[1.0, -1.0]]), np.array([1.0]))


def test_it_takes_the_strongest_and_skips_what_closes_a_loop() -> None:
    rows = np.array([[1.0, 0.0], [1.0, -1.0], [0.0, 1.0], [1.0, -1.0]])
    assert strongest_tree(rows, np.array([1.0, 4.0, 3.0, 5.0])).tolist() == [3, 2]


def test_a_transformer_row_can_make_a_later_branch_redundant() -> None:
    # v1 = 2 v2 and v1 held to chassis: v2 is held too
    rows = np.array([[1.0, -2.0], [1.0, 0.0], [0.0, 1.0]])
    assert strongest_tree(rows, np.array([3.0, 2.0, 1.0])).tolist() == [0, 1]


def test_no_nodes_need_no_branches() -> None:
    assert strongest_tree(np.zeros((3, 0)), np.ones(3)).tolist() == []


NODES = 6


@st.composite
def rows_and_weights(draw: st.DrawFn) -> tuple[np.ndarray, np.ndarray]:
    """Two-ended rows, transformer rows and one leak per node, in any order of strength."""
    node = st.integers(0, NODES)
    two = st.tuples(node, node).map(lambda p: [(p[0], 1.0), (p[1], -1.0)])
    ratio = st.sampled_from([0.5, 2.0, 10.0, 1 / 3])
    four = st.tuples(node, node, node, node, ratio).map(
        lambda p: [(p[0], 1.0), (p[1], -1.0), (p[2], -p[4]), (p[3], p[4])]
    )
    taps = draw(st.lists(st.one_of(two, two, four), max_size=12))
    taps += [[(k, 1.0)] for k in range(1, NODES + 1)]
    rows = np.zeros((len(taps), NODES + 1))
    for k, ends in enumerate(taps):
        for n, c in ends:
            rows[k, n] += c
    order = draw(st.permutations(range(len(taps))))
    return rows[:, 1:], np.array(order, dtype=float) + 1.0


@settings(deadline=None, max_examples=examples(200))
@given(rows_and_weights())
def test_every_row_taken_adds_rank_and_none_left_out_would(
    drawn: tuple[np.ndarray, np.ndarray],
) -> None:
    rows, strength = drawn
    expected: list[int] = []
    for k in np.argsort(-strength):
        if np.linalg.matrix_rank(rows[[*expected, k]], tol=1e-9) > len(expected):
            expected.append(int(k))
    assert strongest_tree(rows, strength).tolist() == expected
