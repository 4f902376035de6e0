"""A shipped job done by hand, with the pointer alone and with keys alone, gives the events that its
file of acts gives: the same acts with the same arguments, and so the same results.
"""

from functools import cache

import pytest

from tests.outside import share
from tests.view.clicks import Clicks, perform
from tests.view.hands import Hands
from trainer.base.places import scenarios_dir
from trainer.scenario.load import load_scenario
from trainer.session.acts import load_moves
from trainer.session.attempt import differs, start
from trainer.session.opening import opening
from trainer.unit.layout import load_layout


class Pointing:
    """Presses by clicks; letters are typed into the field that was clicked."""

    def __init__(self, hands):
        self.hands = hands

    def has(self, name):
        return self.hands.frame.node(name) is not None

    def chosen(self, name):
        return self.hands.node(name).chosen

    def value(self, name):
        return self.hands.node(name).value

    def press(self, name):
        self.hands.click(name)

    def fill(self, name, text):
        self.press(name)
        self.hands.key("backspace", ctrl=True)
        self.hands.type(text)
        assert self.value(name) == text, f"{name} holds {self.value(name)}"


class Keying(Pointing):
    """Presses by leading the focus there with keys and Enter; no pointer at all."""

    def press(self, name):
        self.hands.focus_on(name)
        self.hands.key("return")

    def fill(self, name, text):
        self.hands.focus_on(name)
        self.hands.key("backspace", ctrl=True)
        self.hands.type(text)
        assert self.value(name) == text, f"{name} holds {self.value(name)}"


@cache
def acts_of(name):
    return tuple(load_moves(scenarios_dir() / "moves" / f"{name}.yaml").acts)


@cache
def played(name):
    """Kind, time and data of every event after the first, from the file of acts alone."""
    unit, header, found = opening(name, 0)
    running = start(unit, None, header, "learner", found)
    for act in acts_of(name):
        running.do(act)
    return [(e.kind, e.at_ms, dict(e.data)) for e in running.events[1:]]


def by_hand(name, kind, size=(1280.0, 800.0)):
    """The events of a job done through the screen, and how many presses it took."""
    hands = Hands(size)
    hands.begin(name)
    assert hands.app.screen == "bench", hands.app.trouble
    screen = kind(hands)
    clicks = Clicks(load_layout(load_scenario(name).layout))
    for n, act in enumerate(acts_of(name)):
        before = len(hands.app.job.events)
        steps = clicks.steps(act.model_dump(mode="json"))
        try:
            perform(screen, steps)
        except AssertionError as error:
            raise AssertionError(f"act {n}, {act}: {steps}: {error}") from error
        asked = [e for e in hands.app.job.events[before:] if e.kind == "asked"]
        said = hands.app.trouble or hands.app.job.said
        assert [dict(e.data) for e in asked] == [act.model_dump(mode="json")], (n, steps, said)
    return [(e.kind, e.at_ms, dict(e.data)) for e in hands.app.job.events[1:]]


def unlike(by_hand, played):
    """The first event that is another one, by the tolerance of a replay; "" when there is none."""
    for n, (mine, file) in enumerate(zip(by_hand, played)):
        if mine[:2] != file[:2]:
            return f"event {n + 2}: {mine[:2]} by hand, {file[:2]} in the file"
        found = differs(mine[2], file[2])
        if found:
            return f"event {n + 2}, {mine[0]}: {found}"
    return (
        "" if len(by_hand) == len(played) else f"{len(by_hand)} events, {len(played)} in the file"
    )


@pytest.mark.parametrize("kind", share([Pointing, Keying], 2))
def test_a_job_by_hand_gives_the_events_of_its_acts(kind):
    """All others are done in a real window, by mouse and by keys: ``test_window.py``."""
    assert unlike(by_hand("make-it-dead", kind), played("make-it-dead")) == ""


def test_another_event_is_seen():
    one = [("did", 5, {"what": "look"})]
    assert unlike(one, [("did", 5, {"what": "read"})])
    assert unlike(one, [("did", 6, {"what": "look"})])
    assert unlike(one, [*one, *one])
    assert unlike(one, one) == ""
