"""The worker: undo cuts back to a side file, resume goes on, a look ahead changes nothing."""

import json

import pytest

from trainer.session.attempt import verify
from trainer.session.log import read
from trainer.view.serving import ASKS, Serving


def begun(path, mode="practice"):
    serving = Serving()
    asked = {"ask": "begin", "name": "make-it-dead", "mode": mode, "seed": 0, "path": str(path)}
    answer = serving.answer(asked)
    assert "error" not in answer, answer
    return serving


def do(serving, act, **fields):
    return serving.answer({"ask": "do", "act": {"act": act, **fields}, "wall": "2026-01-01T12:00"})


@pytest.fixture
def path(tmp_path):
    return tmp_path / "attempts" / "one.att"


def test_what_is_answered_is_what_is_on_disk(path):
    serving = begun(path)
    lines = do(serving, "look")["events"] + do(serving, "set zone")["events"]
    on_disk = [json.loads(x)["seq"] for x in path.read_text("ascii").splitlines()[1:]]
    assert on_disk == [1, *(json.loads(x)["seq"] for x in lines)]
    assert len(read(path).events) == len(serving.running.events)
    assert path.with_name("one.att.wall").read_text("ascii").count("2026-01-01T12:00") == 2


def test_undo_cuts_back_and_keeps_what_was_cut_beside(path):
    serving = begun(path)
    do(serving, "look")
    before = serving.running.events[:]
    do(serving, "open", part="disconnect")
    cut = len(serving.running.events) - len(before)
    assert cut > 0
    answer = serving.answer({"ask": "undo", "acts": 1})
    assert len(answer["events"]) == len(before) and serving.running.events == before
    assert read(path).events == tuple(before)
    side = [p for p in path.parent.iterdir() if p != path and not p.name.endswith(".wall")]
    assert len(side) == 1 and "disconnect" in side[0].read_text("ascii")
    do(serving, "set zone")
    assert verify(read(path)) is None


def test_undo_of_more_than_there_is_ends_at_the_beginning(path):
    serving = begun(path)
    do(serving, "look")
    assert len(serving.answer({"ask": "undo", "acts": 99})["events"]) == 1
    assert len(serving.answer({"ask": "undo", "acts": 1})["events"]) == 1
    assert "error" not in do(serving, "look")


def test_resume_goes_on_where_it_was_left(path):
    serving = begun(path)
    do(serving, "look")
    events = serving.running.events[:]
    serving.close()
    other = Serving()
    answer = other.answer({"ask": "resume", "path": str(path)})
    assert len(answer["events"]) == len(events) and answer["lost"] == ""
    do(other, "set zone")
    assert verify(read(path)) is None


def test_an_act_cut_off_by_a_crash_is_told_on_resuming(path):
    serving = begun(path)
    do(serving, "look")
    do(serving, "set zone")
    serving.close()
    text = path.read_bytes()
    path.write_bytes(text[: len(text) - 30])
    answer = Serving().answer({"ask": "resume", "path": str(path)})
    assert "cut off" in answer["lost"]
    assert sum("look" in line for line in answer["events"]) >= 1


def test_looking_ahead_changes_nothing(path):
    serving = begun(path)
    do(serving, "look")
    before, text, bench = serving.running.events[:], path.read_bytes(), serving.running.bench
    asked = {"act": "open", "part": "disconnect"}
    first = serving.answer({"ask": "foresee", "act": asked})
    again = serving.answer({"ask": "foresee", "act": asked})
    assert first == again and first["foreseen"]
    assert serving.running.events == before and path.read_bytes() == text
    assert serving.running.bench == bench
    done = [json.loads(x) for x in do(serving, "open", part="disconnect")["events"]]
    kinds = [e["kind"] for e in done if e["kind"] not in ("asked", "done")]
    assert [*kinds, "done"] == [h["kind"] for h in first["foreseen"]]


@pytest.mark.parametrize(
    "request_", [{"ask": "no such"}, {}, {"ask": "do", "act": {"act": "look"}}, {"ask": "undo"},
                 {"ask": "debrief"}, {"ask": "resume", "path": "no such file"},
                 {"ask": "begin", "name": "no-such-job"}, {"ask": "turn", "values": {}}],
)  # fmt: skip
def test_what_cannot_be_is_told_in_a_sentence(request_):
    answer = Serving().answer(request_)
    assert set(answer) == {"error"} and len(answer["error"]) > 10


def test_an_act_of_no_form_is_told_and_does_nothing(path):
    serving = begun(path)
    before = path.read_bytes()
    for act in ({"act": "fly"}, {"act": "wait", "seconds": "long"}, {"act": "wait", "seconds": -1}):
        assert "error" in serving.answer({"ask": "do", "act": act})
    assert path.read_bytes() == before


def test_a_file_in_the_way_of_attempts_is_told(tmp_path):
    (tmp_path / "attempts").write_text("in the way", encoding="utf-8")
    asked = {"ask": "begin", "name": "make-it-dead", "path": str(tmp_path / "attempts" / "a.att")}
    assert "error" in Serving().answer(asked)


def test_every_request_answers_with_plain_data(path):
    serving = begun(path)
    for ask in ("suggest", "debrief", "layouts"):
        json.dumps(serving.answer({"ask": ask}))
    assert set(ASKS) >= {"begin", "do", "undo", "foresee", "resume", "home", "debrief"}
