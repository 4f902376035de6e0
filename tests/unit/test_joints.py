"""Workmanship as ohms: worse work never conducts better, and a stray strand reaches only so far."""

import pytest

from trainer.unit.catalogue import place_in
from trainer.unit.conductor import End
from trainer.unit.joints import bridges, joint_ohms

TYPES = {"contactor": "contactor-2p-30", "comp": "compressor-scroll"}
SCREW, TAB = place_in(TYPES, "contactor.L1"), place_in(TYPES, "comp.C")
GOOD_SPADE = End(on="comp.C", fitting="female_250", crimp="full")
GOOD_SCREW = End(on="contactor.L1", torque_nm=2.5)


def test_good_work_is_a_fresh_joint():
    # 0.2 mohm: the table of joints, invented
    assert joint_ohms(GOOD_SPADE, TAB) == pytest.approx(2e-4)
    assert joint_ohms(GOOD_SCREW, SCREW) == pytest.approx(2e-4)


@pytest.mark.parametrize(
    "change",
    [
        {"crimp": "light"}, {"crimp": "pliers"}, {"crimp": "wrong_die"}, {"crimp": "none"},
        {"seated": 0.5}, {"strands": "severed"}, {"stripped_mm": 2.0}, {"tug": "slipped"},
        {"fitting": "fork"},
    ],
)  # fmt: skip
def test_worse_work_has_more_ohms(change):
    assert joint_ohms(GOOD_SPADE.model_copy(update=change), TAB) > joint_ohms(GOOD_SPADE, TAB)


def test_a_screw_loosens_by_degrees():
    def at(torque):
        return joint_ohms(End(on="contactor.L1", torque_nm=torque), SCREW)

    assert at(2.5) < at(1.0) < at(0.2) <= at(None)


def test_a_stray_strand_reaches_the_nearest_neighbour_only():
    others = {"a": (10.0, 0.0), "b": (15.0, 0.0)}
    assert bridges(End(strands="stray", stripped_mm=8.0), (0.0, 0.0), others) == "a"  # 12 mm
    assert bridges(End(strands="stray", stripped_mm=5.0), (0.0, 0.0), others) == ""  # 9 mm
    assert bridges(End(stripped_mm=30.0), (0.0, 0.0), others) == ""
