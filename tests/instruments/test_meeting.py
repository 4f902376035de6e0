"""Short ways to a reading against the long one, and what is kept from one reading to the next."""

from __future__ import annotations

from functools import cache
from itertools import combinations

import pytest

from tests.session.jobs import charged, plain
from trainer.circuit.elements import Resistor
from trainer.instruments.meeting import Meeting, meet
from trainer.unit.circuit import elements_of
from trainer.unit.state import Unit
from trainer.unit.world import advance, going_on

#: A body and a meter. [ohm]
LOADS = (1e3, 10e6)


UNITS = ("charged", "at rest", "running")


@cache
def unit_of(name: str) -> Unit:
    if name == "running":
        return advance(plain(), 2000, (("indoor", "call"),)).unit
    return charged(100.0) if name == "charged" else plain()


def pairs(meeting: Meeting) -> list[tuple[int, int]]:
    places = ["can.C", "can.H", "can.F", "comp.C", "comp.S", "contactor.T1", "disconnect.L1"]
    return list(combinations([0, *(meeting.at(p) for p in places)], 2))


@pytest.mark.parametrize("name", UNITS)
def test_direct_volts_are_those_with_the_load_in_the_circuit(name: str) -> None:
    meeting = meet(unit_of(name))
    for a, b in pairs(meeting):
        for load in LOADS:
            wired = meeting.decay((Resistor("load", a, b, load),)).volts_between(a, b, 0.0)
            # a volt in a billion is far below any display
            assert meeting.volts_dc(a, b, load) == pytest.approx(wired, rel=1e-7, abs=1e-6)


@pytest.mark.parametrize("name", UNITS)
def test_no_load_meets_more_than_the_bound(name: str) -> None:
    meeting = meet(unit_of(name))
    for a, b in pairs(meeting):
        most = meeting.no_more_than(a, b)
        for load in LOADS:
            assert meeting.volts_ac(a, b, load) <= most * (1.0 + 1e-9) + 1e-9
            assert abs(meeting.volts_dc(a, b, load)) <= most * (1.0 + 1e-9) + 1e-9


#: The conductor from the can's HERM, which its end a is on.
HERM = "7"


def test_what_is_done_in_the_hand_leaves_the_circuit_as_it_was() -> None:
    loose = charged(0.0)
    stripped = loose.conductors[HERM].with_end("a", stripped_mm=3.0, strands="severed", label="H")
    assert elements_of(loose.with_conductor(stripped))[0] is elements_of(loose)[0]


def test_a_tug_that_holds_changes_nothing_and_one_that_slips_does() -> None:
    unit = plain()

    def tugged(how: str) -> object:
        changed = unit.conductors[HERM].with_end("a", tug=how)
        return elements_of(unit.with_conductor(changed))[0]

    assert tugged("held") is elements_of(unit)[0]
    assert tugged("slipped") is not elements_of(unit)[0]


def test_what_goes_on_is_of_this_unit_and_not_of_the_last_one() -> None:
    found = {name: going_on(unit_of(name)) for name in UNITS}
    assert found["running"].moving and not found["at rest"].moving
    assert found["charged"].charged_v == pytest.approx(100.0, rel=0.01)
    assert {name: going_on(unit_of(name)) for name in UNITS} == found
