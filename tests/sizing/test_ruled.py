"""A number and the rule that gave it."""

import pytest

from trainer.sizing.ruled import Ruled


def test_a_remark_joins_the_one_before():
    found = Ruled(1.0, "A", "rule", "source").noted("first").noted("second")
    assert found.note == "first; second"


def test_plain_data_of_a_window():
    found = Ruled((1.0, 2.0), "V", "rule", "source")
    assert found.as_data() == {
        "value": [1.0, 2.0],
        "unit": "V",
        "rule": "rule",
        "source": "source",
    }


def test_a_window_is_no_number():
    with pytest.raises(TypeError, match="no single number"):
        Ruled((1.0, 2.0), "V", "rule", "source").number
    with pytest.raises(TypeError, match="no window"):
        Ruled(1.0, "V", "rule", "source").window
