"""Readings that a job asks for, and every item of a diagnosis: met, not met, not shown.

Values of readings are invented; spans are those of the scenario.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.assess.made import JOB, Script, findings, scripted
from tests.assess.test_checks import fitted
from trainer.assess.diagnosis import diagnosed
from trainer.assess.loading import job_for
from trainer.assess.story import told


def reading_of(script: Script, name: str) -> str:
    return str(findings(script.marked())[name].outcome)


def bare_can(s: Script) -> None:
    for tag, side in (("6", "b"), ("7", "a")):
        s.label(tag, side).lift(tag, side)


def farads(setting: str = "farads", bare: bool = True) -> Script:
    script = scripted(upto="WORK")
    if bare:
        bare_can(script)
    script.select("meter", setting)
    script.read("can.C", "can.H", 0.0, "F" if setting == "farads" else "ohm")
    return script


def test_a_reading_at_its_points_on_its_range_in_its_state():
    name = "reading: HERM section"
    assert reading_of(farads(), name) == "met"
    assert reading_of(farads("ohms"), name) == "not met"
    assert reading_of(farads(bare=False), name) == "not met"
    assert reading_of(scripted(without=("P19",)), name) == "not shown"


def test_volts_read_for_safety_are_no_attempt_at_farads():
    assert reading_of(scripted(), "reading: HERM section") == "not shown"


def test_amps_running_and_idle():
    def clamped(running: bool) -> Script:
        script = scripted(upto="START")
        if running:
            script.call()
        script.select("clamp", "A ac")
        script.clamp("1", 12.0)
        return script

    name = "reading: line amps running"
    assert reading_of(clamped(True), name) == "met"
    assert reading_of(clamped(False), name) == "not met"


# -- diagnosis ---------------------------------------------------------------------------------

TRUE = "F21"


def diagnosis(fault: str = TRUE, cite: int = 2, meanings: tuple[str, ...] = ("open", "in order"),
              repair_first: bool = False, again: str = "") -> dict[str, object]:  # fmt: skip
    script = scripted(upto="WORK")
    bare_can(script)
    script.select("meter", "farads")
    seqs = [script.read("can.C", "can.H", 0.0, "F"), script.read("can.C", "can.F", 5e-6, "F")]
    if repair_first:
        fitted(script)
    script.name_fault(fault, *seqs[:cite], meanings=meanings)
    if again:
        script.name_fault(again, *seqs[:cite], meanings=meanings)
    return findings(script.marked())


def test_the_scenario_of_these_cases_has_that_fault():
    assert job_for("hum-and-no-turn", 0).faults == (TRUE,)


@pytest.mark.parametrize(
    ("item", "right", "wrong"),
    [
        ("named", {}, {"fault": "F38"}),
        ("before repair", {}, {"repair_first": True}),
        ("two readings", {}, {"cite": 1}),
        ("separates", {}, {"cite": 0}),
        ("meanings", {}, {"meanings": ("open",)}),
        ("meanings", {}, {"meanings": ("low", "in order")}),
        ("separates", {}, {"fault": "F38"}),
        ("one commitment", {}, {"again": "F38"}),
        ("no needless part", {}, {"repair_first": True}),
    ],
)
def test_an_item_of_a_diagnosis(item, right, wrong):
    assert diagnosis(**right)[item].outcome == "met"
    assert diagnosis(**wrong)[item].outcome == "not met"
    nothing = findings(scripted().marked())
    assert item not in nothing or nothing[item].outcome == "not shown"


def test_a_fault_taken_back_costs_and_the_last_one_counts():
    found = diagnosis(fault="F38", again=TRUE)
    assert found["named"].outcome == "met"
    assert found["one commitment"].outcome == "not met"


@pytest.mark.parametrize(("said", "outcome"), [("none", "met"), (TRUE, "not met")])
def test_no_fault_is_an_answer(said, outcome):
    """The same job with nothing planted."""
    script = scripted(upto="WORK")
    script.select("meter", "farads")
    seqs = [script.read("can.C", "can.H", 35e-6, "F"), script.read("can.C", "can.F", 5e-6, "F")]
    script.name_fault(said, *seqs, meanings=("in order", "in order"))
    job = replace(job_for(JOB, 0), faults=())
    items = dict(diagnosed(told(script.attempt.events, job.site), job))
    assert items["named"].outcome == outcome
    assert "separates" not in items
    assert items["two readings"].outcome == "met"
