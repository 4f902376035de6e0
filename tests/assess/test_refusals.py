"""Attempts that are not what a bench wrote are refused, the first bad event named; seals hold."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.assess.made import Script, scripted
from trainer.assess.marking import mark_attempt, mark_file
from trainer.base.errors import POLICY, NotVerifiedError, TrainerError
from trainer.cli.main import main
from trainer.session.log import Log
from trainer.session.sealing import GRADED, KEY_HEAD, SealedError, lock_of, read_key, release


def written(tmp_path: Path, script: Script | None = None, **header: object) -> Path:
    script = script or scripted()
    path = tmp_path / "one.att"
    head = {"program": "0", "learner": "learner", "mode": "moves", **script.header, **header}
    log = Log(path, head)
    log.append(script.events)
    log.close()
    return path


def lines(path: Path) -> list[str]:
    return path.read_text().splitlines()


def put(path: Path, rows: list[str], end: str = "\n") -> None:
    path.write_text("\n".join(rows) + end)


def test_a_whole_file_is_marked(tmp_path):
    assert mark_file(written(tmp_path)).mark.total > 0


def test_check_says_whether_an_attempt_is_whole(tmp_path, capsys):
    path = written(tmp_path)
    assert main(["check", str(path)]) == 0
    assert "attempt in order" in capsys.readouterr().out
    put(path, harmless(lines(path)))
    assert main(["check", str(path)]) == 3
    assert "was changed" in capsys.readouterr().out


def edited(rows):
    rows[30] = rows[30].replace('"at_ms":', '"at_ms":1')
    return rows


def harmless(rows):
    n = next(n for n, row in enumerate(rows) if "people here" in row)
    rows[n] = rows[n].replace("people here", "people hers")
    return rows


def deleted(rows):
    return rows[:30] + rows[31:]


def reordered(rows):
    rows[30], rows[31] = rows[31], rows[30]
    return rows


def cut_inside(rows):
    return rows[:-1]


def header_changed(rows):
    rows[0] = (
        rows[0]
        .replace('"learner":"learner"', '"learner":"someone"')
        .replace('"learner": "learner"', '"learner": "someone"')
    )
    return rows


@pytest.mark.parametrize("change", [edited, harmless, reordered, cut_inside, header_changed])
def test_a_changed_file_is_refused_with_the_first_bad_event(tmp_path, change, capsys):
    path = written(tmp_path)
    put(path, change(lines(path)))
    code = main(["mark", str(path)])
    told = capsys.readouterr().err
    assert code in (1, 3)
    assert "event" in told or "header" in told
    with pytest.raises(TrainerError):
        mark_file(path)


@pytest.mark.parametrize("change", [edited, harmless, cut_inside, header_changed])
def test_no_is_exit_1(tmp_path, change, capsys):
    path = written(tmp_path)
    put(path, change(lines(path)))
    assert main(["mark", str(path)]) == 1
    capsys.readouterr()


def test_the_event_named_is_the_first(tmp_path, capsys):
    path = written(tmp_path)
    rows = lines(path)
    put(path, harmless(rows))
    n = next(n for n, row in enumerate(rows) if "people hers" in row)
    main(["mark", str(path)])
    assert f"event {n} was changed" in capsys.readouterr().err


def test_a_deleted_line_is_a_gap(tmp_path, capsys):
    path = written(tmp_path)
    put(path, deleted(lines(path)))
    assert main(["mark", str(path)]) == 1
    assert "event 30 is missing" in capsys.readouterr().err


def test_a_torn_last_line(tmp_path):
    path = written(tmp_path)
    text = path.read_text()
    path.write_text(text[:-20])
    with pytest.raises(NotVerifiedError, match="cut short"):
        mark_file(path)


@pytest.mark.parametrize("text", ["", "not json\n", "[]\n", '{"attempt": 99}\n', "\x00\x01\n"])
def test_what_is_no_attempt_is_exit_3(tmp_path, text, capsys):
    path = tmp_path / "x.att"
    path.write_text(text)
    assert main(["mark", str(path)]) == 3
    assert "Traceback" not in capsys.readouterr().err


def test_a_missing_file_is_exit_4(tmp_path, capsys):
    assert main(["mark", str(tmp_path / "none.att")]) == 4
    capsys.readouterr()


def test_another_edition_of_the_scenario(tmp_path):
    with pytest.raises(NotVerifiedError, match="another edition"):
        mark_file(written(tmp_path, digest="0" * 64))


def test_an_unknown_kind_of_event(tmp_path):
    script = scripted()
    script.act("look", lambda: script.emit("sung", tune="x"), at="unit")
    with pytest.raises(NotVerifiedError, match="kind this version does not know"):
        mark_file(written(tmp_path, script))


def test_time_that_runs_backwards(tmp_path):
    script = scripted()
    script.at_ms -= 60_000
    script.did("look", at="unit")
    with pytest.raises(NotVerifiedError, match="earlier"):
        mark_file(written(tmp_path, script))


@pytest.fixture
def keys(tmp_path):
    """Two keys of known bytes, invented."""
    paths = []
    for n, byte in enumerate(("11", "22")):
        path = tmp_path / f"key{n}"
        path.write_text(f"{KEY_HEAD}\n{byte * 32}\n")
        paths.append(path)
    return paths


def sealed(tmp_path, key):
    return written(tmp_path, mode=GRADED, lock=lock_of(read_key(key)))


def test_a_graded_attempt_needs_the_key_or_a_release(tmp_path, keys, capsys):
    path = sealed(tmp_path, keys[0])
    assert main(["mark", str(path)]) == POLICY
    assert main(["replay", str(path)]) == POLICY
    assert main(["check", str(path)]) == POLICY
    assert main(["debrief", str(path)]) == POLICY
    assert main(["mark", str(path), "--key", str(keys[1])]) == POLICY
    assert main(["mark", str(path), "--key", str(keys[0])]) == 0
    with pytest.raises(SealedError):
        release(path, {"mode": GRADED, "lock": lock_of(read_key(keys[0]))}, keys[1])
    assert main(["key", "release", str(path), "--key", str(keys[0])]) == 0
    assert main(["mark", str(path)]) == 0
    capsys.readouterr()


def test_a_release_is_of_these_bytes_only(tmp_path, keys, capsys):
    path = sealed(tmp_path, keys[0])
    main(["key", "release", str(path), "--key", str(keys[0])])
    put(path, harmless(lines(path)))
    assert main(["mark", str(path)]) == POLICY
    capsys.readouterr()


@pytest.mark.parametrize("text", ["", "condenser-bench key 1\nzz\n", "other\n" + "11" * 32 + "\n"])
def test_what_is_no_key(tmp_path, keys, text, capsys):
    bad = tmp_path / "bad"
    bad.write_text(text)
    assert main(["mark", str(sealed(tmp_path, keys[0])), "--key", str(bad)]) == 3
    capsys.readouterr()


def test_json_of_a_mark(tmp_path, capsys):
    assert main(["mark", str(written(tmp_path)), "--json"]) == 0
    data = json.loads(capsys.readouterr().out)["data"]
    wanted = {"verdict", "safe", "total", "cut", "domains", "critical", "findings", "scorer",
              "rubric_digest", "attempt_digest"}  # fmt: skip
    assert wanted <= set(data)
    for finding in data["findings"]:
        assert {"rule", "outcome", "events", "sentence", "consequence", "source"} <= set(finding)
        assert finding["outcome"] in ("not met", "not shown")


def test_marking_builds_no_circuit_and_solves_nothing(monkeypatch):
    from trainer.circuit import transient
    from trainer.unit import circuit, world

    script = scripted()
    marked = script.marked()

    def never(*args, **named):
        raise AssertionError("a circuit was asked")

    monkeypatch.setattr(world, "advance", never)
    monkeypatch.setattr(circuit, "elements_of", never)
    monkeypatch.setattr(transient.Transient, "run", never)
    again = mark_attempt(script.attempt, marked.job, marked.rubric)
    assert again.mark.total == marked.mark.total


def test_marking_compiles_nothing(tmp_path):
    code = (
        "import sys; from pathlib import Path; from trainer.assess.marking import mark_file; "
        f"mark_file(Path({str(written(tmp_path))!r})); print('numba' in sys.modules)"
    )
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.strip() == "False"
