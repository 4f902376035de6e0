"""What holds of every attempt: totals in range, no gain from noise, none lost by doing right."""

from __future__ import annotations

import random

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.assess.made import PIECES, Script, scripted
from tests.assess.test_rules import ANCHOR, RESETS, STANDARD
from tests.outside import examples

NAMES = [name for name, _ in PIECES]
BY_NAME = dict(PIECES)
#: What the circuit or the hand asks whatever the rubric says: panels off before what is behind
#: them, power on before the start, and the order in which locks and switches can be worked.
BY_NATURE = [
    ("P14", "P16"), ("cap off", "P16"), ("P09", "P12"), ("P09", "P11"), ("P12", "P13"),
    ("P13", "P10"), ("P09", "P15"), ("P14", "P18"), ("P16", "P20"), ("P19", "P20"),
    ("P17", "P20"), ("P15", "P17"), ("P15", "P16"), ("P18", "P19"),
    ("PPE", "P15"), ("P14", "P17"), ("P14", "P19"), ("P09", "P16"), ("P09", "P17"), ("P09", "P19"),
]  # fmt: skip
PREPARED = NAMES[: NAMES.index("P21")]
REST = NAMES[NAMES.index("P21") :]
settings_ = settings(max_examples=examples(25), deadline=None)


def sequence(script: Script):
    return next(d for d in script.marked().mark.domains if d.name == "sequence").score


def free_order(seed: int) -> list[str]:
    """A random order of everything up to the declaration that the rules leave free."""
    drawn = random.Random(seed)
    rules = [(r.first, r.then) for r in STANDARD.rules]
    rules += [(a, "P16") for a, b in rules if b == "TEST"] + BY_NATURE
    graph = nx.DiGraph((a, b) for a, b in rules if a in PREPARED and b in PREPARED)
    graph.add_nodes_from(PREPARED)
    rank = {name: drawn.random() for name in PREPARED}
    return list(nx.lexicographical_topological_sort(graph, key=rank.__getitem__))


@settings_
@given(st.integers(0, 10**6))
def test_what_the_rules_leave_free_changes_nothing(seed):
    script = scripted(order=[*free_order(seed), *REST])
    assert sequence(script) == 1
    assert script.marked().mark.total == scripted().marked().mark.total


@settings_
@given(st.sets(st.sampled_from(PREPARED)))
def test_a_total_lies_between_nothing_and_a_hundred(without):
    mark = scripted(without=tuple(without)).marked().mark
    assert 0 <= mark.total <= 100
    assert all(0 <= d.score <= 1 for d in mark.domains)
    assert sum(d.weight for d in mark.domains) == 100
    lost = sum(f.lost for d in mark.domains for f in d.findings)
    assert mark.total == 100 - lost  # every point lost has its finding
    assert all(f.evidence.events or f.outcome == "not shown" or f.outcome == "met"
               for f in mark.findings)  # fmt: skip


#: Steps of an order that is judged only when both are there: with one of them kept out of place by
#: what else is missing, doing the other brings a rule into play.
IN_ORDER = {
    ANCHOR.get(step, step)
    for r in STANDARD.rules
    if r.kind == "order"
    for step in (r.first, r.then)
}
#: Without these, later steps of the careful job are out of place: a lock on what is closed.
CARRY = {"P09", "P12"}
ADDED = [name for name in PREPARED if name not in IN_ORDER | CARRY]
MISSING = [name for name in PREPARED if name not in CARRY]


@settings_
@given(st.sets(st.sampled_from(MISSING)), st.sampled_from(ADDED))
def test_a_right_step_more_never_scores_less(without, added):
    """The step is done at its right place; what is charged may only become less."""
    less = scripted(without=tuple(without | {added}))
    more = scripted(without=tuple(without - {added}))
    assert sequence(more) >= sequence(less)


#: Steps that weigh in the safe order by themselves; the others serve what comes later.
WEIGHING = {r.first for r in STANDARD.rules} | set(STANDARD.checks["sequence"])


@pytest.mark.parametrize("added", [name for name in ADDED if name in WEIGHING])
def test_a_right_step_alone_scores_more(added):
    assert sequence(scripted()) > sequence(scripted(without=(added,)))


NOISE = {
    "look": lambda s: s.did("look", at="contactor"),
    "wait": lambda s: s.did("wait", seconds=5.0, ms=5000),
    "diagram": lambda s: s.did("read", what="diagram", at=""),
    "inspect": lambda s: s.did("inspect", wire="7", end="a"),
    "stand": lambda s: s.stand("aside"),
}


@settings_
@given(st.lists(st.tuples(st.sampled_from(NAMES[:-1]), st.sampled_from(sorted(NOISE))), max_size=8))
def test_looks_and_waits_change_no_mark(noise):
    instead = {}
    for where, what in noise:
        piece = instead.get(where.replace(" ", "_"), BY_NAME[where])
        instead[where.replace(" ", "_")] = _then(piece, NOISE[what])
    one, other = scripted().marked().mark, scripted(**instead).marked().mark
    assert one.total == other.total
    assert [c.code for c in one.critical] == [c.code for c in other.critical]
    assert [(f.rule, f.outcome) for f in one.findings] == [
        (f.rule, f.outcome) for f in other.findings
    ]


def _then(one, other):
    return lambda s: (one(s), other(s))


@settings_
@given(st.sampled_from(sorted(RESETS)), st.lists(st.sampled_from(sorted(NOISE)), max_size=4))
def test_a_touch_after_any_reset_is_critical(reset, noise):
    def twice(s: Script) -> None:
        BY_NAME["WORK"](s)
        RESETS[reset](s)
        for name in noise:
            NOISE[name](s)
        s.touch("contactor.T1")

    mark = scripted(WORK=twice).marked().mark
    assert "CF2" in [c.code for c in mark.critical] and mark.verdict == "fail"


@pytest.mark.parametrize("name", NAMES)
def test_no_single_omission_scores_more(name):
    assert scripted(without=(name,)).marked().mark.total <= scripted().marked().mark.total


def test_marking_twice_gives_the_same():
    script = scripted(without=("P20",))
    assert script.marked().mark.as_data() == script.marked().mark.as_data()
