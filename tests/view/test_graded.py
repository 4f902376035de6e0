"""Graded mode: no help, no way back, silent until it is handed over."""

from tests.view.hands import Hands


def graded(name="make-it-dead"):
    hands = Hands()
    hands.send(("exercise", name, "graded"))
    return hands


def test_a_card_comes_first_and_says_what_fails():
    hands = graded()
    assert hands.app.screen == "card"
    card = hands.app.card
    assert len(card["critical"]) >= 5
    assert {label for label, _ in card["facts"]} == {
        "Time",
        "Cut score",
        "Weights",
        "Hints",
        "Attempts",
    }
    assert hands.app.job is None


def test_nothing_is_taken_back_and_nothing_is_judged():
    hands = graded()
    hands.click("card.begin")
    assert hands.app.job.mode == "graded"
    names = {n.name for n in hands.frame.nodes}
    assert not names & {"strip.undo", "strip.hint"}
    hands.send(("act", {"act": "touch", "place": "breaker.1i", "other": "chassis"}))
    assert hands.app.job.pause is None
    before = len(hands.app.job.events)
    hands.send(("undo", 1))
    assert len(hands.app.job.events) == before


def test_its_debrief_waits_for_the_hand_over():
    hands = graded()
    hands.click("card.begin")
    hands.send(("debrief",))
    assert "handed over" in hands.app.trouble
    hands.send(("trouble", ""))
    hands.send(("act", {"act": "hand over", "words": "done"}))
    hands.send(("debrief",))
    assert hands.app.screen == "debrief"
    assert hands.app.page["mark"]["mode"] == "self-graded"
