"""A laid-out circuit taken up again with other numbers is the circuit laid out anew."""

from dataclasses import replace

import numpy as np
import pytest

from tests.outside import share
from trainer.circuit.numbers import copied, keep_solved, with_numbers
from trainer.circuit.phasor import prepare
from trainer.circuit.plan import make_plan
from trainer.circuit.shape import changes, same_shape
from trainer.circuit.transient import Transient
from trainer.starts.watching import channels_for
from trainer.study.build import build, moves
from trainer.study.load import load_study

STUDY = load_study("potential-relay")
ELEMENTS, ROLES = build(STUDY)
CHANNELS = channels_for(ELEMENTS, ROLES)
UNTIL_S = 0.12


def stepped(transient):
    for move in moves(STUDY):
        transient.act(*move)
    return transient.run(UNTIL_S)


def other(kind, **times):
    """The circuit with a field of every element of a kind multiplied; factors invented."""
    items = [
        replace(item, **{name: getattr(item, name) * factor for name, factor in times.items()})
        for item in getattr(ELEMENTS, kind)
    ]
    return replace(ELEMENTS, **{kind: items})


CHANGED = [
    other("resistors", ohms=1.7),
    other("switches", closed_ohms=3.0),
    other("inductives", ohms=1.2, henries=0.8),
    other("capacitives", farads=1.3, esr_ohms=0.7),
    other("sources", volts_peak=0.8),
    replace(
        ELEMENTS,
        machines=[
            replace(
                m, params=replace(m.params, r_main=1.1 * m.params.r_main),
                load=replace(m.load, run_nm=0.5, lift=0.3),
            )
            for m in ELEMENTS.machines
        ],
    ),
]  # fmt: skip


@pytest.mark.parametrize("elements", share(CHANGED, 2))
def test_other_numbers_in_a_plan_are_those_of_a_new_one(elements):
    plan = make_plan(ELEMENTS, CHANNELS)
    keep_solved(plan, stepped_plan(plan))
    assert same_shape(ELEMENTS, elements) and changes(ELEMENTS, elements)
    ours = stepped(Transient.of_plan(with_numbers(plan, elements), CHANNELS))
    theirs = stepped(Transient(elements, CHANNELS))
    for name, line in theirs.values.items():
        assert ours[name] == pytest.approx(line, rel=1e-9, abs=1e-9), name
    assert ours.events == theirs.events


def stepped_plan(plan):
    transient = Transient.of_plan(copied(plan), CHANNELS)
    stepped(transient)
    return transient.plan


def test_solved_contact_states_are_kept_and_change_nothing():
    plan = make_plan(ELEMENTS, CHANNELS)
    first = Transient.of_plan(with_numbers(plan, ELEMENTS), CHANNELS)
    before = stepped(first)
    assert keep_solved(plan, first.plan)
    again = Transient.of_plan(with_numbers(plan, ELEMENTS), CHANNELS)
    after = stepped(again)
    assert first.plan.core.tally["built"] > 2 and again.plan.core.tally["built"] == 0
    assert all(np.array_equal(before[name], after[name]) for name in before.values)


def test_an_element_more_or_another_end_is_another_shape():
    more, bent = replace(ELEMENTS, resistors=[*ELEMENTS.resistors]), replace(ELEMENTS)
    more.resistors.append(replace(ELEMENTS.resistors[0], name="more"))
    bent.resistors = [replace(r, a=r.b, b=r.a) for r in ELEMENTS.resistors]
    assert not same_shape(ELEMENTS, more) and not same_shape(ELEMENTS, bent)
    assert same_shape(ELEMENTS, replace(ELEMENTS))


@pytest.mark.parametrize("elements", CHANGED[:5])
def test_the_steady_state_with_other_numbers_too(elements):
    closed = {s.name: True for s in ELEMENTS.switches}
    found = changes(ELEMENTS, elements)
    ours = prepare(ELEMENTS, closed).with_numbers(elements, found).at({})
    theirs = prepare(elements, closed).at({})
    assert ours.node_volts == pytest.approx(theirs.node_volts, rel=1e-9, abs=1e-7)
    for name in ("service~leg1", "sc"):
        assert ours.amps(name) == pytest.approx(theirs.amps(name), rel=1e-8, abs=1e-9)
