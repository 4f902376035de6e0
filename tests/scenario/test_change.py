"""Changes of a unit: each does what it says, in its order, and names what is not there."""

import pytest

from tests.scenario.files import dialled
from trainer.base.errors import TrainerError
from trainer.scenario.change import Change, apply


@pytest.fixture(scope="module")
def unit():
    return dialled().target


def changed(unit, **fields):
    return apply(unit, Change.model_validate(fields))


def test_nothing_changes_nothing(unit):
    assert changed(unit) == unit


def test_lifted_and_landed(unit):
    loose = changed(unit, lift=["7.a"])
    assert loose.conductors["7"].a.on is None
    back = changed(loose, land={"7.a": "can.H:b"})
    assert back.conductors["7"].a.on == "can.H:b"
    assert back.conductors["7"].a.fitting == "female_250"


def test_a_part_goes_out_with_its_conductors(unit):
    out = changed(unit, remove=["10"], lift=["6.b", "7.a"], parts_out=["can"])
    assert "can" not in out.parts and "10" not in out.conductors


def test_a_part_and_its_conductors_come_in(unit):
    wires = [
        {"tag": "20", "from": "sc.1", "to": "can.C:a"},
        {"tag": "21", "from": "sc.2", "colour": "OR"},
        {"tag": "22"},
    ]
    more = changed(unit, parts={"sc": {"type": "start-88-108"}}, add=wires)
    assert more.parts["sc"].type == "start-88-108"
    assert more.conductors["20"].b.on == "can.C:a" and more.conductors["20"].b.crimp == "full"
    assert more.conductors["21"].b.on is None and more.conductors["21"].b.stripped_mm == 0.0
    assert more.conductors["22"].a.on is None and not more.conductors["22"].factory


def test_values_and_colours(unit):
    new = changed(unit, set={"can": {"herm": "30 uF"}}, colours={"7": "OR"})
    assert new.parts["can"].set == {"herm": "30 uF"}
    assert new.conductors["7"].colour == "OR"


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"remove": ["99"]}, "no conductor '99'"),
        ({"lift": ["99.a"]}, "no conductor '99'"),
        ({"set": {"pump": {}}}, "no part 'pump'"),
        ({"parts_out": ["pump"]}, "no part 'pump'"),
        ({"parts_out": ["can"]}, "6, 7, 10 are still on can"),
        ({"add": [{"tag": "7"}]}, "conductor '7' already"),
    ],
)
def test_what_is_not_there_is_named(unit, fields, words):
    with pytest.raises(TrainerError, match=words):
        changed(unit, **fields)
