"""Commands of hand-ins at the desk: verify, import, list, quarantine; exit codes and words."""

from __future__ import annotations

import json
import stat

import pytest

from tests.classroom.handed import unsafe, written
from tests.cli.classroom import room
from trainer.base.errors import BAD_USAGE, NOT_FOUND, PARTIAL
from trainer.cli.main import main


@pytest.fixture
def desk_room(tmp_path, monkeypatch):
    found = room(tmp_path, monkeypatch, ["L-1", "L-2"])
    yield found
    found.desk.store.close()


def handed(found, *names, **more):
    started = found.desk.now_ms - 3_600_000
    files = {
        f"{name}.handin": found.made.handin(name, unsafe(), started_ms=started, **more)
        for name in names
    }
    return written(found.folder / "stick", files)


def damaged(content):
    lines = content.split(b"\n")
    lines[3] = lines[3].replace(b'"kind"', b'"kinb"')
    return b"\n".join(lines)


def test_verify_says_yes_or_names_the_first_bad_event(desk_room, capsys):
    [path] = handed(desk_room, "L-1")
    code, out = desk_room.data(capsys, "handin", "verify", str(path))
    assert (code, out["ok"], out["data"]["learner_id"]) == (0, True, "L-1")
    path.write_bytes(damaged(path.read_bytes()))
    code, out = desk_room.data(capsys, "handin", "verify", str(path))
    assert (code, out["ok"]) == (1, False)
    assert out["errors"][0]["code"] == "not_verified"
    assert "event 2" in out["errors"][0]["message"]
    assert desk_room.run(capsys, "handin", "verify", "gone.handin")[0] == NOT_FOUND


def test_import_twice_gives_the_same_receipts(desk_room, capsys, tmp_path):
    handed(desk_room, "L-1", "L-2")
    out = tmp_path / "receipts"
    out.mkdir()
    words = ("handin", "import", str(tmp_path / "stick"), "--receipts", str(out))
    code, first = desk_room.data(capsys, *words)
    assert code == 0
    assert [row["status"] for row in first["data"]["rows"]] == ["imported", "imported"]
    receipts = {p.name: p.read_bytes() for p in out.iterdir()}
    assert len(receipts) == 2
    assert all(stat.S_IMODE(p.stat().st_mode) == 0o600 for p in out.iterdir())
    code, again = desk_room.data(capsys, *words)
    assert code == 0
    assert [row["status"] for row in again["data"]["rows"]] == ["again", "again"]
    assert {p.name: p.read_bytes() for p in out.iterdir()} == receipts


def test_some_put_aside_is_done_in_part_and_none_taken_is_no(desk_room, capsys, tmp_path):
    [one, two] = handed(desk_room, "L-1", "L-2")
    two.write_bytes(damaged(two.read_bytes()))
    code, out, _ = desk_room.run(capsys, "handin", "import", str(one), str(two))
    assert code == PARTIAL
    assert "1 imported, 1 put aside" in out
    assert desk_room.run(capsys, "handin", "import", str(two))[0] == 1
    code, found = desk_room.data(capsys, "handin", "quarantine")
    [aside] = found["data"]
    target = tmp_path / "looked-at"
    code, _ = desk_room.data(
        capsys, "handin", "quarantine", "--show", aside["digest"][:12], "--out", str(target)
    )
    assert code == 0
    assert target.read_bytes() == two.read_bytes()
    words = ("handin", "quarantine", "--show", aside["digest"], "--out", str(target))
    assert desk_room.run(capsys, *words)[0] == BAD_USAGE
    assert desk_room.run(capsys, "handin", "quarantine", "--show", "zz")[0] == NOT_FOUND


def test_a_dry_run_writes_nothing(desk_room, capsys, tmp_path):
    handed(desk_room, "L-1")
    code, out = desk_room.data(capsys, "handin", "import", str(tmp_path / "stick"), "--dry-run")
    assert (code, out["data"]["rows"][0]["status"]) == (0, "would")
    assert desk_room.data(capsys, "handin", "list")[1]["data"] == []


def test_list_names_learners_and_blind_names_nobody(desk_room, capsys, tmp_path):
    handed(desk_room, "L-1")
    desk_room.run(capsys, "handin", "import", str(tmp_path / "stick"))
    _, out = desk_room.data(capsys, "handin", "list", "dead-1")
    [row] = out["data"]
    assert (row["learner_id"], row["state"]) == ("L-1", "graded")
    code, text, _ = desk_room.run(capsys, "handin", "list", "dead-1", "--blind")
    assert code == 0
    assert "L-1" not in text
    assert row["attempt"][:8] not in text


def test_no_secret_is_printed(desk_room, capsys, tmp_path):
    from tests.classroom.handed import SECRET

    handed(desk_room, "L-1")
    for words in (["import", str(tmp_path / "stick")], ["list"], ["quarantine"]):
        for more in ([], ["--json"]):
            _, out, err = desk_room.run(capsys, "handin", *words, *more)
            assert SECRET not in out + err
            assert "INVENTED" not in out + err


@pytest.mark.parametrize("verb", ["verify", "import", "list", "quarantine", "marks"])
def test_every_verb_has_an_example_in_its_help(verb, capsys):
    assert main(["handin", verb, "--help"]) == 0
    assert f"Example: condenser-bench handin {verb}" in " ".join(capsys.readouterr().out.split())


def test_a_folder_for_receipts_must_be_there(desk_room, capsys, tmp_path):
    [path] = handed(desk_room, "L-1")
    gone = str(tmp_path / "gone")
    assert desk_room.run(capsys, "handin", "import", str(path), "--receipts", gone)[0] == NOT_FOUND
    assert json.loads(desk_room.run(capsys, "handin", "list", "--json")[1])["data"] == []
