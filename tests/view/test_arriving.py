"""What came in one go: no repeat of a key that is up again, pointer moves merged, answers last."""

from types import SimpleNamespace as Came

from trainer.view.arriving import Arrivals, Kinds

MOTION, DOWN, UP, ANSWER = 1, 2, 3, 4


def arrivals():
    return Arrivals(Kinds(MOTION, DOWN, UP, ANSWER))


def down(key):
    return Came(type=DOWN, key=key)


def up(key):
    return Came(type=UP, key=key)


def test_a_key_that_came_up_while_the_window_was_busy_is_not_repeated():
    came = arrivals()
    first = down(9)
    assert came.sorted_out([first]) == [first]
    late = [down(9), down(9), up(9)]
    assert came.sorted_out(late) == late[2:]


def test_a_key_that_is_held_goes_on_repeating():
    came = arrivals()
    came.sorted_out([down(9)])
    more = [down(9), down(9)]
    assert came.sorted_out(more) == more


def test_two_quick_presses_are_two():
    quick = [down(9), up(9), down(9), up(9), down(8), up(8)]
    assert arrivals().sorted_out(quick) == quick


def test_only_the_last_of_moves_and_answers_last():
    answer, one, two, press = Came(type=ANSWER), Came(type=MOTION), Came(type=MOTION), down(9)
    assert arrivals().sorted_out([answer, one, two, press]) == [two, press, answer]
