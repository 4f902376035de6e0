"""Every point of workmanship: met, not met or a share, and left out where nobody's hands were.

The learner works on wires 1 (screw), 3 (lug), 6 and 10 (tabs) and 11 (solid) of a unit whose
factory joints are sound.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from tests.assess.made import Script, findings, scripted
from trainer.assess.dressing import DRESSING
from trainer.assess.procedure import procedure
from trainer.assess.workmanship import WORKMANSHIP

Work = Callable[[Script], Any]
#: What an end must be to be sound at a place of each kind.
TAB = {"fitting": "female_250", "crimp": "full"}
SCREW = {"fitting": "none", "crimp": "none"}


def landed(wire: str, end: str, place: str, torque: float | None = None, **facts: Any) -> Work:
    def do(s: Script) -> None:
        s.label(wire, end).lift(wire, end)
        made = {k: v for k, v in facts.items() if k != "means"}
        s.land(wire, end, place, **made)
        if torque is not None:
            means = facts.get("means", "torque driver")
            s.end("torque", wire, end, torque_nm=torque, nm=torque, means=means)

    return do


def tab(**facts: Any) -> Work:
    return landed("6", "b", "can.C", **{**TAB, **facts})


def screw(torque: float = 2.5, **facts: Any) -> Work:
    return landed("1", "b", "contactor.L1", torque, **{**SCREW, **facts})


def tugged(wire: str, end: str) -> Work:
    return lambda s: s.tug(wire, end)


def new_wire(gauge: str, place: str, **facts: Any) -> Work:
    """A conductor off the reel with one end landed; gauge and factory as said."""

    def do(s: Script) -> None:
        base = next(iter(s.wires.values()))
        loose = {**base["a"], "on": None, "torque_nm": None, "tug": "no", "label": ""}
        wire = {**base, "tag": "n1", "gauge": gauge, "factory": False, "a": loose, "b": loose}
        s.wires["n1"] = wire
        s.act("take wire", lambda: s.emit("conductor", conductor=wire), wire="n1")
        s.land("n1", "a", place, **{**SCREW, **facts})
        s.end("cap", "n1", "b", capped=True)
        s.end("park", "n1", "b", parked=True)

    return do


def did(name: str, **fields: Any) -> Work:
    return lambda s: s.did(name, **fields)


def both(*work: Work) -> Work:
    def do(s: Script) -> None:
        for one in work:
            one(s)

    return do


NOTHING: Work = lambda s: s  # noqa: E731
#: code -> (met, not met, left out).
CASES: dict[str, tuple[Work, Work, Work]] = {
    "W01": (new_wire("14 AWG", "contactor.L1", stripped_mm=8.5),
            new_wire("14 AWG", "contactor.L1", stripped_mm=15.0), tab()),
    "W02": (tab(), tab(strands="severed"), NOTHING),
    "W03": (tab(), tab(strands="stray"), NOTHING),
    "W04": (landed("11", "b", "contactor.A1", fitting="none", crimp="none"),
            landed("11", "b", "contactor.A1", fitting="female_250", crimp="full"), tab()),
    "W05": (tab(), tab(fitting="ring"), NOTHING),
    "W06": (tab(), tab(crimp="pliers"), screw()),
    "W07": (tab(), tab(seated=0.5), screw()),
    "W08": (both(tab(), tugged("6", "b")), tab(), NOTHING),
    "W09": (screw(2.5), screw(1.0), tab()),
    "W10": (screw(), new_wire("10 AWG", "contactor.L1"), tab()),
    "W11": (screw(), new_wire("14 AWG", "contactor.L1"), tab()),
    "W12": (did("route", wire="6", past=""), did("route", wire="6", past="discharge line"),
            NOTHING),
    "W16": (did("mount", part="can", looked_behind=True, screw_mm=12.0, arrow="up"),
            did("mount", part="can", looked_behind=False, screw_mm=12.0, arrow="up"), NOTHING),
    "W18": (both(lambda s: s.lift("6", "b"), lambda s: s.end("cap", "6", "b", capped=True),
                 lambda s: s.end("park", "6", "b", parked=True)),
            lambda s: s.lift("6", "b"), tab()),
    "W20": (both(did("scrape", place="lug.1"), landed("3", "b", "lug.1", 4.5, **SCREW)),
            landed("3", "b", "lug.1", 4.5, **SCREW), tab()),
    "W23": (both(did("mount", part="can", looked_behind=True), did("label unit", text="can")),
            did("mount", part="can", looked_behind=True), NOTHING),
    "W25": (both(new_wire("14 AWG", "contactor.L1"), did("dress", wire="n1", how="tie")),
            new_wire("14 AWG", "contactor.L1"), tab()),
}  # fmt: skip
#: Points whose absence of evidence is "not shown", not a fault.
NOT_SHOWN = {"W23"}


def judged(code: str, script: Script) -> Any:
    """One point, in a layout that also has a place of harm."""
    marked = script.marked()
    zones = {"discharge line": (0.0, 0.0, 100.0, 100.0)}
    layout = marked.job.layout.model_copy(update={"zones": zones})
    return WORKMANSHIP[code](marked.story, replace(marked.job, layout=layout))


@pytest.mark.parametrize("code", CASES)
def test_met_not_met_and_left_out(code):
    right, wrong, nothing = CASES[code]
    good = judged(code, scripted(WORK=right))
    assert good.outcome == "met" and good.share == 1
    bad = judged(code, scripted(WORK=wrong))
    assert bad.outcome == ("not shown" if code in NOT_SHOWN else "not met") and bad.share < 1
    assert bad.sentence
    if code not in NOT_SHOWN:
        assert bad.evidence.events
    assert judged(code, scripted(WORK=nothing)) is None


def test_covers():
    assert judged("W22", scripted()).outcome == "met"
    assert judged("W22", scripted(without=("P38",))).outcome == "not met"
    assert judged("W22", scripted(without=("P38", "P54"))).outcome == "not shown"
    nothing = scripted(without=("P14", "cap off", "P38", "P36"))
    assert judged("W22", nothing) is None


def test_debris():
    cut = both(tab(), lambda s: s.end("strip", "10", "a", stripped_mm=8.0))
    assert judged("W24", scripted(WORK=cut)).outcome == "met"
    assert judged("W24", scripted(WORK=cut, without=("P55",))).outcome == "not shown"
    assert judged("W24", scripted(WORK=tab())) is None


def test_a_share_of_good_ends():
    found = judged("W08", scripted(WORK=both(tab(), tugged("6", "b"), screw())))
    assert found.outcome == "not met" and found.share * 2 == 1
    assert "wire 1 end b" in found.sentence and "wire 6" not in found.sentence


def test_tightened_by_feel_is_not_to_the_marking():
    assert judged("W09", scripted(WORK=screw(2.5, means="feel"))).outcome == "not met"


def test_untouched_factory_joints_are_nobodys_workmanship():
    """A stray strand of the factory, a loose screw of the factory: not the learner's."""

    def spoiled(s: Script) -> None:
        data = s.events[0].data["unit"]["conductors"]
        for c in data:
            if c["tag"] in ("1", "7"):
                for side in ("a", "b"):
                    c[side] |= {"strands": "stray", "torque_nm": 0.1, "tug": "slipped"}
        tab()(s)
        s.tug("6", "b")

    marked = scripted(WORK=spoiled).marked()
    for code in ("W02", "W03", "W08"):
        assert WORKMANSHIP[code](marked.story, marked.job).outcome == "met"
    assert WORKMANSHIP["W09"](marked.story, marked.job) is None


def test_paint_taken_off_elsewhere_bares_no_lug():
    elsewhere = both(did("scrape", place="contactor.L1"), landed("3", "b", "lug.1", 4.5, **SCREW))
    assert judged("W20", scripted(WORK=elsewhere)).outcome == "not met"


def test_an_end_is_judged_as_it_was_left():
    """A half-seated terminal pushed home later is a good joint."""
    found = judged("W07", scripted(WORK=both(tab(seated=0.5), tab(seated=1.0))))
    assert found.outcome == "met"


def test_the_items_stand_in_the_mark():
    mark = scripted(WORK=tab(seated=0.5)).marked()
    title = procedure().words("W07").title
    assert findings(mark)[title].outcome == "not met"


def test_every_point_has_its_cases():
    elsewhere = {"W22", "W24", *DRESSING}  # the latter in test_dressing
    assert set(WORKMANSHIP) == set(CASES) | elsewhere


def test_every_point_that_a_rubric_may_name_is_judged():
    """A rubric's codes are held against the procedure."""
    assert set(WORKMANSHIP) == set(procedure().workmanship)
