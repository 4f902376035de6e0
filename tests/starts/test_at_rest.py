"""Fed, shorted and standing torque from contact positions alone."""

import pytest
from pytest import approx

from tests.circuit.build import FITZGERALD_9_5
from tests.starts.variants import study
from trainer.circuit.elements import Machine
from trainer.motor.params import LoadParams
from trainer.starts.at_rest import AtRest, locked_ohms
from trainer.starts.thresholds import thresholds
from trainer.study.build import build

SHUT = {
    "breaker~1": True, "breaker~2": True, "disconnect~1": True, "disconnect~2": True,
    "contactor~1": True, "contactor~2": True, "comp~disc": True, "fan~disc": True,
}  # fmt: skip


def rest(name):
    return AtRest(*build(study(name)), thresholds())


@pytest.mark.parametrize("open_contact", [None, "contactor~1", "breaker~2", "disconnect~1"])
def test_one_open_pole_and_the_compressor_is_not_fed(open_contact):
    closed = SHUT | ({open_contact: False} if open_contact else {})
    assert rest("psc").fed(closed) is (open_contact is None)


def test_an_open_overload_leaves_volts_on_the_terminals():
    assert rest("psc").fed(SHUT | {"comp~disc": False})


def test_a_short_is_seen_only_where_there_is_one():
    assert rest("line-short").shorted(SHUT)
    assert not rest("line-short").shorted(SHUT | {"contactor~1": False})
    assert not rest("psc").shorted(SHUT)


def test_a_start_capacitor_across_the_line_is_no_short():
    assert not rest("relay-5-and-2-swapped").shorted(SHUT | {"pr~contact": True})


def test_torque_with_and_without_the_start_capacitor():
    # 0.556 and 3.445 N m: worked out on paper in scenarios/studies/expected.yaml
    at = rest("potential-relay")
    assert at.torque_nm(SHUT | {"pr~contact": False}) == approx(0.556, rel=0.02)
    assert at.torque_nm(SHUT | {"pr~contact": True}) == approx(3.445, rel=0.02)


def test_no_torque_is_told_behind_a_soft_starter():
    assert rest("soft-starter").torque_nm(SHUT) is None


def test_locked_ohms_of_a_published_machine():
    # Fitzgerald, Kingsley, Umans 9.5 locked at 230 V: 79.0 A in the main winding
    machine = Machine("m", (1, 0), (2, 0), FITZGERALD_9_5, LoadParams())
    assert 230.0 / locked_ohms(machine, 60.0) == approx(79.0, rel=0.005)
