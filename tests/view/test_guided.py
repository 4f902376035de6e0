"""Guided mode: following what it suggests does the job; what would hurt is stopped."""

from types import SimpleNamespace

import pytest

from tests.outside import share
from tests.view.clicks import Clicks, perform
from tests.view.hands import Hands
from tests.view.test_jobs_by_hand import Pointing
from trainer.scenario.load import load_scenario, scenario_names
from trainer.scenario.variants import variant
from trainer.unit.layout import load_layout
from trainer.view.guiding import model
from trainer.view.landing import wrong_landing


def guided(name):
    hands = Hands()
    hands.begin(name, "guided")
    return hands


@pytest.mark.parametrize("name", share(["make-it-dead", "empty-three-capacitors"], 2))
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


# a landing beside its place


def test_an_end_that_lands_where_the_job_has_it_not_is_stopped_before_it_lands():
    hands = guided("dual-capacitor-unit")
    for act in (
        {"act": "take off", "cover": "terminal-cap"},
        {"act": "lift", "wire": "4", "end": "b"},
    ):
        hands.send(("anyway", act))
    before = hands.app.job.events
    hands.send(("act", {"act": "land", "wire": "4", "end": "b", "place": "comp.S:a"}))
    pause = hands.app.job.pause
    assert pause["kind"] == "stopped" and "does not belong on comp.S" in pause["title"]
    assert "Wire 4 runs from contactor.T1 to comp.C." in pause["lines"]
    assert hands.app.job.events == before
    hands.click("pause.anyway")
    assert hands.app.job.bench.unit.conductors["4"].b.on == "comp.S:a"


def test_only_guided_mode_is_told_where_an_end_belongs():
    for mode in ("practice", "graded"):
        hands = Hands()
        hands.begin("dual-capacitor-unit", mode)
        act = {"act": "land", "wire": "4", "end": "b", "place": "comp.S:a"}
        assert hands.serving.answer({"ask": "foresee", "act": act})["wrong"] is None


def wired(name):
    """A unit as it is found, as plain ends that acts can move."""
    unit = variant(load_scenario(name), name, 0).unit
    ends = {t: {"a": c.a.on, "b": c.b.on} for t, c in unit.conductors.items()}
    return (
        {"scenario": name, "seed": 0},
        ends,
        {n: SimpleNamespace(type=p.type) for n, p in unit.parts.items()},
    )


def unit_of(ends, parts):
    conductors = {
        tag: SimpleNamespace(tag=tag, colour="", gauge="", a=SimpleNamespace(on=e["a"]),
                             b=SimpleNamespace(on=e["b"]))
        for tag, e in ends.items()
    }  # fmt: skip
    return SimpleNamespace(conductors=conductors, parts=parts)


@pytest.mark.parametrize("name", scenario_names())
def test_no_landing_of_a_shipped_way_is_stopped(name):
    header, ends, parts = wired(name)
    tray = {n: t.type for n, t in load_scenario(name).tray.items()}
    landed = 0
    for act in model(name):
        wire = str(act.get("wire"))
        if act["act"] == "take wire":
            ends[wire] = {"a": None, "b": None}
        elif act["act"] == "mount":
            parts[act["part"]] = SimpleNamespace(type=tray[act["part"]])
        elif act["act"] == "fit":
            parts[act["part"]] = SimpleNamespace(type=act["type"])
        elif act["act"] == "take down":
            parts.pop(act["part"], None)
        elif act["act"] in ("lift", "cut"):
            ends[wire][act["end"]] = None
        elif act["act"] == "land":
            assert wrong_landing(header, unit_of(ends, parts), act) is None, act
            ends[wire][act["end"]] = act["place"]
            landed += 1
    assert landed == sum(a["act"] == "land" for a in model(name))
