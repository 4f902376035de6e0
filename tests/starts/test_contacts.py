"""Stretches of one contact, and closings onto charge."""

from pytest import approx

from tests.starts.made import event, record
from trainer.starts.contacts import closed_spans, surges


def test_stretches_from_events():
    found = record(
        [event(0.2, "opened", "k"), event(0.3, "closed", "k"), event(0.4, "opened", "other")],
        {"k": True},
    )
    assert closed_spans(found, "k") == [(0.0, 0.2), (0.3, approx(1.0))]


def test_a_contact_that_never_closes():
    assert closed_spans(record(), "k") == []


def test_a_surge_has_its_peak_and_its_weld():
    events = [
        event(0.1, "closed", "k", 25.0), event(0.1, "surge", "k", 900.0),
        event(0.1, "welded", "k", 25.0), event(0.2, "closed", "k", 0.0),
        event(0.3, "closed", "m", 0.5), event(0.3, "surge", "m", 120.0),
    ]  # fmt: skip
    found = surges(events)
    assert [(s.contact, s.peak_a, s.a2s, s.welded) for s in found] == [
        ("k", 900.0, 25.0, True),
        ("m", 120.0, 0.5, False),
    ]
