"""Where things lie on paper."""

import pytest

from tests.scenario.files import dialled
from trainer.cli.board import boxes_of, spot_of
from trainer.unit.catalogue import turned
from trainer.unit.layout import layout_names, load_layout
from trainer.unit.world import at_rest


@pytest.mark.parametrize(
    ("turn", "at"), [(0, (10.0, 5.0)), (90, (15.0, 10.0)), (180, (30.0, 15.0)), (270, (5.0, 30.0))]
)
def test_a_point_of_a_turned_part(turn, at):
    # a part 40 wide and 20 high, a point 10 from its left and 5 from its top, turned clockwise
    assert turned((10.0, 5.0), (40.0, 20.0), turn) == at


def test_what_stands_elsewhere_is_in_the_strip():
    made = dialled()
    boxes = boxes_of(made.unit, made.layout)
    assert {n for n, b in boxes.items() if b.strip} == {
        "service", "breaker", "disconnect", "indoor",
    }  # fmt: skip
    assert all(b.corner[0] < 0.0 for b in boxes.values() if b.strip)


def test_every_end_has_a_spot_and_a_loose_one_none():
    made = dialled()
    boxes = boxes_of(made.unit, made.layout)
    assert all(spot_of(end.on, boxes) for c in made.unit.conductors.values() for end in (c.a, c.b))
    assert spot_of(None, boxes) is None


@pytest.mark.parametrize("name", layout_names())
def test_no_part_lies_on_another_or_beyond_the_enclosure(name):
    layout = load_layout(name)
    boxes = [b for b in boxes_of(at_rest(layout, name), layout).values() if not b.strip]
    for n, one in enumerate(boxes):
        right, low = (c + s for c, s in zip(one.corner, one.size, strict=True))
        assert right <= layout.enclosure[0] and low <= layout.enclosure[1], one.name
        for other in boxes[n + 1 :]:
            apart = (
                right <= other.corner[0] or other.corner[0] + other.size[0] <= one.corner[0]
                or low <= other.corner[1] or other.corner[1] + other.size[1] <= one.corner[1]
            )  # fmt: skip
            assert apart, f"{one.name} and {other.name}"
