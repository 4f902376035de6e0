"""Diagnosis: named first, once, by two readings of which one separates; "no fault" is an answer.

The planted condition is F21, an open HERM section; what an instrument shows is invented.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from tests.assess.made import Script, scripted
from trainer.assess.diagnosis import diagnosed
from trainer.assess.lint import DIAGNOSIS

Naming = Callable[[Script], Any]


def readings(s: Script) -> tuple[int, int, int]:
    """(the reading that separates F21, one that does not, one of the line)."""
    for end in (("6", "b"), ("7", "a"), ("10", "a")):
        s.label(*end).lift(*end)
    s.select("meter", "farads")
    herm = s.read("can.C", "can.H", 0.2, "uF")
    s.select("meter", "ohms")
    ohms = s.read("comp.C", "comp.S", 2.1, "ohm")
    other = s.read("comp.C", "comp.R", 0.8, "ohm")
    return herm, ohms, other


def fit(s: Script, part: str = "can") -> None:
    new = {"type": {"can": "dual-35-5", "fan": "fan-3"}[part], "where": "unit", "set": {}}
    s.act("fit", lambda: s.emit("part", name=part, part=new), part=part, type=new["type"])


def named(fault: str = "F21", cite: int = 2, meanings: bool = True, **more: bool) -> Script:
    """One commitment after the readings; ``parts``: what is exchanged after it."""

    def do(s: Script) -> None:
        herm, ohms, other = readings(s)
        if more.get("early"):
            fit(s)
        evidence = {0: (), 1: (herm,), 2: (herm, ohms), -2: (ohms, other)}[cite]
        words = ("open", "in order")[: len(evidence)] if meanings else ()
        s.name_fault(fault, *evidence, meanings=words)
        if more.get("twice"):
            s.name_fault("F21", *evidence, meanings=words)
        if more.get("fits"):
            fit(s)
        if more.get("needless"):
            fit(s, "fan")

    return scripted(WORK=do)


def items(script: Script, faults: tuple[str, ...] = ("F21",)) -> dict[str, Any]:
    marked = script.marked()
    return dict(diagnosed(marked.story, replace(marked.job, faults=faults)))


def cases() -> dict[str, tuple[Callable[[], Script], Callable[[], Script]]]:
    return {
        "named": (named, lambda: named("F38")),
        "before repair": (lambda: named(fits=True), lambda: named(early=True)),
        "two readings": (named, lambda: named(cite=1)),
        "separates": (named, lambda: named(cite=-2)),
        "meanings": (named, lambda: named(meanings=False)),
        "one commitment": (named, lambda: named(twice=True)),
        "no needless part": (lambda: named(fits=True), lambda: named(fits=True, needless=True)),
    }


@pytest.mark.parametrize("item", DIAGNOSIS)
def test_met_not_met_and_not_shown(item):
    met, not_met = cases()[item]
    assert items(met())[item].outcome == "met"
    bad = items(not_met())[item]
    assert bad.outcome == "not met" and bad.share < 1 and bad.evidence.events
    nothing = items(scripted()).get(item)
    if item == "no needless part":
        assert nothing is None  # nobody is credited for leaving parts alone without a diagnosis
    else:
        assert nothing.outcome == "not shown" and nothing.share == 0


def test_a_part_changed_without_a_word_is_without_evidence():
    found = items(scripted(WORK=lambda s: fit(s)))
    assert found["no needless part"].outcome == "not met"
    assert found["named"].outcome == "not shown"


def test_no_fault_is_a_right_answer_where_there_is_none():
    found = items(named("none"), faults=())
    assert found["named"].outcome == "met"
    assert "separates" not in found  # nothing to be told from its look-alikes
    assert items(named("F21"), faults=())["named"].outcome == "not met"
    assert items(named("none"))["named"].outcome == "not met"


def test_no_fault_needs_readings_too():
    assert items(named("none", cite=0), faults=())["two readings"].outcome == "not met"


def test_several_faults_are_several_commitments():
    def do(s: Script) -> None:
        herm, ohms, other = readings(s)
        s.name_fault("F21", herm, ohms, meanings=("open", "in order"))
        s.name_fault("F06", other, herm, meanings=("in order", "open"))

    found = items(scripted(WORK=do), faults=("F21", "F06"))
    assert found["named"].outcome == "met" and found["one commitment"].outcome == "met"
    half = items(named("F21"), faults=("F21", "F06"))["named"]
    assert half.outcome == "not met" and half.share * 2 == 1


def test_a_change_of_mind_is_told_and_costs_but_the_last_word_stands():
    def do(s: Script) -> None:
        herm, ohms, _ = readings(s)
        s.name_fault("F38", ohms, meanings=("open",))
        s.name_fault("F21", herm, ohms, meanings=("open", "in order"))

    found = items(scripted(WORK=do))
    assert found["named"].outcome == "met"
    assert found["one commitment"].outcome == "not met"
    assert len(found["one commitment"].evidence.events) == 2


def test_the_same_reading_twice_is_one():
    def do(s: Script) -> None:
        herm, *_ = readings(s)
        s.select("meter", "farads")
        again = s.read("can.C", "can.H", 0.2, "uF")
        s.name_fault("F21", herm, again, meanings=("open", "open"))

    assert items(scripted(WORK=do))["two readings"].outcome == "not met"


def test_a_reading_taken_after_the_naming_is_no_evidence_for_it():
    def do(s: Script) -> None:
        later = len(s.events) + 40
        s.name_fault("F21", later, later + 3, meanings=("open", "open"))
        for _ in range(6):
            readings(s)

    found = items(scripted(WORK=do))
    assert found["two readings"].outcome == "not met"
    assert found["separates"].outcome == "not met"


def test_the_value_must_be_that_of_the_fault():
    """A capacitor that reads right separates nothing, wherever the leads were."""

    def do(s: Script) -> None:
        readings(s)
        s.select("meter", "farads")
        healthy = s.read("can.C", "can.H", 35.0, "uF")
        s.select("meter", "ohms")
        ohms = s.read("comp.C", "comp.S", 2.1, "ohm")
        s.name_fault("F21", healthy, ohms, meanings=("open", "in order"))

    assert items(scripted(WORK=do))["separates"].outcome == "not met"


def test_a_job_that_can_plant_nothing_is_not_diagnosed():
    marked = scripted().marked()
    plain = marked.job.scenario.model_copy(deep=True)
    object.__setattr__(plain.variants, "dials", {})
    job = replace(marked.job, scenario=plain, faults=())
    assert not job.diagnoses
    assert list(diagnosed(marked.story, job)) == []
