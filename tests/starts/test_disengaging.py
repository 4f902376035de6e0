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


def through(events, amps, closed):
    """Amps of a start capacitor that the contact feeds: while it is closed."""
    t = np.linspace(0.0, 1.0, 1000)
    on = np.full(1000, closed)
    for e in events:
        on[t >= e.t_s] = e.kind == "closed"
    return np.where(on, float(amps), 0.0)


def with_relay(events, amps=10.0, closed=True, past=False):
    elements = Elements(
        switches=[Switch("k", 0, 1, True)], capacitives=[Capacitive("c", 0, 1, 1e-4, 1.0)]
    )
    its = Roles(
        {"relay": "pr", "start_capacitor": "sc"},
        {"pr": {"contact": "k"}, "sc": {"capacitor": "c"}},
        {},
    )
    line = np.full(1000, float(amps)) if past else through(events, amps, closed)
    values = {"start_capacitor_a": line, "start_capacitor_v": 0.0}
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


def test_wired_past_its_contact_it_never_leaves():
    aid = found([event(0.1, "opened", "k")], past=True)
    assert aid.fitted
    assert aid.switched
    assert aid.opened_s is None
    assert aid.in_at(0.5)


def test_without_any_relay_it_never_leaves():
    elements = Elements(capacitives=[Capacitive("c", 0, 1, 1e-4, 1.0)])
    its = Roles({"start_capacitor": "sc"}, {"sc": {"capacitor": "c"}}, {})
    values = {"start_capacitor_a": np.full(1000, 10.0), "start_capacitor_v": 0.0}
    aid = disengaging(record([], {}, values, elements=elements, its_roles=its), FED, LIMITS)
    assert (aid.fitted, aid.opened_s) == (True, None)
    assert aid.in_at(0.9)


def test_no_gear_at_all():
    assert disengaging(record(its_roles=roles()), FED, LIMITS) == NONE


def test_a_thermistor_leaves_by_its_heat():
    aid = report_of("ptc").evidence.aid
    assert isinstance(aid, Disengaging)
    assert (aid.fitted, aid.switched, aid.recloses) == (True, False, 0)
    assert aid.opened_s is not None


def test_a_hot_thermistor_was_never_in():
    assert not report_of("ptc-hot").evidence.aid.fitted
