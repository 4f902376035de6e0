"""Names of events: none over another, none over a leader, none off the paper."""

import pytest

from trainer.cli import look
from trainer.cli.event_strip import Name, Placed, place, rows

SPAN, LEFT, RIGHT = (0.0, 1.0), 0.1, 0.9


def placed(*names):
    fig = look.figure(10.0, 4.0)
    return {p.name.text: p for p in place(fig, [Name(*n) for n in names], SPAN, LEFT, RIGHT)}


def test_names_far_apart_share_a_row():
    found = placed((0.1, "energised"), (0.6, "90 % speed"))
    assert {p.row for p in found.values()} == {0}


def test_names_close_together_stand_above_one_another():
    found = placed((0.10, "energised"), (0.12, "start capacitor out 21 ms"), (0.14, "back in"))
    assert len({p.row for p in found.values()}) == 3
    assert found["energised"].row > found["back in"].row, "the earlier stands higher"
    assert rows(list(found.values())) == 3


def test_a_name_does_not_run_over_a_leader_that_rises_past_it():
    found = placed((0.10, "start capacitor out 30 ms"), (0.20, "early name that is long enough"),
                   (0.25, "later"))  # fmt: skip
    assert found["start capacitor out 30 ms"].row > found["early name that is long enough"].row


@pytest.mark.parametrize("at", [0.98, 1.0])
def test_a_name_at_the_edge_moves_left(at):
    found = placed((at, "a name that would run off the paper"))
    assert found["a name that would run off the paper"].over > 0.0


def test_no_names_take_one_row():
    assert rows([]) == 1
    assert rows([Placed(Name(0.0, "x"), 2, 0.0)]) == 3
