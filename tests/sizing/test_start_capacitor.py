"""Start capacitor of the anchor motor (invented) and the rules of thumb."""

import pytest
from pytest import approx

from tests.sizing.motors import ANCHOR, ANCHOR_HZ, ANCHOR_RUN_F, ANCHOR_VOLTS
from trainer.motor import psc
from trainer.sizing import start_capacitor

LINE = psc.Line(ANCHOR_VOLTS, ANCHOR_HZ, ANCHOR_RUN_F)


def test_rules_of_thumb_meet():
    # common practice, no source: to 18 A RLA 88-162 uF; 2.5-4 x 35 = 87.5-140 uF
    assert start_capacitor.by_rule_of_thumb(13.9, 35e-6).window == (approx(88e-6), approx(140e-6))


@pytest.mark.parametrize("rla, low", [(6.0, 43e-6), (6.01, 64e-6), (18.0, 88e-6), (18.1, 135e-6)])
def test_a_row_serves_up_to_its_amps(rla, low):
    # run capacitor that agrees with every row
    assert start_capacitor.by_rule_of_thumb(rla, low / 2.5).window[0] == approx(low)


def test_rules_that_disagree_leave_the_amps():
    found = start_capacitor.by_rule_of_thumb(5.0, 80e-6)
    assert found.window == (43e-6, 64e-6)
    assert "another range" in found.note


def test_no_row_beyond_27_amps():
    assert start_capacitor.by_rule_of_thumb(27.1, 60e-6).value is None


def test_largest_capacitor_by_standstill_volts():
    # anchor: 178 V at rest with 200 uF on 230 V; pickup 245 gives 0.8 x 245 = 196 = 1.1 x 178
    found = start_capacitor.most_by_standstill(ANCHOR, LINE, 245.0)
    assert found.number == approx(200e-6, rel=0.01)
    volts = start_capacitor.standstill_volts(ANCHOR, LINE, found.number)
    assert volts == approx(0.8 * 245.0, rel=1e-6)


def test_bounds_of_the_standstill_rule():
    assert start_capacitor.most_by_standstill(ANCHOR, LINE, 20.0).value is None
    assert "not reached" in start_capacitor.most_by_standstill(ANCHOR, LINE, 900.0).note


def test_the_limit_is_the_first_crossing_of_the_resonance():
    found = start_capacitor.most_by_standstill(ANCHOR, LINE, 380.0).number
    below = [start_capacitor.standstill_volts(ANCHOR, LINE, f * found) for f in (0.2, 0.6, 0.99)]
    assert max(below) < 0.8 * 380.0


def test_standstill_torque_of_the_anchor():
    # worked by phasors: 3.0 N m with 88 uF, 8.4 N m with 189 uF
    assert start_capacitor.standstill_torque(ANCHOR, LINE, 88e-6) == approx(3.0, rel=0.02)
    assert start_capacitor.standstill_torque(ANCHOR, LINE, 189e-6) == approx(8.4, rel=0.02)


def labels(cans):
    return [can.label for can in cans]


def test_cans_inside_the_rule_come_small_first():
    # 13.9 A and 35 uF: 88-140 uF
    inside, others = start_capacitor.in_order(13.9, 35e-6)
    assert labels(inside) == ["88-108 µF", "108-130 µF"]
    assert len(inside) + len(others) == 12


def test_the_others_come_nearest_first():
    # middle of 88-140 uF is 111 uF: 135-162 is nearer than 72-88 and far nearer than 270-324
    others = labels(start_capacitor.in_order(13.9, 35e-6)[1])
    assert others[:2] == ["135-162 µF", "72-88 µF"]
    assert others[-1] == "270-324 µF"


def test_without_a_rule_all_come_small_first():
    inside, others = start_capacitor.in_order(30.0, 70e-6)
    assert inside == []
    assert labels(others)[0] == "43-52 µF"
