"""What can vary, and how a range is written."""

import pytest
from pytest import approx

from tests.starts.variants import study
from trainer.base.errors import TrainerError, UsageError
from trainer.starts.varying import VARIES, parse_range, varied


def test_ranges():
    assert parse_range("start_uf=40..80", 3).values == approx((40.0, 60.0, 80.0))
    assert parse_range("line_v=208,240", 11).values == (208.0, 240.0)
    assert parse_range("line_v=208..240", 1).values == (208.0,)


@pytest.mark.parametrize(
    "text, message",
    [
        ("start_mf=40..80", "'start_mf' cannot vary"),
        ("start_uf=40-80", "no range of numbers"),
        ("start_uf", "no range of numbers"),
        ("start_uf=0..80", "cannot be 0"),
        ("start_uf=nan..80", "cannot be nan"),
        ("line_v=1..inf", "cannot be"),
    ],
)
def test_ranges_that_are_none(text, message):
    with pytest.raises(UsageError, match=message):
        parse_range(text, 3)


@pytest.mark.parametrize(
    "name, value, part, field, si",
    [
        ("start_uf", 150.0, "sc", "capacitance", 150e-6),
        ("run_uf", 40.0, "can", "herm", 40e-6),
        ("pickup_v", 250.0, "pr", "pickup", 250.0),
        ("dropout_v", 60.0, "pr", "dropout", 60.0),
        ("operate_ms", 25.0, "pr", "operate", 0.025),
        ("line_v", 208.0, "service", "volts", 208.0),
        ("closing_deg", 90.0, "service", "closing_angle", 1.5708),
    ],
)
def test_a_value_lands_in_its_part(name, value, part, field, si):
    found = varied(study("potential-relay"), name, value)
    assert getattr(found.parts[part], field) == approx(si, rel=1e-4)


def test_load_and_inertia():
    found = varied(study("potential-relay"), "load_nm", 5.0)
    assert found.parts["comp"].load.torque == 5.0
    found = varied(study("potential-relay"), "inertia", 0.005)
    assert found.parts["comp"].sheet().params.inertia_kg_m2 == 0.005
    assert found.parts["comp"].sheet().params.r_main == approx(0.55)


def test_the_study_itself_stays():
    varied(study("potential-relay"), "line_v", 208.0)
    assert study("potential-relay").parts["service"].volts == 240.0


def test_what_a_study_has_not_cannot_vary():
    with pytest.raises(TrainerError, match="no start capacitor"):
        varied(study("psc"), "start_uf", 98.0)
    with pytest.raises(TrainerError, match="no relay"):
        varied(study("current-relay"), "pickup_v", 98.0)


def test_a_relay_that_would_hold_itself_is_refused():
    with pytest.raises(TrainerError, match="close again at or above"):
        varied(study("potential-relay"), "pickup_v", 60.0)


def test_every_name_is_explained():
    assert all(row.unit and row.meaning for row in VARIES.values())
