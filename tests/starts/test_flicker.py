"""The flicker law by itself; its limits are tested with sizing."""

import pytest
from pytest import approx

from trainer.starts.flicker import flicker_time, lamp_factor, pst, pst_of_starts


def test_one_step_of_one_per_cent():
    # t_f = 2.3 d^3.2: IEC 61000-3-3, from memory
    assert flicker_time(1.0) == approx(2.3)


def test_doubling_the_change_doubles_pst():
    assert pst(4.0, 3) == approx(2.0 * pst(2.0, 3))


@pytest.mark.parametrize("per_hour, in_worst", [(1, 1), (6, 1), (8, 2)])
def test_starts_are_counted_in_the_worst_ten_minutes(per_hour, in_worst):
    assert pst_of_starts(3.0, per_hour) == approx(pst(3.0, in_worst))


def test_a_lamp_of_120_volts_shows_less():
    # IEC 61000-4-15 ed. 2 table: about 0.86
    assert lamp_factor("120 V 60 Hz") == approx(0.856, abs=0.002)
