"""Older forms are brought up a version at a time; newer and unknown ones are refused."""

import pytest

from trainer.base.errors import TrainerError
from trainer.scenario.upgrades import upgraded


def renamed(old: str, new: str):
    return lambda data: {(new if k == old else k): v for k, v in data.items()}


TABLE = {1: renamed("heading", "title"), 2: renamed("words", "briefing")}


def test_the_present_form_is_left_alone():
    data = {"scenario": 1, "title": "x"}
    assert upgraded(data, 1, {}) is data


def test_two_steps_up():
    old = {"scenario": 1, "heading": "x", "words": "y"}
    assert upgraded(old, 3, TABLE) == {"scenario": 3, "title": "x", "briefing": "y"}


@pytest.mark.parametrize(("version", "words"), [(4, "newer"), (0, "not known"), (-3, "not known")])
def test_other_forms_are_refused(version, words):
    with pytest.raises(TrainerError, match=words):
        upgraded({"scenario": version}, 3, TABLE)


@pytest.mark.parametrize("version", [None, "1", True, 1.5])
def test_what_is_no_number_is_told_by_the_form(version):
    data = {"scenario": version}
    assert upgraded(data, 3, TABLE) is data
