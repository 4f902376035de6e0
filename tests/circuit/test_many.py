"""Many starts solved together are the starts that each circuit makes by itself."""

import numpy as np
import pytest

from tests.circuit.test_numbers import CHANGED, CHANNELS, ELEMENTS, STUDY, UNTIL_S, stepped
from tests.outside import share
from trainer.circuit.many import Many
from trainer.circuit.transient import Transient
from trainer.study.build import moves


@pytest.fixture(scope="module")
def many() -> Many:
    return Many(ELEMENTS, CHANNELS, [tuple(act) for act in moves(STUDY)], UNTIL_S)


def test_each_start_is_that_of_its_circuit_alone(many):
    some = share(CHANGED, 2)
    for ours, elements in zip(many.run(some), some, strict=True):
        theirs = stepped(Transient(elements, CHANNELS))
        for name, line in theirs.values.items():
            assert ours[name] == pytest.approx(line, rel=1e-9, abs=1e-9), name
        assert [(e.t_s, e.kind, e.name) for e in ours.events] == [
            (e.t_s, e.kind, e.name) for e in theirs.events
        ]


def test_the_company_a_circuit_is_solved_in_changes_nothing(many):
    alone, together = many.run(CHANGED[3:4])[0], many.run(CHANGED[2:5])[1]
    assert all(np.array_equal(alone[name], line) for name, line in together.values.items())


def test_states_that_were_met_are_not_solved_again(many, monkeypatch):
    def refuse(*_):
        raise AssertionError("solved again")

    monkeypatch.setattr("trainer.circuit.states.build", refuse)
    assert many.run(CHANGED[3:4])[0].events
