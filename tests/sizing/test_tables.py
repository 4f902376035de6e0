import pytest
from pydantic import ValidationError

from trainer.sizing import tables


def test_every_block_of_the_code_tables_names_its_source():
    assert all(getattr(block, "source", "") for _, block in tables.codes())


def test_larger_copper_carries_more_with_less_resistance():
    rows = list(tables.codes().copper.rows.values())
    ohms = [row.stranded_ohm_per_kft for row in rows]
    assert ohms == sorted(ohms, reverse=True)
    assert [row.at_60_c for row in rows] == sorted(row.at_60_c for row in rows)


def test_relay_classes_follow_one_another_without_a_gap():
    classes = list(tables.start_gear().relay_classes.values())
    tops = [row.pickup[1] for row in classes[:-1]]
    assert tops == [row.pickup[0] for row in classes[1:]]


def test_start_capacitors_rise_and_are_named_by_their_range():
    cans = tables.start_gear().start_capacitors
    assert [can.range for can in cans] == sorted(can.range for can in cans)
    assert "88-108 µF" in [can.label for can in cans]


def test_a_relay_that_lets_go_above_its_pickup_is_refused():
    with pytest.raises(ValidationError, match="do not rise"):
        tables.RelayClass(
            pickup=("100 V", "120 V"), dropout_least="40 V", dropout_most="110 V",
            continuous="200 V", coil="3 kohm", operate="10 ms", release="10 ms",
        )  # fmt: skip
