"""How the start capacitor comes and goes, on real starts and on made ones."""

import numpy as np
from pytest import approx

from tests.starts.made import event, record, roles
from tests.starts.runs import report_of
from trainer.circuit.elements import Capacitive, Elements, Switch
from trainer.starts.disengaging import NONE, Disengaging, disengaging
from trainer.starts.thresholds import thresholds
from trainer.study.build import Roles

LIMITS = thresholds()
FED = [(0.0, 1.0)]


def with_relay(events, amps=10.0, closed=True):
    elements = Elements(
        switches=[Switch("k", 0, 1, True)], capacitives=[Capacitive("c", 0, 1, 1e-4, 1.0)]
    )
    its = Roles(
        {"relay": "pr", "start_capacitor": "sc"},
        {"pr": {"contact": "k"}, "sc": {"capacitor": "c"}},
        {},
    )
    values = {"start_capacitor_a": np.full(1000, float(amps)), "start_capacitor_v": 0.0}
    return record(events, {"k": closed}, values, elements=elements, its_roles=its)


def found(events, fed=FED, **more):
    return disengaging(with_relay(events, **more), fed, LIMITS)


def test_out_once_and_for_good():
    aid = found([event(0.15, "opened", "k")])
    assert (aid.opened_s, aid.out_for_good_s, aid.recloses) == (0.15, 0.15, 0)
    assert aid.seconds == approx(0.15)
    assert aid.in_at(0.1) and not aid.in_at(0.15)


def test_back_in_twice():
    times = [(0.1, "opened"), (0.2, "closed"), (0.3, "opened"), (0.4, "closed"), (0.5, "opened")]
    aid = found([event(t, kind, "k") for t, kind in times])
    assert (aid.opened_s, aid.out_for_good_s, aid.recloses) == (0.1, 0.5, 2)


def test_never_out():
    aid = found([])
    assert (aid.fitted, aid.opened_s, aid.out_for_good_s) == (True, None, None)


def test_a_closing_without_power_does_not_count():
    events = [event(0.1, "opened", "k"), event(0.6, "closed", "k")]
    aid = found(events, fed=[(0.0, 0.5), (0.8, 1.0)])
    assert aid.recloses == 0
    assert aid.spans == ((0.0, 0.1), (0.8, 1.0))


def test_power_off_is_no_opening():
    assert found([], fed=[(0.0, 0.5)]).opened_s is None


def test_a_current_relay_comes_in_first():
    aid = found([event(0.02, "closed", "k"), event(0.3, "opened", "k")], closed=False)
    assert (aid.opened_s, aid.recloses) == (0.3, 0)


def test_a_contact_that_carries_nothing_is_no_aid():
    assert found([event(0.1, "opened", "k")], amps=0.2) == NONE


def test_no_gear_at_all():
    assert disengaging(record(its_roles=roles()), FED, LIMITS) == NONE


def test_a_thermistor_leaves_by_its_heat():
    aid = report_of("ptc").evidence.aid
    assert isinstance(aid, Disengaging)
    assert (aid.fitted, aid.switched, aid.recloses) == (True, False, 0)
    assert aid.opened_s is not None


def test_a_hot_thermistor_was_never_in():
    assert not report_of("ptc-hot").evidence.aid.fitted
