"""Slack, whips, straps and drawn legs: met, not met, left out, and what each sentence names.

Wire n1 is off the reel. On this unit contactor and can lie in one box, the disconnect on the wall.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest

from tests.assess.made import Script, scripted
from trainer.assess.dressing import DRESSING, SLACK_MM, laid
from trainer.assess.finding_rubric import load_rubric, rubrics_dir
from trainer.assess.procedure import procedure

Work = Callable[[Script], Any]
INSIDE, OUT = ("contactor.L1", "can.C"), ("disconnect.T1", "contactor.L1")
#: The straight way from contactor.L1 to can.C on this layout. L1 lies at 70 + 14, 90 + 8; the can,
#: 60 by 60 and turned clockwise by a quarter, at 210, 60 with its C at 30, 14: 60 - 14, 30 there.
FAR_MM = math.dist((84.0, 98.0), (256.0, 90.0))


def new(places: tuple[str, str], length_m: float, *dressed: str) -> Work:
    """Wire n1 of that length from place to place, held so on its way."""

    def do(s: Script) -> None:
        base = next(iter(s.wires.values()))
        loose = {**base["a"], "on": None, "torque_nm": None, "tug": "no", "label": ""}
        wire = {**base, "tag": "n1", "factory": False, "length_m": length_m, "a": loose, "b": loose}
        s.wires["n1"] = wire
        s.act("take wire", lambda: s.emit("conductor", conductor=wire), wire="n1")
        for side, place in zip("ab", places, strict=True):
            s.land("n1", side, place)
        for how in dressed:
            s.did("dress", wire="n1", how=how)

    return do


def mounted(**fields: Any) -> Work:
    return lambda s: s.did("mount", part="can", **{"strap": True, "arrow": "up", **fields})


NOTHING: Work = lambda s: s  # noqa: E731
#: code -> (met, not met, left out).
CASES: dict[str, tuple[Work, Work, Work]] = {
    "W13": (new(INSIDE, 0.3), new(INSIDE, 0.19), new(OUT, 1.8)),
    "W14": (new(OUT, 1.8, "strain relief"), new(OUT, 1.8, "drip loop"), new(INSIDE, 0.3)),
    "W15": (new(OUT, 1.8, "drip loop"), new(OUT, 1.8, "strain relief"), new(INSIDE, 0.3)),
    "W17": (mounted(), mounted(strap=False), lambda s: s.did("mount", part="contactor")),
}


def judged(code: str, work: Work) -> Any:
    marked = scripted(WORK=work).marked()
    return DRESSING[code](marked.story, marked.job)


@pytest.mark.parametrize("code", CASES)
def test_met_not_met_and_left_out(code: str) -> None:
    right, wrong, nothing = CASES[code]
    good, bad = judged(code, right), judged(code, wrong)
    assert (good.outcome, good.share) == ("met", 1) and good.evidence.events
    assert (bad.outcome, bad.share) == ("not met", 0) and bad.evidence.events
    assert judged(code, nothing) is None


def test_how_much_is_to_spare_is_said_and_where_it_turns() -> None:
    marked = scripted(WORK=new(INSIDE, 0.3)).marked()
    (run,) = laid(marked.story, marked.job)
    assert run.straight_mm == pytest.approx(FAR_MM, abs=1e-6)
    for spare, outcome in ((SLACK_MM - 1.0, "not met"), (SLACK_MM + 1.0, "met")):
        found = judged("W13", new(INSIDE, (run.straight_mm + spare) / 1000.0))
        assert found.outcome == outcome
    assert (
        "wire n1, 19 mm to spare"
        in judged("W13", new(INSIDE, (run.straight_mm + 19.0) / 1000.0)).sentence
    )


@pytest.mark.parametrize(
    ("fields", "why"),
    [
        ({"arrow": "sideways"}, "its terminals are not up"),
        ({"strap": False, "arrow": "down"}, "no strap"),
        # the ground lug lies at 30, 200 and is 15 high: 5 mm above this spot
        ({"x": 30.0, "y": 220.0}, "lug is right above it"),
    ],
)
def test_what_is_wrong_with_a_capacitor_is_said(fields: dict[str, Any], why: str) -> None:
    assert why in judged("W17", mounted(**fields)).sentence


def test_a_capacitor_mounted_anew_is_judged_as_it_was_left() -> None:
    def twice(s: Script) -> None:
        mounted(strap=False)(s)
        mounted()(s)

    assert judged("W17", twice).outcome == "met"


def exchanged(*back_again: str) -> Work:
    """The coil's two wires off and on the other way round, or as they were."""

    def do(s: Script) -> None:
        for wire in ("11", "12"):
            s.label(wire, "b").lift(wire, "b")
        s.land("11", "b", "contactor.A1" if back_again else "contactor.A2")
        s.land("12", "b", "contactor.A2" if back_again else "contactor.A1")

    return do


def test_legs_as_drawn_are_a_mark_of_style_and_never_a_fail() -> None:
    assert judged("W21", exchanged("again")).outcome == "met"
    other = judged("W21", exchanged())
    assert other.share == Fraction(1, 2) and other.evidence.events
    assert judged("W21", NOTHING) is None


def test_wiring_that_is_wrong_is_no_question_of_style() -> None:
    assert judged("W21", lambda s: s.label("6", "b").lift("6", "b").land("6", "b", "can.H")) is None
    assert judged("W21", new(("can.C", "can.H"), 0.3)) is None


def test_a_rubric_can_cite_them() -> None:
    """Each by weight, and it then stands in the mark."""
    standard = load_rubric(rubrics_dir() / "standard.yaml")
    for code in DRESSING:
        rubric = standard.model_copy(update={"workmanship": {code: 1}})
        works = {"W13": new(INSIDE, 0.19), "W17": mounted(strap=False), "W21": exchanged()}
        mark = scripted(WORK=works.get(code, new(OUT, 1.8))).marked(rubric).mark
        (item,) = [f for f in mark.findings if f.code == code]
        assert item.outcome == "not met" and item.lost > 0
        assert item.rule == procedure().words(code).title


def test_every_one_has_its_cases() -> None:
    assert set(DRESSING) == {*CASES, "W21"}
