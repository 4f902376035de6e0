"""The caption tells in a sentence what was done and what came of it, in the language spoken."""

import re

import pytest

from tests.view.shown_in import ENGLISH
from trainer.session.acts import ACTS
from trainer.session.events import Event
from trainer.view.captions import DONE, captions, done
from trainer.view.language import speaking
from trainer.view.posing import Pose


def event(kind, **data):
    return Event(1, 0, kind, data)


def test_what_was_done_stands_before_what_came_of_it():
    told = captions([event("asked", act="touch", place="comp.R"), event("seen", text="It is warm."),
                     event("did", what="touch", to="comp.R")])  # fmt: skip
    assert told == ("You touch comp.R.", "It is warm.")


def test_what_was_refused_was_not_done():
    told = captions([event("asked", act="lift", wire="7", end="a"), event("refused", why="No.")])
    assert told == ("No.",)


def test_looking_is_told_by_what_was_seen_and_else_by_itself():
    asked, did = event("asked", act="look", at="can"), event("did", what="look", to="can")
    assert captions([asked, event("seen", text="A can."), did]) == ("A can.",)
    assert captions([asked, did]) == ("You look at can.",)


def test_how_an_end_was_taken_and_landed_is_told():
    end = {"wire": "7", "end": "a"}
    ways = [{"act": "lift", "by": by, **end} for by in ("terminal", "wire")]
    ways += [{"act": "land", "place": "can.C", "push": push, **end} for push in ("fully", "half")]
    assert len({done(act) for act in ways}) == 4


@pytest.mark.parametrize("language", ["en", "es"])
def test_acts_done_at_the_bench_leave_no_caption_empty_or_terse(language):
    with speaking(language):
        pose = Pose().begin("larkspur-row")
        acts = [{"act": "set zone"}, {"act": "open", "part": "disconnect"}]
        acts += [{"act": "take off", "cover": c} for c in ("control-panel", "terminal-cap")]
        acts += [
            {"act": "inspect leads", "instrument": "meter"}, {"act": "look behind", "x": 1, "y": 1},
            {"act": "lift", "wire": "7", "end": "a"}, {"act": "strip", "wire": "7", "end": "a"},
            {"act": "crimp", "wire": "7", "end": "a"}, {"act": "cap", "wire": "7", "end": "a"},
            {"act": "take wire", "wire": "31"}, {"act": "dress", "wire": "31", "how": "tie"},
            {"act": "label", "wire": "31", "end": "a", "text": "S"}, {"act": "clean up"},
        ]  # fmt: skip
        for act in acts:
            pose.act(act)
            told = " ".join(pose.app.job.said)
            assert re.match(r"[A-ZÁÉÍÓÚ¡¿].{8,}\.$", told), (act, told)
            assert language == "en" or not ENGLISH.search(told), told


def test_sentences_are_of_acts_that_are_there():
    assert {name.removesuffix(" half").split(" by ")[0] for name in DONE} <= set(ACTS)
