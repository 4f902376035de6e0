"""The thresholds file: every number has a source, and the definitions stand as agreed."""

import pytest

from trainer.starts.thresholds import Thresholds, thresholds

NAMES = list(Thresholds.model_fields)


@pytest.mark.parametrize("name", NAMES)
def test_every_number_says_where_it_is_from(name):
    assert len(getattr(thresholds(), name).source) > 3


@pytest.mark.parametrize(
    "name, value",
    # definitions of the house: common practice, no source
    [
        ("full_speed", 0.9),
        ("late_after", 0.1),
        ("never_after", 3.0),
        ("slower_than_reference", 1.3),
        ("over_torque", 2.0),
        ("inrush_window", 0.1),
    ],
)
def test_the_definitions(name, value):
    assert getattr(thresholds(), name).value == value


def test_an_ordinary_display_updates_two_to_four_times_a_second():
    assert 2.0 <= thresholds().display_updates.value <= 4.0
