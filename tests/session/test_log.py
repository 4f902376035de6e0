"""The attempt file: whole lines only, torn ends told and set aside, gaps refused."""

import pytest

from tests.session.jobs import do, plain
from trainer.base.errors import NotFoundError, TrainerError
from trainer.session.attempt import resume, start
from trainer.session.events import Event, from_line, to_line
from trainer.session.log import Log, read


@pytest.fixture(scope="module")
def unit():
    return plain()


@pytest.fixture
def path(tmp_path, unit):
    target = tmp_path / "a.jsonl"
    running = start(unit, target, {"scenario": "larkspur-row"})
    do(running, "stand", where="aside")
    do(running, "tell", who="the customer")
    running.log.close()
    return target


def test_a_line_and_back():
    event = Event(3, 1200, "seen", {"text": 'quote " and \u00e4', "n": [1, 2.5]})
    assert from_line(to_line(event)) == event
    assert to_line(event).isascii()


@pytest.mark.parametrize(
    "line", ["", "[]", "{}", '{"seq":1}', "{" * 5000, '{"seq":true,"at_ms":0,"kind":"x","data":{}}']
)
def test_what_is_no_event_is_refused(line):
    with pytest.raises(TrainerError):
        from_line(line, "a:1")


def test_an_act_is_on_disk_when_it_returns(tmp_path, unit):
    running = start(unit, tmp_path / "b.jsonl", {})
    do(running, "stand", where="aside")
    assert read(tmp_path / "b.jsonl").events == tuple(running.events)


def test_the_ask_is_on_disk_before_anything_is_decided(tmp_path, unit, monkeypatch):
    running = start(unit, tmp_path / "b.jsonl", {})

    def killed(bench, act):
        raise KeyboardInterrupt

    monkeypatch.setattr("trainer.session.attempt.decide", killed)
    with pytest.raises(KeyboardInterrupt):
        do(running, "thermostat", to="call")
    assert read(tmp_path / "b.jsonl").events[-1].data["to"] == "call"


def test_killed_anywhere_only_the_act_in_progress_is_lost(path):
    content = path.read_bytes()
    whole = read(path).events
    first_act_ends = next(e.seq for e in whole if e.kind == "done")
    begun = content.index(b"\n", content.index(b"\n") + 1) + 1
    for cut in range(begun, len(content), 7):
        for old in path.parent.glob("*.torn"):
            old.unlink()
        path.write_bytes(content[:cut])
        resumed = resume(path)
        resumed.running.log.close()
        kept = len(resumed.running.events)
        assert kept in (1, first_act_ends)
        assert tuple(resumed.running.events) == whole[:kept]
        side = path.with_name("a.jsonl.torn")
        torn = side.read_bytes().replace(b"\n", b"") if side.exists() else b""
        kept_bytes = path.read_bytes().replace(b"\n", b"")
        assert sorted(kept_bytes + torn) == sorted(content[:cut].replace(b"\n", b""))
        assert bool(resumed.lost) == bool(torn)


def test_after_a_crash_the_attempt_goes_on(path):
    path.write_bytes(path.read_bytes()[:-30])
    resumed = resume(path)
    assert "cut off" in resumed.lost
    do(resumed.running, "stand", where="in front")
    assert read(path).events == tuple(resumed.running.events)


def test_a_gap_is_refused(path):
    lines = path.read_text().splitlines(keepends=True)
    path.write_text("".join(lines[:3] + lines[4:]))
    with pytest.raises(TrainerError, match="event 3 is missing"):
        read(path)


def test_an_attempt_is_never_written_over(path, unit):
    with pytest.raises(TrainerError, match="already an attempt"):
        start(unit, path, {})


def test_numbers_may_not_jump(tmp_path):
    log = Log(tmp_path / "c.jsonl", {})
    with pytest.raises(TrainerError, match="cannot follow"):
        log.append([Event(2, 0, "seen", {})])


@pytest.mark.parametrize("content", [b"", b"\x00\xff\n", b'{"attempt":99}\n', b"hello\n"])
def test_files_that_are_no_attempt(tmp_path, content):
    path = tmp_path / "d.jsonl"
    path.write_bytes(content)
    with pytest.raises(TrainerError):
        read(path)


def test_a_missing_file(tmp_path):
    with pytest.raises(NotFoundError):
        read(tmp_path / "none.jsonl")
