"""Every step of the procedure and every point of workmanship can be done or spoilt by an act.

P01 to P55 and W01 to W25 are the steps of safe work and the points of workmanship as the trade
teaches them (common practice, no source); the words here are our own.
"""

from __future__ import annotations

import pytest

from tests.session.jobs import do, kinds, of_kind, on, plain
from trainer.session.acts import ACTS
from trainer.session.text import parse, usage
from trainer.session.times import times

STEPS = {
    "P01": ["read"], "P02": ["read", "look"], "P03": ["put on", "inspect leads", "self check"],
    "P04": ["list source"], "P05": ["tell"], "P06": ["set zone"], "P07": ["measure", "clamp"],
    "P08": ["thermostat", "wait"], "P09": ["open"], "P10": ["open", "lock"], "P11": ["look"],
    "P12": ["lock", "tag"], "P13": ["try start"], "P14": ["wait", "take off"],
    "P15": ["select", "measure"], "P16": ["measure"], "P17": ["measure"], "P18": ["discharge"],
    "P19": ["select", "measure"], "P20": ["measure"], "P21": ["declare dead"],
    "P22": ["photograph", "see photograph"], "P23": ["label"], "P24": ["look"],
    "P25": ["measure", "stand"], "P26": ["lift", "loosen"],
    "P27": ["mount", "look behind", "fit", "take down"],
    "P28": ["cut", "strip", "inspect", "crimp"],
    "P29": ["land", "take wire", "take out"], "P30": ["torque"], "P31": ["tug"],
    "P32": ["route", "dress"], "P33": ["cap", "park"], "P34": ["measure", "scrape"],
    "P35": ["second look", "measure"], "P36": ["put back"], "P37": ["tool"], "P38": ["put back"],
    "P39": ["tell", "look"], "P40": ["unlock"], "P41": ["stand", "close"], "P42": ["measure"],
    "P43": ["wait", "wait until"], "P44": ["clamp", "select"], "P45": ["thermostat"],
    "P46": ["record"], "P47": ["clamp", "measure"], "P48": ["clamp", "measure"],
    "P49": ["measure"], "P50": ["wait until", "thermostat"], "P51": ["thermostat", "open"],
    "P52": ["label unit", "put back"], "P53": ["record", "sign off"], "P54": ["hand over"],
    "P55": ["clean up", "dispose"],
}  # fmt: skip
WORKMANSHIP = {
    "W01": ["strip"], "W02": ["strip", "inspect"], "W03": ["inspect"], "W04": ["crimp"],
    "W05": ["crimp"], "W06": ["crimp"], "W07": ["land"], "W08": ["tug"], "W09": ["torque"],
    "W10": ["land"], "W11": ["land"], "W12": ["route"], "W13": ["dress"], "W14": ["dress"],
    "W15": ["dress"], "W16": ["mount"], "W17": ["mount"], "W18": ["cap", "park", "label"],
    "W19": ["route"], "W20": ["scrape"], "W21": ["land"], "W22": ["put back"],
    "W23": ["label unit"], "W24": ["clean up"], "W25": ["dress"],
}  # fmt: skip


def test_no_step_is_missing() -> None:
    assert list(STEPS) == [f"P{n:02d}" for n in range(1, 56)]
    assert list(WORKMANSHIP) == [f"W{n:02d}" for n in range(1, 26)]


@pytest.mark.parametrize("step", [*STEPS, *WORKMANSHIP])
def test_a_step_has_its_acts(step: str) -> None:
    for act in {**STEPS, **WORKMANSHIP}[step]:
        assert act in ACTS


def test_every_act_has_a_price_and_a_line_of_usage() -> None:
    assert set(times().acts) == set(ACTS)
    assert all(usage(act).startswith(act) for act in ACTS)


def test_a_long_screw_over_a_tube_pierces_it() -> None:
    """Larkspur Row's discharge line runs from 600 to 630 mm across and 120 to 380 mm down."""
    running = on(plain())
    tray = {"act": "mount", "part": "lug", "x": 610, "y": 200}
    seen = of_kind(do(running, "look behind", x=610, y=200), "seen")["text"]
    assert "discharge-line" in seen
    for harmless in ({**tray, "screw_mm": 10}, {**tray, "x": 100, "screw_mm": 40}):
        seen = kinds(do(running, **harmless))
        assert "pierced" not in seen and "refused" not in seen
    lost = do(running, **{**tray, "screw_mm": 40})
    assert of_kind(lost, "pierced")["zone"] == "discharge-line"
    assert of_kind(lost, "over")["why"] == "loss"


def test_the_wrong_notch_severs_strands() -> None:
    running = on(plain())
    for act in ("take wire", "strip"):
        more = {"end": "a", "tool": "wrong notch"} if act == "strip" else {}
        do(running, act, wire="31", **more)
    assert running.bench.unit.conductors["31"].a.strands == "severed"


@pytest.mark.parametrize(
    "line",
    ["dress 4 tie", "scrape lug.1", "look behind 100 200", "wait until discharged",
     "take wire 21", "hint 2", "see photograph can"],
)  # fmt: skip
def test_new_acts_can_be_typed(line: str) -> None:
    assert parse(line).act in line
