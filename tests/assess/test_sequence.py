"""Order by validity: the worked example to the digit, graphs against a library, resets.

The worked example (ten steps, weights summing to 26) is this project's own, recomputed here.
"""

from fractions import Fraction
from itertools import pairwise, permutations

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.outside import examples
from trainer.assess import orders
from trainer.assess.sequence import Moment, Reset, Rule, judge, score

#: first, then, weight, kind.
EXAMPLE = [
    ("OFF", "LOTO", 2, "gate"), ("LOTO", "DEAD", 2, "gate"), ("PROVE1", "DEAD", 2, "gate"),
    ("DEAD", "PROVE2", 1, "before"), ("DEAD", "W_L", 5, "gate"), ("DEAD", "W_C", 5, "gate"),
    ("PROVE2", "W_L", 2, "gate"), ("PROVE2", "W_C", 2, "gate"), ("W_L", "TORQ", 1, "before"),
    ("W_C", "TORQ", 1, "before"), ("TORQ", "REST", 2, "gate"), ("REST", "TEST", 1, "gate"),
]  # fmt: skip
RULES = [Rule(a, b, Fraction(w), k) for a, b, w, k in EXAMPLE]
ARROWS = [(a, b) for a, b, _, _ in EXAMPLE]
A = ["PROVE1", "OFF", "LOTO", "DEAD", "PROVE2", "W_C", "W_L", "TORQ", "REST", "TEST"]
B = ["OFF", "PROVE1", "LOTO", "W_L", "DEAD", "PROVE2", "W_C", "TORQ", "REST", "TEST"]
C = [step for step in B if step != "PROVE2"]


def trail(steps):
    return [Moment(step, n, 1000 * n) for n, step in enumerate(steps, 1)]


@pytest.mark.parametrize(("steps", "met"), [(A, 26), (B, 19), (C, 16), ([], 0)])
def test_the_worked_example_to_the_digit(steps, met):
    assert sum(rule.weight for rule in RULES) == 26
    assert score(judge(RULES, trail(steps))) == Fraction(met, 26)


@pytest.mark.parametrize(("steps", "kept"), [(A, 10), (B, 9)])
def test_the_longest_kept_part(steps, kept):
    assert orders.longest_kept(ARROWS, steps) == kept


def test_the_relation_of_the_example():
    assert orders.count(ARROWS) == 6
    assert len(orders.closure(ARROWS)) == 42
    assert orders.cycle(ARROWS) == []


def test_every_legal_order_scores_full():
    graph = nx.DiGraph(ARROWS)
    legal = list(nx.all_topological_sorts(graph))
    assert len(legal) == 6
    assert all(score(judge(RULES, trail(order))) == 1 for order in legal)


def test_a_reset_ends_what_was_proved():
    rules = [Rule("DEAD", "HAND")]
    steps = trail(["DEAD", "HAND"])
    back = Reset(frozenset({"DEAD"}), 5, 5000, "power came back")
    (found,) = judge(rules, [*steps, back, Moment("HAND", 6, 6000)])
    assert found.outcome == "not met"
    assert (found.broken.seq, found.reset.why) == (6, "power came back")
    (mended,) = judge(rules, [*steps, back, Moment("DEAD", 6, 6000), Moment("HAND", 7, 7000)])
    assert mended.outcome == "met"


@pytest.mark.parametrize(
    ("kind", "steps", "outcome"),
    [
        ("gate", "a b", "met"), ("gate", "b a", "not met"), ("gate", "b", "not met"),
        ("gate", "a", "not shown"), ("gate", "", "not shown"),
        ("before", "b", None), ("before", "a", "not shown"), ("before", "b a", "not met"),
        ("order", "a", None), ("order", "b", None), ("order", "a b", "met"),
        ("order", "b a", "not met"),
        ("guard", "a", None), ("guard", "b", "not met"), ("guard", "a b", "met"),
    ],
)  # fmt: skip
def test_kinds(kind, steps, outcome):
    (found,) = judge([Rule("a", "b", Fraction(1), kind)], trail(steps.split()))
    assert found.outcome == outcome


@pytest.mark.parametrize("kind", ["gate", "before", "order", "guard"])
def test_what_was_handed_over_is_left_out_until_a_reset(kind):
    rule = Rule("a", "b", Fraction(1), kind)
    given_ = frozenset({"a"})
    back = Reset(frozenset({"a"}), 2, 2000, "power came back")
    assert judge([rule], trail(["b"]), given_)[0].outcome is None
    assert judge([rule], [], given_)[0].outcome is None
    assert judge([rule], [back, Moment("b", 3, 3000)], given_)[0].outcome == "not met"


names = st.sampled_from("abcdef")
arrows = st.lists(st.tuples(names, names), max_size=9).map(
    lambda rows: sorted({(min(r), max(r)) for r in rows if r[0] != r[1]})
)


@settings(max_examples=examples(150), deadline=None)
@given(arrows)
def test_counts_and_closures_as_a_library_has_them(pairs):
    graph = nx.DiGraph(pairs)
    assert orders.count(pairs) == sum(1 for _ in nx.all_topological_sorts(graph))
    assert orders.closure(pairs) == frozenset(nx.transitive_closure_dag(graph).edges)
    reduced = set(nx.transitive_reduction(graph).edges)
    assert set(pairs) - set(orders.implied(pairs)) == reduced


@settings(max_examples=examples(150), deadline=None)
@given(arrows, st.permutations("abcdef"))
def test_the_longest_kept_part_is_the_largest_antichain(pairs, order):
    where = {step: n for n, step in enumerate(order)}
    broken = [(a, b) for a, b in orders.closure(pairs) if where[b] < where[a]]
    graph = nx.DiGraph(broken)
    graph.add_nodes_from(order)
    largest = max(len(chain) for chain in nx.antichains(graph))
    assert orders.longest_kept(pairs, list(order)) == largest


@settings(max_examples=examples(100), deadline=None)
@given(st.lists(st.tuples(names, names), max_size=9))
def test_rings_are_found(pairs):
    graph = nx.DiGraph([p for p in pairs if p[0] != p[1]])
    kept = list(graph.edges)
    ring = orders.cycle(kept)
    assert bool(ring) == (not nx.is_directed_acyclic_graph(graph))
    assert all(pair in kept for pair in pairwise(ring))


@settings(max_examples=examples(100), deadline=None)
@given(arrows, st.permutations("abcdef"), st.randoms())
def test_more_of_the_right_never_scores_less(pairs, order, random):
    """A step added at its right place keeps or raises the share."""
    rules = [Rule(a, b, Fraction(1), "gate") for a, b in pairs]
    legal = list(nx.lexicographical_topological_sort(nx.DiGraph(pairs))) if pairs else []
    left = [step for step in legal if random.random() < 0.6]
    for step in set(legal) - set(left):
        more = [s for s in legal if s in left or s == step]
        one, other = score(judge(rules, trail(left))), score(judge(rules, trail(more)))
        assert other is None or one is None or other >= one


def test_ten_steps_by_brute_force():
    """The count of the example against every order of its first six steps."""
    steps = ["OFF", "LOTO", "PROVE1", "DEAD", "PROVE2", "W_L"]
    pairs = [(a, b) for a, b in ARROWS if a in steps and b in steps]
    legal = sum(
        all(order.index(a) < order.index(b) for a, b in pairs) for order in permutations(steps)
    )
    assert orders.count(pairs) == legal
