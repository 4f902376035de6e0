"""An assignment in the window: dropped, opened with its code, worked, sealed, given, released.

By clicks and by keys alone. The class is invented.
"""

import hashlib
from pathlib import Path
from types import SimpleNamespace

import pytest

from tests.exchange.invented import CODE, HOUR, ID, MADE, assignment
from tests.view.hands import Hands
from trainer.exchange.handin import read_handin
from trainer.exchange.receipt import Receipt, write_receipt


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    return assignment(tmp_path_factory.mktemp("made"))


@pytest.fixture
def hands(tmp_path):
    hands = Hands()
    hands.timed = {
        "now_ms": MADE + HOUR, "mono_ms": 1000, "chance": "invented", "folder": str(tmp_path),
    }  # fmt: skip
    return hands


def typed(hands, name, text):
    hands.click(name)
    hands.type(text)


def opened(hands, made, who="L-07"):
    hands.send(("dropped", str(made[0])))
    if not hands.app.texts.get("assignment.learner"):
        typed(hands, "assignment.learner", who)
    typed(hands, "assignment.code", CODE)
    hands.click("assignment.open")


def test_a_dropped_file_asks_who_it_is_and_shows_its_card(hands, made):
    opened(hands, made)
    assert hands.app.screen == "card"
    facts = dict(hands.app.card["facts"])
    assert facts["Attempts"] == "2 of 2 left; the best one counts"
    assert "UTC" in facts["Due"]
    assert hands.app.card["critical"] == ["Live work"]


def test_a_wrong_code_is_told_and_the_form_stays(hands, made):
    hands.send(("dropped", str(made[0])))
    typed(hands, "assignment.learner", "L-07")
    typed(hands, "assignment.code", "AAAA-AAAA")
    hands.click("assignment.open")
    assert "start code" in hands.app.trouble
    assert hands.app.screen == "assignment"


def worked(hands, made):
    opened(hands, made)
    hands.click("card.begin")
    assert hands.app.screen == "bench"
    assert hands.app.job.mode == "graded"
    hands.send(("act", {"act": "look", "at": "disconnect"}))
    hands.timed["mono_ms"] += 60_000


def test_handing_over_seals_the_attempt(hands, made):
    worked(hands, made)
    path = hands.app.job.path
    hands.send(("act", {"act": "hand over", "words": "done"}))
    assert hands.app.screen == "assignment"
    got = read_handin(Path(hands.app.card["sealed"]).read_bytes(), "x")
    assert got.attempt == Path(path).read_bytes()
    assert (got.claim.learner_id, got.claim.no, got.elapsed_ms) == ("L-07", 1, 60_000)
    assert hands.app.card["left"] == 1


def test_an_attempt_is_sealed_as_it_is(hands, made):
    worked(hands, made)
    hands.send(("form", "finish"))
    hands.click("finish.seal")
    assert hands.app.card["sealed"].endswith("attempt-1.handin")


def test_left_and_gone_on_with(hands, made):
    worked(hands, made)
    events = len(hands.app.job.events)
    hands.timed["now_ms"] += HOUR
    hands.serving.answer({"ask": "close", **hands.timed})
    hands.send(("screen", "home"))
    opened(hands, made)
    assert hands.app.card["under_way"]
    hands.click("card.begin")
    assert len(hands.app.job.events) == events
    hands.send(("act", {"act": "hand over", "words": "done"}))
    got = read_handin(Path(hands.app.card["sealed"]).read_bytes(), "x")
    assert len(got.claim.sittings) == 2


def test_its_debrief_waits_for_the_release(hands, made):
    worked(hands, made)
    hands.send(("debrief",))
    assert "not released" in hands.app.trouble


def test_given_received_and_released(hands, made, tmp_path):
    worked(hands, made)
    path = hands.app.job.path
    hands.send(("act", {"act": "hand over", "words": "done"}))
    sealed = Path(hands.app.card["sealed"]).read_bytes()
    stick = tmp_path / "stick"
    stick.mkdir()
    typed(hands, "assignment.folder", str(stick))
    hands.click("assignment.give")
    assert [p.read_bytes() for p in stick.iterdir()] == [sealed]
    digest = read_handin(sealed, "x").digest
    receipt = tmp_path / "one.receipt"
    receipt.write_bytes(
        write_receipt(Receipt(1, ID, "L-07", 1, digest, MADE + HOUR, 0, True), made[1])
    )
    hands.send(("dropped", str(receipt)))
    assert "was received" in hands.app.notice
    release = tmp_path / "one.release"
    with open(path, "rb") as file:
        release.write_text(made[1].sign(hashlib.sha256(file.read()).digest()).hex() + "\n")
    hands.send(("dropped", str(release)))
    assert hands.app.screen == "debrief"
    assert hands.app.page["mark"]["mode"] == "graded"


@pytest.mark.parametrize("level", ["points", "full"])
def test_marks_dropped_tell_or_open_what_they_allow(hands, made, tmp_path, level):
    from trainer.exchange.marks import write_marks

    worked(hands, made)
    path = Path(hands.app.job.path)
    hands.send(("act", {"act": "hand over", "words": "done"}))
    seal = made[1].sign(hashlib.sha256(path.read_bytes()).digest()).hex()
    view = {"verdict": "fail", "total": "12.5"}
    marks = tmp_path / "one.marks"
    marks.write_bytes(write_marks((ID, "L-07", 1), seal if level == "full" else "", view, made[1]))
    hands.send(("dropped", str(marks)))
    if level == "full":
        assert hands.app.screen == "debrief"
    else:
        assert hands.app.notice == "Attempt 1: fail, 12.5 of 100."
        assert hands.app.screen != "debrief"


def test_home_lists_it_with_how_far_it_is(hands, made, tmp_path):
    worked(hands, made)
    answer = hands.serving.answer(
        {"ask": "home", "folder": str(tmp_path / "attempts"), "today": 739_000}
    )
    (row,) = answer["home"]["assignments"]
    assert (row["learner"], row["used"], row["under_way"]) == ("L-07", 1, True)
    hands.send(("screen", "home"))
    hands.send(("came", {"ask": "home"}, answer))
    hands.click("assigned.0")
    assert hands.app.texts["assignment.learner"] == "L-07"


def test_enter_leads_from_the_number_to_the_code_and_opens(hands, made):
    hands.send(("dropped", str(made[0])))
    hands.type("L-08")
    hands.key("return")
    assert (hands.app.trouble, hands.app.focus) == ("", "assignment.code")
    hands.type(CODE)
    hands.key("return")
    assert hands.app.screen == "card"


def test_by_keys_the_sealed_file_is_copied_before_home_stands_out(hands, made, tmp_path):
    worked(hands, made)
    hands.key("tab")
    hands.send(("act", {"act": "hand over", "words": "done"}))
    assert hands.node("assignment.folder").name == hands.app.focus
    hands.type(str(tmp_path))
    hands.key("return")
    assert "Wrote" in hands.app.notice
    assert hands.node("trouble.close").name == hands.app.focus
    hands.key("return")
    assert hands.node("assignment.home").main and not hands.node("assignment.give").main


def test_a_title_that_is_the_job_s_stands_once():
    from trainer.view.assigned import _titled

    one = SimpleNamespace(title="Week 1", scenario_title="Make it dead")
    same = SimpleNamespace(title="Make it dead", scenario_title="Make it dead")
    assert _titled(one) == "Week 1: Make it dead"
    assert _titled(same) == "Make it dead"


def test_by_keys_alone_from_the_dropped_file_to_the_bench(hands, made):
    hands.send(("dropped", str(made[0])))
    hands.type("L-08")
    hands.key("tab")
    hands.type(CODE.lower())
    hands.key("tab")
    hands.key("return")
    assert hands.app.screen == "card"
    assert hands.node("card.back").name == hands.app.focus  # what costs nothing
    for _ in range(6):
        if hands.app.focus == "card.begin":
            break
        hands.key("tab")
    hands.key("return")
    assert hands.app.screen == "bench"
