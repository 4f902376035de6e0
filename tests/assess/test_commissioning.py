"""Readings the job asks for: points, range, state, and whether the learner judged them rightly.

Also the items of circuit correctness, by what they give in the mark. Values are invented.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from tests.assess.made import Script, findings, scripted
from trainer.assess.commissioning import judgements, taken
from trainer.assess.marking import Marked

HERM = "HERM section"
AMPS = "line amps running"
Reads = Callable[[Script], Any]


def bare(s: Script) -> None:
    for end in (("6", "b"), ("7", "a"), ("10", "a")):
        s.label(*end).lift(*end)


def farads(value: float | None = 35.0, setting: str = "farads", at: str = "can.H") -> Reads:
    def do(s: Script) -> None:
        s.select("meter", setting)
        s.read("can.C", at, value, "uF" if setting == "farads" else "V")

    return do


def pieces(*work: Reads) -> Script:
    def do(s: Script) -> None:
        for one in work:
            one(s)

    return scripted(WORK=do)


def outcome(script: Script, name: str) -> str:
    marked = script.marked()
    return {a.name: j.outcome for a, j in taken(marked.story, marked.job)}[name]


@pytest.mark.parametrize(
    ("script", "wanted"),
    [
        (lambda: pieces(bare, farads()), "met"),
        (lambda: scripted(), "not shown"),
        # the wrong end of the can is another reading altogether
        (lambda: pieces(bare, farads(at="can.F")), "not shown"),
        # in circuit it reads what is joined to it as well
        (lambda: pieces(farads()), "not met"),
        (lambda: pieces(farads(), bare, farads()), "met"),
    ],
)  # fmt: skip
def test_a_reading_on_a_bare_part(script, wanted):
    assert outcome(script(), HERM) == wanted


def running(setting: str = "A ac", wires: str = "1", called: bool = True) -> Script:
    s = scripted(upto="START")
    if called:
        s.call()
    s.select("clamp", setting)
    s.clamp(wires, 12.9)
    return s


@pytest.mark.parametrize(
    ("script", "wanted"),
    [
        (lambda: running(), "met"),
        (lambda: running(wires="7"), "not shown"),
        (lambda: running(called=False), "not met"),
        (lambda: running(setting="inrush"), "not met"),
    ],
)
def test_amps_running(script, wanted):
    assert outcome(script(), AMPS) == wanted


def test_ohms_asked_and_ohms_on_the_wrong_range():
    def ohms(setting: str) -> Script:
        def do(s: Script) -> None:
            for end in (("4", "b"), ("5", "b"), ("7", "b")):
                s.lift(*end)
            s.select("meter", setting)
            s.read("comp.C", "comp.R", 0.8, "ohm" if setting != "farads" else "uF")

        return scripted(WORK=do)

    assert outcome(ohms("ohms"), "windings C to R") == "met"
    assert outcome(ohms("farads"), "windings C to R") == "not met"


def accepting(marked: Marked) -> Any:
    """The same job with what the sheet allows for the run capacitor beside its reading."""
    scenario = marked.job.scenario
    rows = [
        r.model_copy(update={"accept": ("33 uF", "37 uF") if r.name == HERM else None})
        for r in scenario.readings
    ]
    return replace(marked.job, scenario=scenario.model_copy(update={"readings": rows}))


@pytest.mark.parametrize(
    ("value", "verdict", "wanted"),
    [
        (35.0, "in order", "met"), (35.0, "not in order", "not met"),
        (26.0, "not in order", "met"), (26.0, "in order", "not met"),
        (33.0, "in order", "met"), (37.0, "in order", "met"), (37.1, "in order", "not met"),
        (35.0, "", "not shown"),
    ],
)  # fmt: skip
def test_a_verdict_is_held_against_the_sheet(value, verdict, wanted):
    def do(s: Script) -> None:
        bare(s)
        s.select("meter", "farads")
        seq = s.read("can.C", "can.H", value, "uF")
        s.record("HERM", f"{value:g} uF", seq, verdict)

    marked = scripted(WORK=do).marked()
    ((asked, judged),) = judgements(marked.story, accepting(marked))
    assert (asked.name, judged.outcome) == (HERM, wanted)


def test_a_verdict_without_a_reading_is_not_shown():
    def do(s: Script) -> None:
        s.record("HERM", "35 uF", 0, "in order")

    marked = scripted(WORK=do).marked()
    ((_, judged),) = judgements(marked.story, accepting(marked))
    assert judged.outcome == "not shown"


def test_a_changed_verdict_is_judged_by_the_last():
    def do(s: Script) -> None:
        bare(s)
        s.select("meter", "farads")
        seq = s.read("can.C", "can.H", 35.0, "uF")
        s.record("HERM", "35 uF", seq, "not in order")
        s.record("HERM", "35 uF", seq, "in order")

    marked = scripted(WORK=do).marked()
    ((_, judged),) = judgements(marked.story, accepting(marked))
    assert judged.outcome == "met"


def test_the_items_stand_in_the_mark():
    found = findings(pieces(bare, farads()).marked())
    assert found[f"reading: {HERM}"].outcome == "met"
    assert found[f"reading: {AMPS}"].outcome == "not shown"


# -- correctness, by its public results -------------------------------------------------------


def wiring(*moves: tuple[str, str, str], job: str = "hum-and-no-turn") -> Any:
    def do(s: Script) -> None:
        for wire, end, place in moves:
            s.label(wire, end).lift(wire, end).land(wire, end, place).tug(wire, end)

    return findings(scripted(WORK=do, job=job).marked())["wiring"]


def test_wiring_met_and_not_met():
    assert wiring(("6", "b", "can.C")).outcome == "met"
    wrong = wiring(("6", "b", "can.F"), ("10", "a", "can.C"))
    assert wrong.outcome == "not met" and wrong.share < 1
    assert wrong.sentence and wrong.consequence


def test_wiring_not_handled_is_not_shown():
    found = findings(scripted(without=("WORK",)).marked())["wiring"]
    assert found.outcome == "not shown" and found.share == 0


def test_parts_met_not_met_and_left_out():
    def fitted(type_name: str) -> Any:
        def do(s: Script) -> None:
            part = {"type": type_name, "where": "unit", "set": {}}
            s.act("fit", lambda: s.emit("part", name="can", part=part), part="can", type=type_name)

        return findings(scripted(WORK=do).marked())

    assert "parts" not in fitted("dual-35-5")  # the same type again changes no type
    assert fitted("dual-40-5")["parts"].outcome == "not met"
    assert "parts" not in findings(scripted().marked())


@pytest.mark.parametrize(("how", "wanted"), [
    ("right", "met"), ("wrong", "not met"), ("nothing", "not shown"),
])  # fmt: skip
def test_a_part_the_job_asks_for(how, wanted):
    s = Script("choose-the-relay")
    target = s.marked().job.wanted_types()[0]
    ((name, right),) = {n: t for n, t in target.items() if t.startswith("potential-relay")}.items()
    wrong = {"potential-relay-A", "potential-relay-E"} - {right}
    type_name = right if how == "right" else sorted(wrong)[0]
    if how != "nothing":
        part = {"type": type_name, "where": "unit", "set": {}}
        s.act("mount", lambda: s.emit("part", name=name, part=part), part=name, screw_mm=12.0)
    assert findings(s.marked("commission"))["parts"].outcome == wanted
