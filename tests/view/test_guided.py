"""Guided mode: following what it suggests does the job; what would hurt is stopped."""

import pytest

from tests.view.clicks import Clicks, perform
from tests.view.hands import Hands
from tests.view.test_jobs_by_hand import Pointing
from trainer.scenario.load import load_scenario
from trainer.unit.layout import load_layout


def guided(name):
    hands = Hands()
    hands.begin(name, "guided")
    return hands


@pytest.mark.parametrize("name", ["make-it-dead", "empty-three-capacitors"])
def test_following_the_suggestions_passes(name):
    hands = guided(name)
    clicks = Clicks(load_layout(load_scenario(name).layout))
    screen, n = Pointing(hands), 0
    while hands.app.job.step is not None and not hands.app.job.bench.over:
        step = hands.app.job.step
        assert step["n"] == n + 1, (step, hands.app.job.pause)
        perform(screen, clicks.steps(step["act"]))
        n += 1
    hands.send(("debrief",))
    mark = hands.app.page["mark"]
    assert (mark["verdict"], mark["safe"]) == ("pass", True)


def test_a_hand_on_a_live_point_is_stopped_and_nothing_happens():
    hands = guided("make-it-dead")
    before = hands.app.job.events
    hands.send(("act", {"act": "touch", "place": "breaker.1i", "other": "chassis"}))
    assert hands.app.job.pause["kind"] == "stopped"
    assert any("mA" in line for line in hands.app.job.pause["lines"])
    assert hands.app.job.events == before
    hands.click("pause.other")
    assert hands.app.job.pause is None


def test_it_can_be_let_happen():
    hands = guided("make-it-dead")
    hands.send(("act", {"act": "touch", "place": "breaker.1i", "other": "chassis"}))
    hands.click("pause.anyway")
    assert any(e.kind == "shock" for e in hands.app.job.events)
    assert hands.app.job.pause["kind"] == "harm"
    hands.click("pause.back")
    assert not any(e.kind == "shock" for e in hands.app.job.events)


def test_a_refused_act_is_explained():
    hands = guided("make-it-dead")
    hands.send(("act", {"act": "lock", "part": "disconnect"}))
    assert "handle off" in " ".join(hands.app.job.pause["lines"])


def test_every_act_has_words():
    from trainer.session.acts import ACTS
    from trainer.view.guiding import guide

    assert set(guide().acts) == set(ACTS)
