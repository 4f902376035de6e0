"""Guided mode stops and explains every dangerous act, and no step of the author's way."""

from types import SimpleNamespace

import pytest

from tests.outside import share
from tests.view.hands import Hands
from tests.view.test_jobs_by_hand import acts_of
from trainer.view.forestalling import _unlocked

JOB = "make-it-dead"


def act(kind, **fields):
    return {"act": kind, **fields}


AC = act("select", instrument="meter", setting="V ac")
OHMS = act("select", instrument="meter", setting="ohms")
AT_SERVICE = act("measure", red="service.L1", black="service.L2")
UNLOCK = act("unlock", part="disconnect")
PROVED, UNPROVED = "absence of volts not proved", "photograph"
#: How far the author's way was gone (to before its first act of a kind), what was done then, the
#: act, words of the stop. Judged by the circuit or by the rules of the job, whichever speaks first.
STOPPED = [
    ("", [], act("lift", wire="P5", end="a"), "ground stays on"),
    ("", [], act("loosen", wire="P5", end="a"), "ground stays on"),
    ("", [], act("lift", wire="P1", end="a"), "would be a shock"),
    ("", [], act("torque", wire="P1", end="a", nm=3.0), "would be a shock"),
    ("", [], act("touch", place="breaker.1i"), "would be a shock"),
    ("", [], act("short", a="service.L1", b="service.L2"), "would be a flash"),
    ("", [], act("discharge", a="service.L1", b="service.L2"), "point is live"),
    ("", [], act("take off", cover="control-panel"), "First: open disconnect"),
    ("", [], act("take off", cover="terminal-cap"), "First: open disconnect"),
    ("", [], act("open", part="disconnect"), "every source listed"),
    ("", [], act("declare dead"), "every power source open"),
    ("", [], act("record", what="known source", value="240 V"), "nobody measured"),
    ("", [], act("hand over"), "more to do"),
    ("", [AC], AT_SERVICE, "without protective equipment"),
    ("", [OHMS], AT_SERVICE, "instrument is hurt"),
    ("lock", [], act("lift", wire="2", end="a"), PROVED),
    ("lock", [], act("declare dead"), "own lock and tag"),
    (UNPROVED, [], act("lift", wire="1", end="b"), PROVED),
    (UNPROVED, [], act("loosen", wire="1", end="b"), PROVED),
    (UNPROVED, [], act("torque", wire="1", end="b", nm=3.0), PROVED),
    (UNPROVED, [], act("wipe", place="can.H"), PROVED),
    (UNPROVED, [], act("short", a="can.C", b="can.H"), PROVED),
    (UNPROVED, [], act("touch", place="contactor.T1", other="contactor.T2"), PROVED),
    (UNPROVED, [], act("close", part="disconnect"), "does not go"),
    (UNPROVED, [], act("declare dead"), "the tester proved"),
    (UNPROVED, [], UNLOCK, "Your lock stays on"),
    ("", [], act("tug", wire="P1", end="a"), "point is live"),
    ("wipe", [], act("lift", wire="3", end="a"), "ground stays on"),
    ("wipe", [], act("lift", wire="P5", end="b"), "ground stays on"),
    ("wipe", [], act("lift", wire="P1", end="a"), "point is live"),
    ("wipe", [], act("touch", place="disconnect.L1"), "point is live"),
    ("wipe", [UNLOCK], act("close", part="disconnect"), "guard off"),
    ("wipe", [UNLOCK], act("lift", wire="4", end="a"), PROVED),
    ("wipe", [], UNLOCK, "Your lock stays on"),
]  # fmt: skip
#: What is no mistake is done.
DONE = [
    ("", [], act("take off", cover="disconnect-front")),
    (UNPROVED, [], act("discharge", a="can.C", b="can.H")),
    ("wipe", [], act("lift", wire="1", end="b")),
    (UNPROVED, [], act("tug", wire="1", end="b")),
]  # fmt: skip


@pytest.fixture(scope="module")
def states():
    """Kind of act -> the bench before the first such act of the author's way."""
    hands, found = Hands(), {}
    hands.begin(JOB, "guided")
    way = [a.model_dump(mode="json") for a in acts_of(JOB)]
    wanted = {row[0] for row in STOPPED} | {""}
    for n, step in enumerate(way):
        if (step["act"] if n else "") in wanted - set(found):
            found[step["act"] if n else ""] = (list(hands.serving.running.events), hands.app)
        hands.send(("anyway", step))
    return hands, found


def brought_to(states, begun, before):
    """Hands in one of the states, a few acts later."""
    hands, found = states
    events, app = found[begun]
    running = hands.serving.running
    hands.serving.running = type(running)(None, list(events))
    hands.app, hands._frame = app, None
    for one in before:
        hands.send(("anyway", one))
    return hands


@pytest.mark.parametrize(("begun", "before", "asked", "words"), share(STOPPED, 3))
def test_a_dangerous_act_is_stopped_and_explained(states, begun, before, asked, words):
    hands = brought_to(states, begun, before)
    events = hands.app.job.events
    hands.send(("act", asked))
    pause = hands.app.job.pause
    assert pause is not None and pause["kind"] == "stopped", "it was done"
    assert words in pause["title"], pause
    assert pause["lines"] and hands.app.job.events == events


@pytest.mark.parametrize(("begun", "before", "asked"), DONE)
def test_what_is_no_mistake_is_done(states, begun, before, asked):
    hands = brought_to(states, begun, before)
    events = len(hands.app.job.events)
    hands.send(("act", asked))
    assert hands.app.job.pause is None and len(hands.app.job.events) > events


@pytest.mark.parametrize("name", ["growl-after-repair", "hum-and-no-turn"])
def test_a_start_that_the_author_shows_failing_is_not_stopped(name):
    way = [a.model_dump(mode="json") for a in acts_of(name)]
    call = next(n for n, step in enumerate(way) if step["act"] == "thermostat")
    hands = Hands()
    hands.begin(name, "guided")
    for step in way[: call + 1]:
        hands.send(("act", step))
        assert hands.app.job.pause is None, (step, hands.app.job.pause)
    assert any(e.kind == "start" for e in hands.app.job.events)


def unlocking(name, part, until, *more):
    """What is said of a lock that comes off after so much of an author's way and some acts more."""
    way = [a.model_dump(mode="json") for a in acts_of(name)]
    asked = [*way[: until(way)], *more]
    running = SimpleNamespace(events=[SimpleNamespace(kind="asked", data=d) for d in asked])
    found = _unlocked({"scenario": name}, running, act("unlock", part=part))
    return found and found["lines"][1]


def unlocks(way):
    return [n for n, step in enumerate(way) if step["act"] == "unlock"]


@pytest.mark.parametrize(
    ("name", "part", "until", "more", "said"),
    [
        ("make-it-dead", "disconnect", len, (), "ends with it on"),
        ("make-it-dead", "indoor", len, (), None),  # not one that the way puts on
        ("choose-the-relay", "disconnect", lambda way: unlocks(way)[0], (), None),
        ("choose-the-relay", "disconnect", lambda way: unlocks(way)[0] - 20, (), "work left"),
        ("choose-the-relay", "disconnect", lambda way: unlocks(way)[0] + 1, (), "work left"),
        ("choose-the-relay", "disconnect", lambda way: unlocks(way)[1], (), None),
        ("choose-the-relay", "disconnect", len, (act("lock", part="disconnect"),), None),
    ],
)
def test_a_lock_comes_off_when_the_hands_are_out(name, part, until, more, said):
    found = unlocking(name, part, until, *more)
    assert found is None if said is None else found is not None and said in found
