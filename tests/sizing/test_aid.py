"""Which aid, and that a needless one is refused."""

import pytest

from tests.sizing.plates import plate
from trainer.sizing import aid
from trainer.sizing.ruled import Ruled
from trainer.sizing.sizing import RelayKit

KIT = RelayKit("88-108 µF", (88e-6, 108e-6), "class B", (160, 190), (40, 90), 340, "invented")
P20 = Ruled("P20", "", "rule", "invented")


@pytest.mark.parametrize(
    "more, word",
    [
        ({"phases": 3}, "three-phase"),
        ({"drive": "variable_speed"}, "variable-speed"),
        ({"maker_table": {"sheet": "sheet 7", "start_aid": "forbidden"}}, "sheet 7"),
    ],
)
def test_refused_whatever_the_motor_does(more, word):
    found = aid.refused(plate(**more))
    assert found.kind == "none"
    assert word in found.reason


def test_an_ordinary_plate_is_not_refused():
    assert aid.refused(plate()) is None
    assert aid.refused(plate(maker_table={"sheet": "sheet 7"})) is None


@pytest.mark.parametrize(
    "complaint, unaided, kind",
    [
        ("none", True, "none"),
        ("will_not_start", True, "none"),
        ("lights_dip", True, "soft_starter"),
        ("generator", True, "soft_starter"),
        ("none", False, "relay_kit"),
        ("will_not_start", False, "relay_kit"),
        ("lights_dip", False, "relay_kit"),
    ],
)
def test_torque_asks_for_a_kit_and_inrush_for_a_soft_starter(complaint, unaided, kind):
    assert aid.chosen(plate(complaint=complaint), unaided, KIT, P20).kind == kind


def test_a_healthy_motor_said_not_to_start_sends_him_to_the_cause():
    found = aid.chosen(plate(complaint="will_not_start"), True, KIT, P20)
    assert "Find the cause" in found.notes[0]


def test_a_kit_does_not_cure_the_lamps():
    found = aid.chosen(plate(complaint="lights_dip"), False, KIT, P20)
    assert any("hardly lowers" in note for note in found.notes)


def test_nothing_suits():
    assert aid.chosen(plate(), False, None, P20).kind == "none"
    none = Ruled(None, "", "rule", "invented", "larger than every shipped class")
    assert aid.chosen(plate(complaint="lights_dip"), True, KIT, none).kind == "none"
