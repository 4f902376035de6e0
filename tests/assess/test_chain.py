"""What is not an attempt of this scenario is refused whole, with the first bad event named.

1: the file can be read and is not what a bench wrote; 3: it cannot be read; 4: it is not there;
5: it is graded and not released. Attempts are written by hand (see ``made``) and kept by the log.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.assess.made import Script, scripted
from trainer.cli.main import main
from trainer.session.attempt import complete
from trainer.session.events import Event
from trainer.session.log import Log, read


def written(path: Path, script: Script, **header: Any) -> Path:
    """The attempt on disk, as a bench would write it."""
    head = {"program": "0", "learner": "learner", **script.header, "mode": "moves", **header}
    log = Log(path, head)
    log.append(script.events)
    log.close()
    return path


@pytest.fixture(scope="module")
def whole() -> Script:
    return scripted()


@pytest.fixture
def attempt(tmp_path, whole) -> Path:
    return written(tmp_path / "a.attempt", whole)


def mark(capsys, path: Path, *more: str) -> tuple[int, dict[str, Any]]:
    code = main(["mark", str(path), "--json", *more])
    return code, json.loads(capsys.readouterr().out)


def refused(capsys, path: Path, code: int, *words: str, more: tuple[str, ...] = ()) -> None:
    got, out = mark(capsys, path, *more)
    assert got == code and not out["ok"]
    assert not out.get("data"), "half marked"
    (error,) = out["errors"]
    told = json.dumps(error)
    assert all(word in told for word in words), told


def test_the_whole_file_is_marked(capsys, attempt):
    code, out = mark(capsys, attempt)
    assert code == 0 and out["data"]["total"] > 50


def lines(path: Path) -> list[bytes]:
    return path.read_bytes().splitlines(keepends=True)


def rewrite(path: Path, rows: list[bytes]) -> None:
    path.write_bytes(b"".join(rows))


def test_cut_at_a_line_inside_an_act(capsys, attempt, whole):
    """The last act has no end: the event before the cut is named."""
    rows = lines(attempt)
    rewrite(attempt, rows[:-1])
    refused(capsys, attempt, 1, f"event {len(whole.events) - 1}", "has no end")


def test_cut_at_the_end_of_an_act_is_an_attempt_left_open(capsys, attempt, whole):
    """Nobody can tell it from one that was stopped there, and it is marked as that."""
    rows = lines(attempt)
    last_act = complete(whole.events[:-2])
    rewrite(attempt, rows[: last_act + 1])
    code, out = mark(capsys, attempt)
    assert code == 0 and out["data"]["ended"] == "left open"


def test_a_torn_last_line(capsys, attempt, whole):
    attempt.write_bytes(attempt.read_bytes()[:-7])
    refused(capsys, attempt, 1, f"event {len(whole.events) - 1}", "cut short")


@pytest.mark.parametrize("n", [1, 2, 9, 30])
def test_one_byte_changed(capsys, attempt, n):
    """A digit of its time; a number that then begins with 0 is no JSON any more."""
    rows = lines(attempt)
    at = rows[n].index(b'"at_ms":')
    digit = rows[n][at + 8 : at + 9]
    rows[n] = rows[n][: at + 8] + (b"1" if digit == b"0" else b"0") + rows[n][at + 9 :]
    rewrite(attempt, rows)
    refused(capsys, attempt, 1, f"event {n}")


def test_a_line_that_is_no_json_any_more(capsys, attempt):
    rows = lines(attempt)
    rows[12] = rows[12].replace(b'"', b"'", 1)
    rewrite(attempt, rows)
    refused(capsys, attempt, 1, "event 12", "not JSON")


def test_the_first_of_two_changes_is_named(capsys, attempt):
    """A word changed in event 9, and a line missing after it."""
    rows = lines(attempt)
    assert b"glasses" in rows[9]
    rows[9] = rows[9].replace(b"glasses", b"glassed")
    del rows[20]
    rewrite(attempt, rows)
    refused(capsys, attempt, 1, "event 9 ")


def test_a_letter_changed_in_a_word(capsys, attempt):
    rows = lines(attempt)
    n = next(i for i, row in enumerate(rows) if b'"why":"known source"' in row)
    rows[n] = rows[n].replace(b"known source", b"known sourse")
    rewrite(attempt, rows)
    refused(capsys, attempt, 1, f"event {n} ")


def test_a_line_deleted(capsys, attempt):
    rows = lines(attempt)
    del rows[20]
    rewrite(attempt, rows)
    refused(capsys, attempt, 1, "event 20 is missing")


def test_two_lines_exchanged(capsys, attempt):
    rows = lines(attempt)
    rows[20], rows[21] = rows[21], rows[20]
    rewrite(attempt, rows)
    refused(capsys, attempt, 1, "event 20 is missing")


def test_two_lines_exchanged_and_renumbered(capsys, attempt):
    """Numbers put right by hand; the chain of digests still shows the first that moved."""
    rows = lines(attempt)
    one, other = (json.loads(rows[n]) for n in (20, 21))
    one["seq"], other["seq"] = other["seq"], one["seq"]
    compact = {"separators": (",", ":")}
    rows[20] = json.dumps(other, **compact).encode() + b"\n"  # type: ignore[arg-type]
    rows[21] = json.dumps(one, **compact).encode() + b"\n"  # type: ignore[arg-type]
    rewrite(attempt, rows)
    refused(capsys, attempt, 1, "event 20 ")


def test_the_header_changed(capsys, attempt):
    rows = lines(attempt)
    rows[0] = rows[0].replace(b'"learner": "learner"', b'"learner": "someone"')
    rewrite(attempt, rows)
    refused(capsys, attempt, 1, "the header")


def test_another_version_of_the_file(capsys, attempt):
    rows = lines(attempt)
    rows[0] = rows[0].replace(b'"attempt": 1', b'"attempt": 99')
    rewrite(attempt, rows)
    refused(capsys, attempt, 3, "no attempt file of this version")


def test_another_edition_of_the_scenario(capsys, tmp_path, whole):
    path = written(tmp_path / "b", whole, digest="0" * 64)
    refused(capsys, path, 1, "event 1", "another edition")


def test_a_scenario_that_is_not_there(capsys, tmp_path, whole):
    path = written(tmp_path / "b", whole, scenario="no-such-job")
    refused(capsys, path, 4, "no-such-job")


def edited(change: Callable[[list[Event]], list[Event]]) -> Script:
    """A chain written anew round events that no bench writes."""
    script = scripted(upto="P12")
    rows = change(script.events)
    script.events = [Event(n, e.at_ms, e.kind, e.data) for n, e in enumerate(rows, 1)]
    return script


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda rows: [*rows[:4], Event(0, rows[4].at_ms, "wished", {}), *rows[4:]],
         ("event 5", "does not know")),
        (lambda rows: [*rows[:1], *rows[2:]], ("event 2", "stands where it cannot")),
        (lambda rows: rows[1:], ("event 1", "not the beginning")),
        (lambda rows: [*rows, Event(0, rows[-1].at_ms, "asked", rows[1].data)], ("has no end",)),
        (lambda rows: [*rows[:9], Event(0, 0, rows[9].kind, rows[9].data), *rows[10:]],
         ("event 10", "earlier")),
    ],
)  # fmt: skip
def test_events_that_no_bench_writes(capsys, tmp_path, change, words):
    path = written(tmp_path / "b", edited(change))
    refused(capsys, path, 1, *words)


def test_files_that_are_no_attempt(capsys, tmp_path):
    empty = tmp_path / "empty"
    empty.write_bytes(b"")
    refused(capsys, empty, 3, "no header")
    noise = tmp_path / "noise"
    noise.write_bytes(bytes(range(256)) * 10 + b"\n")
    refused(capsys, noise, 3)
    refused(capsys, tmp_path / "none", 4, "no such attempt")


# -- graded ------------------------------------------------------------------------------------


@pytest.fixture
def keys(tmp_path, capsys) -> tuple[Path, Path, str]:
    """(the key, another one, the lock of the first)."""
    for name in ("mine", "other"):
        assert main(["key", "new", str(tmp_path / name)]) == 0
    capsys.readouterr()
    lock = (tmp_path / "mine.lock").read_text().split("\n")[1]
    return tmp_path / "mine", tmp_path / "other", lock


def test_a_graded_attempt_is_opened_by_its_key_or_its_release(capsys, tmp_path, whole, keys):
    mine, other, lock = keys
    path = written(tmp_path / "g", whole, mode="graded", lock=lock)
    refused(capsys, path, 5, "not released")
    refused(capsys, path, 5, "does not open", more=("--key", str(other)))
    assert mark(capsys, path, "--key", str(mine))[0] == 0
    assert main(["key", "release", str(path), "--key", str(other)]) == 5
    assert main(["key", "release", str(path), "--key", str(mine)]) == 0
    capsys.readouterr()
    assert mark(capsys, path)[0] == 0


def test_a_release_of_another_attempt_opens_nothing(capsys, tmp_path, whole, keys):
    mine, _, lock = keys
    one = written(tmp_path / "one", whole, mode="graded", lock=lock)
    other = written(tmp_path / "other.attempt", scripted(upto="P04"), mode="graded", lock=lock)
    main(["key", "release", str(one), "--key", str(mine)])
    capsys.readouterr()
    (tmp_path / "other.attempt.release").write_bytes((tmp_path / "one.release").read_bytes())
    refused(capsys, other, 5, "not released")


def test_a_release_does_not_cover_what_was_changed_after_it(capsys, tmp_path, whole, keys):
    mine, _, lock = keys
    path = written(tmp_path / "g", whole, mode="graded", lock=lock)
    main(["key", "release", str(path), "--key", str(mine)])
    capsys.readouterr()
    path.write_bytes(path.read_bytes().replace(b"known source", b"known sourse", 1))
    refused(capsys, path, 5, "not released")
    got, out = mark(capsys, path, "--key", str(mine))
    assert got == 1 and not out.get("data")


def test_a_key_file_that_holds_no_key(capsys, tmp_path, whole, keys):
    *_, lock = keys
    path = written(tmp_path / "g", whole, mode="graded", lock=lock)
    bad = tmp_path / "bad"
    bad.write_text("not a key")
    refused(capsys, path, 3, "no key file", more=("--key", str(bad)))
    refused(capsys, path, 4, more=("--key", str(tmp_path / "absent")))


def test_a_key_is_not_written_over(capsys, tmp_path, keys):
    mine, *_ = keys
    before = mine.read_bytes()
    assert main(["key", "new", str(mine)]) != 0
    assert mine.read_bytes() == before


def test_the_log_says_what_is_broken(attempt):
    assert read(attempt).broken is None
