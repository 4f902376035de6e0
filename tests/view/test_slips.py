"""Practice: after a slip one line first, the rest on demand; what hurt is left only once it was
done right before.
"""

import pytest

from tests.view.hands import Hands
from trainer.session.events import Event
from trainer.view.frames import frame
from trainer.view.harm import done_right
from trainer.view.shapes import Words, every
from trainer.view.slips import slip_of

OPEN = {"act": "open", "part": "disconnect"}
COVER = {"act": "take off", "cover": "control-panel"}
LIFT = {"act": "lift", "wire": "7", "end": "a"}
OHMS = {"act": "select", "instrument": "meter", "setting": "ohms"}
LIVE = {"act": "measure", "red": "contactor.L1", "black": "contactor.L2"}


def done(name, *acts, mode="practice"):
    hands = Hands()
    hands.begin(name, mode)
    for act in acts:
        hands.send(("act", act))
    return hands


def read_on(hands):
    return " ".join(s.text for s in every(hands.frame.shapes) if isinstance(s, Words))


@pytest.fixture(scope="module")
def slipped():
    """Hands in a unit that was switched off and not proved dead."""
    return done("hum-and-no-turn", OPEN, COVER, LIFT).app


@pytest.fixture
def hands(slipped):
    found = Hands()
    found.app = slipped
    return found


def test_a_slip_is_one_line_and_why_unfolds_the_rest(hands):
    assert hands.app.job.slip["title"] == "A critical error: absence of volts not proved."
    assert "absence of volts not proved" in read_on(hands)
    assert "Known source" not in read_on(hands)
    hands.click("slip.why")
    assert "Known source, every fed point" in read_on(hands)
    assert "NFPA 70E" in read_on(hands)
    hands.click("slip.why")
    assert "Known source" not in read_on(hands)


def test_a_slip_stops_nothing_and_can_be_folded_away(hands):
    assert hands.frame.node("tool.meter") is not None
    assert hands.frame.node("slip.on") is None  # never done right yet: nothing to let happen
    hands.click("slip.fold")
    assert hands.frame.node("slip.why") is None
    hands.focus_on("slip.unfold")
    hands.key("return")
    assert hands.frame.node("slip.why") is not None


def test_each_rule_is_told_when_it_is_broken_first():
    hands = done("hum-and-no-turn", OPEN, COVER, LIFT)
    hands.send(("act", {"act": "land", "wire": "7", "end": "a", "place": "contactor.L2"}))
    assert hands.app.job.slip is None
    hands.send(("undo", 2))
    assert hands.app.job.slip is None
    hands.send(("act", LIFT))
    assert "absence of volts" in hands.app.job.slip["title"]


@pytest.mark.parametrize("mode", ["guided", "graded"])
def test_no_line_outside_practice(mode):
    hands = Hands()
    hands.begin("hum-and-no-turn", mode)
    for act in (OPEN, COVER, LIFT):
        hands.send(("anyway", act))
    assert hands.app.job.slip is None


def test_a_harm_is_one_line_and_only_leads_back_when_it_was_never_done_right():
    hands = done("hum-and-no-turn", COVER, OHMS, LIVE)
    job = hands.app.job
    assert job.pause["title"] == "The instrument is hurt" and not job.bench.over
    assert hands.frame.node("pause.on") is None
    hands.click("pause.back")
    assert not any(e.kind == "harmed" for e in hands.app.job.events)


def plain(*rows):
    return [Event(n + 1, 0, kind, data) for n, (kind, data) in enumerate(rows)]


def test_an_act_is_done_right_when_it_hurt_nobody_and_was_not_refused():
    touch = ("asked", {"act": "touch"})
    end = ("done", {})
    assert done_right(plain(touch, end), {"act": "touch"})
    assert not done_right(plain(touch, ("shock", {}), end), {"act": "touch"})
    assert not done_right(plain(touch, ("refused", {}), end), {"act": "touch"})
    assert not done_right(plain(touch), {"act": "touch"})
    assert not done_right(plain(touch, end), {"act": "short"})


def test_a_test_counts_with_its_own_instrument():
    took = ("asked", {"act": "select", "instrument": "tester"}), ("done", {})
    measured = ("asked", {"act": "measure"}), ("done", {})
    again = ("asked", {"act": "select", "instrument": "meter"}), ("done", {})
    assert done_right(plain(*took, *measured), {"act": "measure"})
    assert not done_right(plain(*took, *measured, *again), {"act": "measure"})


def test_what_hurt_can_be_left_once_the_act_was_done_right(hands):
    for shown in (False, True):
        pause = {"kind": "harm", "title": "Invented", "lines": ["one", "two"], "shown": shown}
        hands.app = hands.app.with_job(pause=pause)
        assert (frame(hands.app).node("pause.on") is not None) == shown
        hands.send(("drop",))
        assert (hands.app.job.pause is None) == shown


@pytest.mark.parametrize("act", ["look", "lift"])
def test_a_start_that_goes_wrong_is_a_slip_only_once_something_was_handled(act):
    went = ("start", {"figures": {"outcome": "stalled"}, "course": {}})
    events = plain(("asked", {"act": act}), ("done", {}), ("asked", {"act": "thermostat"}), went)
    found = slip_of({"scenario": "no such job", "seed": 0}, events, 2)
    if act == "look":
        assert found is None  # a fault that is watched
    else:
        assert found["title"].startswith("This start went wrong: stalled")


def test_a_bench_without_a_job_has_no_rules():
    hands = done("larkspur-row", {"act": "take off", "cover": "control-panel"})
    assert slip_of(hands.app.job.header, hands.app.job.events, 1) is None


def test_a_start_capacitor_that_took_no_part_is_told():
    """Lines of a start, thinned to whole numbers with a scale. Invented."""
    from trainer.view.slips import _idle

    flat = {"near": {"start_capacitor_v": {"scale": 0.5, "points": [0, -3, 4]}}}
    assert "no more than 2 V" in _idle(flat)[0]
    assert _idle({"near": {"start_capacitor_v": {"scale": 0.5, "points": [0, -300, 400]}}}) == []
    assert _idle({"near": {"line_1": {"scale": 1.0, "points": [1]}}}) == [] == _idle({})
