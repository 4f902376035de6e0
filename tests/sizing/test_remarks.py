"""Sentences that go with an answer."""

import pytest

from tests.sizing.plates import plate
from trainer.sizing import remarks
from trainer.sizing.sizing import Aid, Proof

CHOSEN = Aid("relay_kit", "why", "invented")


def run(gear, outcome):
    return Proof("a kit", gear, "line", 230.0, outcome, None, None)


def test_half_a_makers_table_is_named_for_what_it_lacks():
    half = plate(maker_table={"sheet": "sheet 3"})
    assert "sheet 3 names no capacitor" in remarks.of_makers_table(half, None)[0]


@pytest.mark.parametrize(
    ("gear", "outcome", "count"),
    [("relay_kit", "chatter", 1), ("relay_kit", "clean", 0), ("none", "stalled", 0)],
)
def test_only_a_chosen_start_that_fails_is_a_failure(gear, outcome, count):
    assert len(remarks.failures(CHOSEN, [run(gear, outcome)])) == count


def test_no_aid_chosen_fails_nothing():
    assert remarks.failures(Aid("none", "why", "invented"), [run("none", "stalled")]) == ()


def test_a_supply_that_is_not_given_is_told():
    assert "strong one" in remarks.of_proof(plate(), [run("none", "clean")])[-1]
    fed = plate(supply={"transformer": "25 kVA"})
    assert len(remarks.of_proof(fed, [run("none", "clean")])) == 1
