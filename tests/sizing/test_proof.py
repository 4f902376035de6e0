"""Corners of a pair, and what counts as starting well."""

from dataclasses import replace

import pytest

from tests.sizing.plates import plate
from trainer.sizing import feed, proof
from trainer.sizing.sizing import Proof, RelayKit

KIT = RelayKit(
    "88-108 µF", (88e-6, 108e-6), "class B", (160.0, 190.0), (40.0, 90.0), 340.0, "invented"
)
GOOD = Proof("no aid", "none", "line", 230.0, "clean", 0.3, 120.0)


def test_the_corner_that_opens_soonest():
    early = proof.early_corner(KIT)
    assert (early.range_f, early.pickup_v, early.dropout_v) == (
        (108e-6, 108e-6), (160.0, 160.0), (90.0, 90.0),
    )  # fmt: skip


def test_the_corner_that_opens_last():
    late = proof.late_corner(KIT)
    assert (late.range_f, late.pickup_v, late.dropout_v) == (
        (88e-6, 88e-6), (190.0, 190.0), (40.0, 40.0),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("change", "is_well"),
    [
        ({}, True),
        ({"time_to_90pct_s": 0.8}, True),
        ({"time_to_90pct_s": 0.81}, False),
        ({"time_to_90pct_s": None, "outcome": "stalled"}, False),
        ({"outcome": "chatter"}, False),
    ],
)
def test_starting_well_is_clean_and_soon(change, is_well):
    assert proof.well(replace(GOOD, **change)) is is_well


def test_a_pair_opens_sooner_at_its_early_corner():
    early = proof.start(plate(), proof.early_corner(KIT), feed.line(plate(), 1.10), 30.0)
    late = proof.start(plate(), proof.late_corner(KIT), feed.line(plate(), 0.85), 30.0)
    assert early.details["disengage_s"] < late.details["disengage_s"]
    assert early.peak_line_a > late.peak_line_a


def test_a_start_tells_its_gear_and_line():
    found = proof.start(plate(), "P20", feed.line(plate(), 0.9), 30.0)
    assert (found.what, found.gear) == ("soft starter P20", "soft_starter")
    assert (found.supply, found.volts) == ("line at 90 %", 207.0)
    assert "max_cycle_rms_line_a" in found.details
