"""The distance of a wiring from wanted nets, against a worked example and other measures.

The example (thirteen terminals, start and common exchanged) and its figures are this project's own,
worked by hand: eight joins wanted; two wires cross, two joins are missing, one wire is too many.
"""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linear_sum_assignment
from sklearn.metrics import adjusted_rand_score, rand_score

from tests.nets.boards import SWAPPED, chain, nets, wires
from tests.outside import examples
from trainer.nets.distance import distance
from trainer.nets.moves import applied, moves
from trainer.nets.wires import Wire, groups_of

TERMINALS = sorted(t for net in nets() for t in net)


def labels(groups) -> list[int]:
    """A number for each terminal: its group, or one of its own."""
    of = {t: n for n, group in enumerate(sorted(groups, key=sorted)) for t in group}
    return [of.get(t, 100 + n) for n, t in enumerate(TERMINALS)]


def test_the_worked_example_to_the_digit():
    found = distance(wires(SWAPPED), nets())
    assert (len(found.crossing), found.missing, len(found.redundant)) == (2, 2, 1)
    assert (found.edits, found.wanted, found.join_f) == (4, 8, Fraction(3, 4))


def test_a_blank_board_is_worth_nothing():
    found = distance([], nets())
    assert (found.missing, found.edits, found.join_f) == (8, 8, 0)


def test_measures_that_flatter_a_blank_board():
    """Rand 0.923077 and 0.846154, adjusted 0.704545 and 0, transfer distance 2: worked by hand."""
    wanted, swapped, blank = labels(nets()), labels(groups_of(wires(SWAPPED))), labels(())
    assert rand_score(wanted, swapped) == pytest.approx(72 / 78)
    assert rand_score(wanted, blank) == pytest.approx(0.846154, abs=1e-6)
    assert adjusted_rand_score(wanted, swapped) == pytest.approx(0.704545, abs=1e-6)
    assert adjusted_rand_score(wanted, blank) == pytest.approx(0.0, abs=1e-9)
    shared = np.array([[sum(w == a and s == b for w, s in zip(wanted, swapped, strict=True))
                        for b in set(swapped)] for a in set(wanted)])  # fmt: skip
    rows, columns = linear_sum_assignment(-shared)
    assert len(TERMINALS) - shared[rows, columns].sum() == 2


def test_another_routing_is_the_same_wiring():
    star = wires("LINE1 L1;LINE2 L2;FAN_1 T1;FAN_1 R;FAN_1 CAP_C;T2 FAN_2;C FAN_2;CAP_H S")
    assert distance(star, nets()).edits == 0
    assert distance(star, nets()).join_f == 1


boards = st.lists(
    st.tuples(st.sampled_from(TERMINALS), st.sampled_from(TERMINALS)), max_size=14
).map(lambda rows: [Wire(str(n), a, b) for n, (a, b) in enumerate(rows)])


@settings(max_examples=examples(300), deadline=None)
@given(boards)
def test_the_moves_are_a_repair_of_just_so_many_edits(board):
    found = distance(board, nets())
    told = moves(found, nets(), chain())
    assert groups_of(applied(board, told)) == nets()
    flat = [m for top in told for m in (top, top.with_) if m is not None]
    cost = {"move": 2, "swap": 2, "remove": 1, "join": 1, "extra": 0}
    assert sum(cost[m.kind] for m in flat) == found.edits


@settings(max_examples=examples(200), deadline=None)
@given(boards)
def test_a_share_is_whole_only_for_the_wanted_nets(board):
    found = distance(board, nets())
    assert 0 <= found.join_f <= 1
    assert (found.join_f == 1) == (groups_of(board) == nets())


@settings(max_examples=examples(100), deadline=None)
@given(boards, st.permutations(TERMINALS))
def test_names_do_not_matter(board, others):
    names = dict(zip(TERMINALS, others, strict=True))
    renamed = [Wire(w.tag, names[w.a], names[w.b]) for w in board]
    wanted = frozenset(frozenset(names[t] for t in net) for net in nets())
    assert distance(renamed, wanted).join_f == distance(board, nets()).join_f


small = st.lists(st.tuples(st.sampled_from("abcd"), st.sampled_from("abcd")), max_size=4).map(
    lambda rows: [Wire(str(n), a, b) for n, (a, b) in enumerate(rows) if a != b]
)


@settings(max_examples=examples(60), deadline=None)
@given(small)
def test_no_fewer_edits_do(board):
    """Brute force on four terminals: every way to take wires off and put joins on."""
    from itertools import combinations

    wanted = nets("a b;c d")
    pairs = [Wire(f"n{a}{b}", a, b) for a, b in combinations("abcd", 2)]
    least = distance(board, wanted).edits
    for off in range(len(board) + 1):
        for on in range(max(0, least - off)):
            if off + on < least:
                for gone in combinations(board, off):
                    for new in combinations(pairs, on):
                        kept = [w for w in board if w not in gone]
                        assert groups_of([*kept, *new]) != wanted
