"""Start capacitor and relay as a pair for the anchor motor (invented)."""

from dataclasses import replace

import pytest
from pytest import approx

from tests.sizing.motors import ANCHOR, ANCHOR_HZ, ANCHOR_RUN_F, ANCHOR_VOLTS
from trainer.motor import psc
from trainer.sizing import kit
from trainer.sizing.nameplate_file import MakerTable

LINE = psc.Line(ANCHOR_VOLTS, ANCHOR_HZ, ANCHOR_RUN_F)
CASE = kit.Case(ANCHOR, LINE, rla_a=13.9, rated_slip=0.021, at_rest_nm=0.5)
SHEET = {
    "sheet": "invented sheet",
    "start_capacitor": ["88 uF", "108 uF"],
    "relay": {"pickup": ["160 V", "190 V"], "dropout_most": "90 V", "continuous": "340 V"},
}


def first(case):
    return next(kit.by_rules(case), None)


def test_the_anchor_motor_takes_88_108_uf_and_class_b():
    # worked by hand for this motor: 88-135 uF, class B
    found = first(CASE)
    assert (found.label, found.relay) == ("88-108 µF", "class B")
    assert found.misfits == ()


def test_a_heavier_load_at_rest_needs_more_than_fits():
    # 88-108 uF gives 2.97 N m at its bottom on full volts, 2.15 N m on an 85 % line
    assert kit.turns_the_load(replace(CASE, at_rest_nm=1.70), 88e-6)
    assert not kit.turns_the_load(replace(CASE, at_rest_nm=1.74), 88e-6)
    assert first(replace(CASE, at_rest_nm=7.0)) is None


def test_pairs_with_one_thing_against_them_name_it():
    found = list(kit.nearly(CASE))
    assert ("88-108 µF", "class C") in {(pair.label, pair.relay) for pair in found}
    one = next(pair for pair in found if (pair.label, pair.relay) == ("88-108 µF", "class C"))
    assert len(one.misfits) == 1
    assert "open late" in one.misfits[0]


def test_no_kit_still_tells_the_rule_of_thumb():
    found = kit.figures(CASE, None)["start_capacitor"]
    assert found.window == (approx(88e-6), approx(140e-6))
    assert "no shipped pair" in found.note


def test_the_window_ends_where_the_relay_would_open_at_rest():
    # class B picks up from 160 V: 0.8 x 160 = 128 V at rest on 253 V, so 116 V on 230 V: 135 uF
    found = kit.figures(CASE, first(CASE))["start_capacitor"]
    assert found.window == (approx(88e-6), approx(135e-6, rel=0.01))


def test_a_makers_table_is_followed():
    found = kit.from_maker(CASE, MakerTable.model_validate(SHEET))
    assert found.range_f == (88e-6, 108e-6)
    assert "comes first" in found.source
    assert found.misfits == ()


def test_what_the_rules_hold_against_a_makers_table_is_told():
    table = MakerTable.model_validate({**SHEET, "start_capacitor": ["189 uF", "227 uF"]})
    found = kit.from_maker(CASE, table)
    assert found.range_f == (189e-6, 227e-6)
    assert any("too early" in fault for fault in found.misfits)


def test_half_a_makers_table_is_no_kit():
    table = MakerTable.model_validate({"sheet": "invented"})
    assert kit.from_maker(CASE, table) is None


@pytest.mark.parametrize(
    "rla, lra, name",
    # invented classes: 1.25 RLA within the class, LRA within six times it
    [
        (9.6, 72.0, "P12"), (9.61, 40.0, "P20"), (9.0, 72.1, "P20"), (16.0, 120.0, "P20"),
        (16.7, 86.0, "P28"), (35.2, 200.0, "P44"), (35.3, 200.0, None),
    ],
)  # fmt: skip
def test_starter_class(rla, lra, name):
    assert kit.starter_class(rla, lra).value == name


def test_a_makers_relay_far_too_low_is_told_and_does_not_stop_the_answer():
    low = {"pickup": ["20 V", "22 V"], "dropout_most": "10 V", "continuous": "340 V"}
    found = kit.from_maker(CASE, MakerTable.model_validate({**SHEET, "relay": low}))
    assert any("too early" in fault for fault in found.misfits)
    window = kit.figures(CASE, found)["start_capacitor"]
    assert window.window == (88e-6, 108e-6)
    assert "run capacitor alone" in window.note
