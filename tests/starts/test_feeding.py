"""Stretches in which something holds."""

from pytest import approx

from tests.starts.made import event, record
from trainer.circuit.elements import Elements, Generator, Sense
from trainer.starts.feeding import spans_where


def holds(closed):
    return closed.get("k", False)


def test_stretches():
    found = record([event(0.1, "closed", "k"), event(0.5, "opened", "k")])
    assert spans_where(found, holds) == [(0.1, 0.5)]


def test_a_gap_shorter_than_a_cycle_is_none():
    found = record(
        [event(0.1, "closed", "k"), event(0.5, "opened", "k"), event(0.51, "closed", "k")]
    )
    assert spans_where(found, holds) == [(0.1, approx(1.0))]


def test_a_gap_of_two_cycles_stays():
    found = record(
        [event(0.1, "closed", "k"), event(0.5, "opened", "k"), event(0.54, "closed", "k")]
    )
    assert spans_where(found, holds) == [(0.1, 0.5), (0.54, approx(1.0))]


def test_a_stalled_engine_ends_it():
    nothing = Sense(volts=(0, 0))
    engine = Generator("g", (0,), nothing, nothing, 1e3, 0, 1, 1, 1, 1, 1, 0.04, 40.0)
    elements = Elements(devices=[engine])
    found = record([event(0.1, "closed", "k"), event(0.4, "gave_up", "g")], elements=elements)
    assert spans_where(found, holds) == [(0.1, 0.4)]


def test_another_device_giving_up_does_not():
    found = record([event(0.1, "closed", "k"), event(0.4, "gave_up", "soft")])
    assert spans_where(found, holds) == [(0.1, approx(1.0))]
