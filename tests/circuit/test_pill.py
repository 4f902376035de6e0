"""A thermistor's change followed is the state solved again."""

import numpy as np
import pytest

from trainer.circuit import states
from trainer.circuit.numbers import copied
from trainer.circuit.pill import AT, follow, pill_of
from trainer.circuit.plan import make_plan
from trainer.circuit.transient import Transient
from trainer.starts import watching as w
from trainer.study.build import build, moves
from trainer.study.load import load_study

STUDY = load_study("ptc")
ELEMENTS, ROLES = build(STUDY)
#: Without the channel of the thermistor's own amps, which would not be followed.
CHANNELS = [c for c in w.channels_for(ELEMENTS, ROLES) if c.name in (w.LINE[0], w.SPEED, w.AUX)]


def drawn(until_s):
    transient = Transient.of_plan(copied(make_plan(ELEMENTS, CHANNELS)), CHANNELS)
    for move in moves(STUDY):
        transient.act(*move)
    return transient.plan, transient.run(until_s)


def test_the_matrix_is_the_one_that_a_solve_gives():
    plan, _ = drawn(0.5)
    core, network = plan.core, plan.network
    base, r = network.modes[AT], pill_of(core, network)
    now = float(network.resistors["siemens"][r])
    assert now < 0.2 * base.siemens, "it has gone hot meanwhile"
    ours = follow(base, now)
    core.tally["states"] = 0
    states.build(core, network)
    assert np.max(np.abs(ours - core.mt[0])) < 1e-10 * np.max(np.abs(core.mt[0]))


def test_a_drawn_start_is_the_booked_one():
    plan, ours = drawn(0.5)
    booked = Transient(ELEMENTS, CHANNELS)
    for move in moves(STUDY):
        booked.act(*move)
    theirs = booked.run(0.5)
    for name, line in theirs.values.items():
        assert ours[name] == pytest.approx(line, rel=1e-8, abs=1e-8), name
    assert plan.core.tally["built"] == booked.plan.core.tally["built"] > 50


def test_nothing_is_followed_without_one_thermistor():
    study = load_study("psc")
    elements, _ = build(study)
    plan = make_plan(elements, [])
    assert pill_of(plan.core, plan.network) == -1
