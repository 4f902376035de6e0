"""Conductor and joint ohms."""

import pytest

from trainer.base.fields import Record
from trainer.base.units import parse
from trainer.parts.conductors import Gauge, Workmanship, henries_of, joint_ohms, ohms_of, table


def test_volt_drop_of_a_branch_circuit():
    # K47: 10 AWG stranded, 100 ft, 20 A, NEC Chapter 9 Table 8: 4.96 V
    assert 2.0 * ohms_of("10 AWG", 30.48) * 20.0 == pytest.approx(4.96, rel=1e-3)


def test_service_conductor():
    # NEC Chapter 9 Table 8: 1/0 aluminium 0.201 ohm/kft, 100 ft
    assert ohms_of("1/0 AWG Al", 30.48) == pytest.approx(0.0201, rel=1e-6)


def test_metric_cable():
    # IEC 60228 (from memory): 2.5 mm2 class 2, 7.41 ohm/km at 20 degC; copper at 70 degC 1.1965
    assert ohms_of("2.5 mm2", 1000.0) == pytest.approx(7.41 * 1.1965, rel=1e-3)


def test_reactance_is_a_few_hundredths_of_an_ohm_per_kft():
    assert henries_of(304.8) * 377.0 == pytest.approx(0.03)


def test_worse_work_has_more_ohms():
    good, fair, loose, burnt = (joint_ohms(w) for w in ("good", "fair", "loose", "burnt"))
    assert good == pytest.approx(2e-4)
    assert good < fair < loose < burnt


def test_every_conductor_says_where_it_is_from():
    assert all(len(row.source) > 10 for row in table().conductors.values())


class Holder(Record):
    gauge: Gauge = "10 AWG"
    work: Workmanship = "good"


@pytest.mark.parametrize(
    ("key", "given", "hint"),
    [("gauge", "10 AGW", "10 AWG"), ("gauge", "12", "12 AWG"), ("work", "lose", "loose")],
)
def test_unknown_names_suggest_the_nearest(key, given, hint):
    with pytest.raises(ValueError) as caught:
        Holder(**{key: given})
    assert caught.value.errors()[0]["ctx"]["error"].hint == hint


def test_a_foot_is_a_foot():
    assert ohms_of("10 AWG", parse("1000 ft", "m")) == pytest.approx(1.24)
