"""The shipped tables hold together."""

from trainer.sizing import tables


def test_every_block_of_the_code_tables_names_its_source():
    assert all(getattr(block, "source", "") for _, block in tables.codes())


def test_larger_copper_carries_more():
    rows = list(tables.codes().ampacity.copper.values())
    assert [row.at_60_c for row in rows] == sorted(row.at_60_c for row in rows)
    assert all(row.at_60_c < row.at_75_c for row in rows)


def test_relay_classes_follow_one_another_without_a_gap():
    classes = list(tables.start_gear().relay_classes.values())
    tops = [row.pickup[1] for row in classes[:-1]]
    assert tops == [row.pickup[0] for row in classes[1:]]


def test_start_capacitors_rise_and_are_named_by_their_range():
    cans = tables.start_gear().start_capacitors
    assert [can.range for can in cans] == sorted(can.range for can in cans)
    assert "88-108 µF" in [can.label for can in cans]


def test_every_relay_class_lets_go_below_its_pickup_and_lasts_above_it():
    for row in tables.start_gear().relay_classes.values():
        steps = [row.dropout_least, row.dropout_most, *row.pickup, row.continuous]
        assert steps == sorted(steps)
