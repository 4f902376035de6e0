"""The two first studies, energised."""

import math

import numpy as np
import pytest

from trainer.circuit.channels import Channel, Trace
from trainer.circuit.elements import Sense
from trainer.circuit.transient import Transient
from trainer.study.build import Roles, build, moves
from trainer.study.load import load_study

SYNC = 120.0 * math.pi


def energised(name: str) -> tuple[Roles, Trace]:
    study = load_study(name)
    elements, roles = build(study)
    start, common = roles.at("compressor", "S"), roles.at("compressor", "C")
    assert start is not None and common is not None and roles.line is not None
    channels = [
        Channel("line", sense=roles.line),
        Channel("speed", machine=roles.element("compressor", "machine"), quantity="speed_rad_s"),
        Channel("fan", machine=roles.element("fan", "machine"), quantity="speed_rad_s"),
        Channel("v_sc", sense=Sense(volts=(start, common))),
    ]
    transient = Transient(elements, channels)
    for move in moves(study):
        transient.act(*move)
    return roles, transient.run(study.until)


def rms(trace: Trace, name: str, start: float, end: float) -> float:
    inside = (trace.t_s >= start) & (trace.t_s < end)
    return float(np.sqrt(np.mean(trace[name][inside] ** 2)))


@pytest.fixture(scope="module")
def psc():
    return energised("psc")


@pytest.fixture(scope="module")
def relay():
    return energised("potential-relay")


@pytest.mark.parametrize("name", ["psc", "relay"])
def test_both_motors_come_up(name, request):
    _, trace = request.getfixturevalue(name)
    assert 0.95 * SYNC < trace["speed"][-1] < SYNC * 1.05
    assert trace["fan"][-1] > 0.9 * SYNC / 3.0  # six poles


def test_plain_start_draws_locked_amps_and_a_fan(psc):
    # 78.6 A locked at 230 V, at 234 V left of 240 V: 80 A; the fan adds its 3 A
    _, trace = psc
    assert rms(trace, "line", 0.12, 0.17) == pytest.approx(81.0, abs=3.0)
    assert rms(trace, "line", 2.8, 3.0) < 14.0  # equalised, so below its rated amps


def test_relay_opens_once_between_60_percent_and_full_speed(relay):
    roles, trace = relay
    opened = [e.t_s for e in trace.events if e.kind == "opened" and e.name == roles.start_contact]
    assert len(opened) == 1
    speed = float(np.interp(opened[0], trace.t_s, trace["speed"])) / SYNC
    assert 0.6 < speed < 1.0
    assert not [e for e in trace.events if e.kind == "closed" and e.name == roles.start_contact]


def test_start_capacitor_shortens_the_start(psc, relay):
    up = [t.t_s[np.argmax(t["speed"] > 0.9 * SYNC)] for _, t in (psc, relay)]
    assert up[1] < up[0]


def test_running_start_winding_volts_exceed_the_line(relay):
    # back-EMF across the start winding exceeds line volts at speed: computed from textbook
    # motors, common practice
    _, trace = relay
    assert rms(trace, "v_sc", 2.5, 3.0) > 240.0


def test_contactor_is_in_before_anything_turns(psc):
    _, trace = psc
    made = next(e.t_s for e in trace.events if (e.kind, e.name) == ("closed", "contactor~1"))
    assert 0.05 < made < 0.1  # the call comes at 50 ms
    assert np.all(trace["speed"][trace.t_s < made] == 0.0)
