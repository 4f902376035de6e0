"""Every rule of order in the standard rubric: met, not met, not shown or left out.

The careful job of ``made`` meets all of them; each case leaves out or moves just what a rule asks.
"""

from __future__ import annotations

import pytest

from tests.assess.made import (
    PIECES,
    Script,
    dead_tests,
    empties,
    findings,
    known,
    scripted,
    work,
)
from trainer.assess.finding_rubric import load_rubric, rubrics_dir

STANDARD = load_rubric(rubrics_dir() / "standard.yaml")
ORDER = [name for name, _ in PIECES]
RULES = {rule.name: rule for rule in STANDARD.rules}
#: Anchors, and the piece of the careful job that reaches them.
ANCHOR = {"WORK": "WORK", "RESTORE": "RESTORE", "START": "START", "P09": "P09", "TEST": "P16",
          "P13": "P13", "P10": "P10", "P19": "P19", "LIFT": "WORK"}  # fmt: skip


def outcome(script: Script, rule: str) -> str | None:
    found = findings(script.marked())
    return found[rule].outcome if rule in found else None


def moved(first: str, then: str) -> list[str]:
    """The careful order with a step right after the one it must precede."""
    order = [name for name in ORDER if name != first]
    order.insert(order.index(then) + 1, first)
    return order


@pytest.mark.parametrize("name", RULES)
def test_the_careful_job_meets_every_rule(name):
    assert outcome(scripted(), name) == "met"


@pytest.mark.parametrize("name", [n for n, r in RULES.items() if r.kind in ("gate", "guard")])
def test_a_missing_step_is_not_met(name):
    rule = RULES[name]
    script = left_out(rule.first)
    assert outcome(script, name) == "not met"
    found = findings(script.marked())[name]
    assert found.evidence.events and found.sentence and found.practice and found.source


def left_out(step: str) -> Script:
    """The careful job without what shows a step."""
    if step == "P37":
        return scripted(P36=cap_on_and_a_driver_inside)
    return scripted(without=(step,))


def cap_on_and_a_driver_inside(s: Script) -> None:
    s.cover("terminal-cap", False)
    s.act("tool", lambda: s.emit("tool", tool="driver", inside=True), name="driver", to="in")


# an orderly stop is a state of the opening itself and cannot be left out
@pytest.mark.parametrize(
    "name", [n for n, r in RULES.items() if r.kind == "order" and r.first != "P08"]
)
def test_an_order_is_left_out_without_its_first_step(name):
    assert outcome(scripted(without=(RULES[name].first,)), name) is None


@pytest.mark.parametrize("name", [n for n, r in RULES.items() if r.kind == "gate"])
def test_what_did_not_come_to_it_is_not_shown(name):
    rule = RULES[name]
    assert outcome(scripted(upto=_before(rule.then)), name) == "not shown"


def _before(then: str) -> str:
    """The piece at which work begins is the declaration."""
    return "P21" if then == "WORK" else ANCHOR[then]


@pytest.mark.parametrize(
    ("first", "then"),
    [("P04", "P09"), ("P05", "P09"), ("P18", "P19"), ("P12", "P13"), ("P12", "P16")],
)  # fmt: skip
def test_a_step_taken_too_late_is_not_met(first, then):
    anchor = {"P16": "TEST"}.get(then, then)
    script = scripted(order=moved(first, then))
    assert outcome(script, f"{first} before {anchor}") == "not met"


def test_a_tester_proved_after_the_tests_was_not_proved():
    assert outcome(scripted(order=moved("P15", "P16")), "P15 before WORK") == "not met"


def test_a_try_start_with_the_control_off_proves_nothing():
    assert outcome(scripted(order=moved("P13", "P10")), "P13 before WORK") == "not met"


def test_an_orderly_stop():
    def moving(s: Script) -> None:
        s.moving = True
        s.call()
        s.open("disconnect")

    assert outcome(scripted(P09=moving), "P08 before P09") is None
    assert outcome(scripted(), "P08 before P09") == "met"


@pytest.mark.parametrize(
    "order",
    [
        # the discharge before the ac test
        [*ORDER[:14], "P15", "P18", "P16", "P17", "P19", "P20", *ORDER[20:]],
        # the dc test before the ac test, papers last
        ["P04", "P05", "P09", "P12", "P13", "P10", "P14", "cap off", "P15", "P18", "P19", "P16",
         "P17", "P20", "P11", "PPE", "LEADS", "P06", "P01", "P02", *ORDER[20:]],
        # equipment on before the papers
        ["PPE", "LEADS", "P06", "P01", "P02", *ORDER[4:6], *ORDER[7:]],
    ],
)  # fmt: skip
def test_any_legal_order_scores_full(order):
    assert sorted(order) == sorted(ORDER)
    mark = scripted(order=order).marked().mark
    sequence = next(d for d in mark.domains if d.name == "sequence")
    assert sequence.score == 1 or [f.rule for f in sequence.findings if f.outcome != "met"] == []


def test_tests_made_again_after_an_early_start_count():
    """Testing before the lock is no harm once everything is tested again under it."""

    def early(s: Script) -> None:
        dead_tests(s)
        s.lock()

    script = scripted(P12=early, P15=known, P16=dead_tests)
    assert outcome(script, "P12 before TEST") == "met"


RESETS = {
    "power back": lambda s: (s.unlock(), s.close("disconnect"), s.open("disconnect"), s.lock()),
    "lock off and on": lambda s: (s.unlock(), s.lock()),
    "a quarter of an hour away": lambda s: s.did("wait", seconds=1000.0, ms=1_000_000),
}


@pytest.mark.parametrize("name", RESETS)
def test_any_reset_after_the_dead_test_makes_a_later_touch_critical(name):
    def twice(s: Script) -> None:
        work(s)
        RESETS[name](s)
        s.touch("contactor.T1")

    mark = scripted(WORK=twice).marked().mark
    assert "CF2" in [c.code for c in mark.critical]
    assert mark.verdict == "fail" and not mark.safe
    assert not scripted().marked().mark.critical


def test_after_a_reset_the_same_proof_again_is_enough():
    def twice(s: Script) -> None:
        work(s)
        RESETS["power back"](s)
        for prove in (known, dead_tests, empties):
            prove(s)
        s.did("try start", part="indoor")
        s.did("discharge", a="can.C", b="can.H", seconds=10.0)
        s.did("discharge", a="can.C", b="can.F", seconds=10.0)
        s.select("meter", "V ac")
        s.read("contactor.A1", "contactor.A2")
        s.read("disconnect.L1", "disconnect.L2", why="re-prove")
        s.touch("contactor.T1")

    mark = scripted(WORK=twice).marked().mark
    # power came back for a moment with the panels off: that is another matter
    assert [c.code for c in mark.critical] == ["CF5"]


#: A missed step -> the only rules it may cost.
ALONE = {
    "P13": {"P13 before WORK"}, "P15": {"P15 before WORK", "P16 before WORK"},
    "P17": {"P17 before WORK"}, "P18": {"P18 before WORK"}, "P19": {"P19 before WORK"},
    "P20": {"P20 before WORK"}, "P11": {"P11 before WORK"}, "P10": {"P10 before WORK"},
    "P12": {"P12 before WORK"}, "P04": {"P04 before P09"}, "P05": {"P05 before P09"},
    "P34": {"P34 before RESTORE"}, "P35": {"P35 before RESTORE"}, "P39": {"P39 before RESTORE"},
    "P41": {"P41 before RESTORE"}, "P36": {"P36 before RESTORE", "P38 before RESTORE"},
}  # fmt: skip


@pytest.mark.parametrize("step", ALONE)
def test_a_missed_step_is_charged_once(step):
    """P15 carries the proof of the ground as well; the terminal cap is one of the covers."""
    whole = {n for n, f in findings(scripted().marked()).items() if f.outcome != "met"}
    less = {
        n for n, f in findings(scripted(without=(step,)).marked()).items() if f.outcome != "met"
    }
    assert {n for n in less - whole if " before " in n} == ALONE[step]


def test_forgetting_to_declare_is_a_matter_of_records():
    mark = scripted(without=("P21",)).marked().mark
    assert mark.critical == ()
    sequence = next(d for d in mark.domains if d.name == "sequence")
    assert sequence.score == 1
    assert (
        findings(scripted(without=("P21",)).marked())["the unit declared dead"].outcome
        == "not shown"
    )
