"""Live, dead, live with several instruments: each proves itself, and a test more harms nothing.

The careful job of ``made`` with its tests taken otherwise. Volts shown are invented.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.assess.made import KNOWN, PAIRS, Script, findings, scripted
from trainer.assess.proving import Known, proved
from trainer.assess.readings import Reading

SETTING = {"meter": "V ac", "tester": "on"}
Piece = Callable[[Script], object]


def source(*names: str) -> Piece:
    """Each instrument on the known source, and the chassis proved with it."""

    def read(s: Script) -> None:
        for name in names:
            s.select(name, SETTING[name])
            s.read(*KNOWN, why="known source")
            s.read("disconnect.L1", "chassis", why="known source")

    return read


def dead_by(*rows: tuple[str, int, int]) -> Piece:
    """Instruments with the pairs they test, from one up to another."""

    def read(s: Script) -> None:
        for name, least, most in rows:
            s.select(name, SETTING[name])
            for pair in PAIRS[least:most]:
                s.read(*pair, why="test")

    return read


SHARED = dead_by(("meter", 0, 3), ("tester", 3, 6))
BOTH = source("meter", "tester")


def told(script: Script) -> str:
    """What CF2 says, nothing when it is not raised."""
    found = [c for c in script.marked().mark.critical if c.code == "CF2"]
    return found[0].sentence if found else ""


@pytest.mark.parametrize(
    ("before", "between", "after", "says"),
    [
        (BOTH, SHARED, BOTH, ""),
        # the tester is proved, the meter tests, the tester is proved again
        (source("tester"), dead_by(("meter", 0, 6)), source("tester"), "the meter was not proved"),
        (source("meter"), SHARED, BOTH, "the tester was not proved before"),
        (source("tester"), SHARED, BOTH, "the meter was not proved before"),
        (BOTH, SHARED, source("meter"), "the tester was not proved again"),
        (BOTH, SHARED, source("tester"), "the meter was not proved again"),
        (BOTH, dead_by(("meter", 0, 6)), source("tester"), "the meter was not proved again"),
    ],
)
def test_each_instrument_proves_itself(before, between, after, says):
    script = scripted(P15=before, P16=between, P20=after)
    assert says in told(script) and bool(says) == bool(told(script))


def test_both_are_told_and_the_rules_go_with_them():
    script = scripted(P15=source("tester"), P16=dead_by(("meter", 0, 6)), P20=source("tester"))
    assert "the meter was not proved before its tests" in told(script)
    assert "the meter was not proved again after its tests" in told(script)
    found = findings(script.marked())
    assert found["P15 before WORK"].outcome == found["P20 before WORK"].outcome == "not met"


@pytest.mark.parametrize(
    "more",
    [
        # a look with the other one between the tests and the proof again, or after it
        lambda s: dead_by(("tester", 0, 6))(s),
        lambda s: dead_by(("tester", 2, 3))(s),
    ],
)
@pytest.mark.parametrize("late", [False, True])
def test_a_test_more_by_another_takes_nothing(more, late):
    def with_more(s: Script) -> None:
        dead_by(("meter", 0, 6))(s)
        if not late:
            more(s)

    def again(s: Script) -> None:
        source("meter")(s)
        if late:
            more(s)

    script = scripted(P15=source("meter"), P16=with_more, P20=again)
    whole = scripted().marked().mark
    assert told(script) == ""
    assert script.marked().mark.total == whole.total


def test_a_point_that_another_found_live_is_not_dead():
    def live(s: Script) -> None:
        dead_by(("meter", 0, 6))(s)
        s.select("tester", "on")
        s.read("contactor.L1", "chassis", 120.0)

    script = scripted(P15=BOTH, P16=live, P20=BOTH)
    assert "no reading to a proved ground at contactor.L1" in told(script)


def test_the_proof_is_the_first_testers_and_the_last_to_be_proved_again():
    """By hand: event numbers are invented."""
    rows = ((1, "tester"), (2, "meter"), (5, "tester"), (9, "meter"), (12, "tester"))
    known = [Known(n, 10 * n, name) for n, name in rows]

    def reading(seq: int, name: str) -> Reading:
        return Reading(name, "V ac", ("a", "b"), 0.0, "V", "0.0 V", "", seq, 10 * seq)

    found = proved([{"meter": reading(3, "meter")}, {"tester": reading(6, "tester")}], known)
    assert found.unproved() == found.not_again() == []
    assert found.first() == known[1]
    assert found.again(0) == known[4]
    # capacitors were read until event 10: the meter's own proof again lies before that
    assert found.again(10) == known[4]
    assert proved([], known).first() == known[0] and proved([], known).again(0) is None
    late = proved([{"meter": reading(10, "meter")}], known)
    assert (late.unproved(), late.not_again()) == ([], ["meter"])
    assert late.again(0) is None
