"""The worker as a process: answers in order; killed, it is told and the attempt resumed."""

import queue
import signal
import threading

import pytest

from trainer.session.attempt import verify
from trainer.session.log import read
from trainer.view.client import Client


class Asking:
    """A client whose answers are waited for."""

    def __init__(self):
        self.rang = threading.Event()
        self.came = queue.Queue()
        self.client = Client(self.rang.set)

    def ask(self, **request):
        self.client.ask(request)
        return self.answer()

    def answer(self):
        while True:
            for pair in self.client.answers():
                self.came.put(pair)
            if not self.came.empty():
                return self.came.get()
            assert self.rang.wait(120.0), "no answer came"
            self.rang.clear()


@pytest.fixture
def asking():
    found = Asking()
    yield found
    found.client.close()


def begin(asking, path):
    return asking.ask(ask="begin", name="make-it-dead", mode="practice", seed=0, path=str(path))


def test_answers_come_in_order_with_their_requests_and_an_error_is_one(asking, tmp_path):
    assert "error" in asking.ask(ask="do", act={"act": "look"})[1]
    assert "error" in asking.ask(ask="begin")[1]
    request, answer = begin(asking, tmp_path / "a.att")
    assert request["ask"] == "begin" and answer["events"]
    for act in ("look", "set zone"):
        asking.client.ask({"ask": "do", "act": {"act": act}})
    assert asking.client.waiting == 2
    found = [asking.answer()[0]["act"]["act"] for _ in range(2)]
    assert found == ["look", "set zone"] and asking.client.waiting == 0


def test_a_killed_worker_is_told_and_its_attempt_can_be_gone_on_with(asking, tmp_path):
    path = tmp_path / "a.att"
    begin(asking, path)
    asking.ask(ask="do", act={"act": "look"})
    kept = len(read(path).events)
    asking.client._process.kill()
    asking.client._process.wait()
    request, answer = asking.ask(ask="do", act={"act": "set zone"})
    assert request["act"]["act"] == "set zone" and "saved" in answer["error"]
    assert asking.client.waiting == 0
    other = Asking()
    try:
        resumed = other.ask(ask="resume", path=str(path))[1]
        assert len(resumed["events"]) == kept
        other.ask(ask="do", act={"act": "set zone"})
    finally:
        other.client.close()
    assert verify(read(path)) is None


def test_a_question_that_was_open_when_the_worker_died_is_answered(asking, tmp_path):
    begin(asking, tmp_path / "a.att")
    asking.client.ask({"ask": "do", "act": {"act": "wait", "seconds": 14400.0}})
    asking.client._process.kill()
    request, answer = asking.answer()
    assert request["act"]["act"] == "wait"
    assert "error" in answer or "events" in answer
    assert asking.client.waiting == 0


def test_after_closing_nothing_is_told_any_more():
    told = []
    client = Client(lambda: told.append(1))
    client.ask({"ask": "warm", "language": "en_US"})
    client.close()
    assert not client._listener.is_alive()
    assert told == []


def test_a_worker_that_only_makes_itself_ready_is_not_waited_for():
    client = Client(lambda: None)
    client.ask({"ask": "warm", "language": "en_US"})
    client.close()
    assert client._process.poll() == -signal.SIGKILL


def test_what_was_asked_before_closing_is_still_done_and_closing_twice_is_no_fault(tmp_path):
    client = Client(lambda: None)
    path = tmp_path / "a.att"
    client.ask({"ask": "begin", "name": "make-it-dead", "mode": "practice", "seed": 0,
                "path": str(path), "who": "learner", "language": "en_US"})  # fmt: skip
    client.close(patience_s=120.0)
    client.close()
    assert client._process.poll() == 0
    assert path.exists()
