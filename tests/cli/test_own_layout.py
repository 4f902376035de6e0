"""Every command that takes a scenario works with a layout file of the instructor's own.

Invented: a shipped unit under another title, and the scenario that `scenarios new` writes.
"""

import io
import json

import pytest

from trainer.cli.main import main
from trainer.scenario.load import load_scenario
from trainer.unit.layout import layouts_dir, load_layout

MOVES = """\
moves: 1
acts:
  - {act: read, what: diagram}
  - {act: take off, cover: disconnect-front}
"""


@pytest.fixture
def folder(tmp_path, monkeypatch):
    text = (layouts_dir() / "larkspur-row.yaml").read_text(encoding="utf-8")
    (tmp_path / "layouts").mkdir()
    (tmp_path / "layouts" / "yard.yaml").write_text(text.replace("Larkspur", "Yard"))
    (tmp_path / "moves.yaml").write_text(MOVES)
    monkeypatch.chdir(tmp_path)
    words = ["scenarios", "new", "A yard", "--layout", "layouts/yard.yaml", "-o", "job.yaml"]
    assert main(words) == 0
    return tmp_path


def test_check_proves_it(folder, capsys):
    assert main(["check", "job.yaml"]) == 0
    assert main(["check", "."]) == 0
    assert "layouts/yard.yaml: layout in order" in capsys.readouterr().out


def test_show_and_preview(folder, capsys):
    assert main(["scenarios", "show", "job.yaml"]) == 0
    assert "Yard Row" in capsys.readouterr().out
    assert main(["scenarios", "preview", "job.yaml", "-o", "board.png"]) == 0
    assert (folder / "board.png").read_bytes().startswith(b"\x89PNG")


def test_a_new_one_names_a_layout_that_is_there(folder, capsys):
    words = ["scenarios", "new", "B", "--layout", "layouts/yord.yaml", "-o", "other.yaml"]
    assert main(words) != 0
    assert "no layout file 'layouts/yord.yaml'" in capsys.readouterr().err
    assert not (folder / "other.yaml").exists()


def test_played_it_is_recorded_and_replayed_without_the_file(folder, capsys):
    assert main(["play", "job.yaml", "--moves", "moves.yaml", "--out", "a.jsonl"]) == 0
    header = json.loads((folder / "a.jsonl").read_text().splitlines()[0])
    laid = load_layout(folder / "layouts" / "yard.yaml")
    assert (header["layout"], header["layout_digest"]) == ("layouts/yard.yaml", laid.digest)
    (folder / "layouts" / "yard.yaml").unlink()
    assert main(["replay", "a.jsonl", "--verify"]) == 0
    assert "verified" in capsys.readouterr().out


def test_gone_on_with_after_the_file_was_changed(folder, monkeypatch, capsys):
    monkeypatch.setattr("sys.stdin", io.StringIO("take off disconnect-front\n"))
    assert main(["bench", "job.yaml", "--out", "a.jsonl"]) == 0
    yard = folder / "layouts" / "yard.yaml"
    yard.write_text(yard.read_text().replace("disconnect-front", "other-front"))
    monkeypatch.setattr("sys.stdin", io.StringIO("take off disconnect-front\n"))
    assert main(["bench", "job.yaml", "--out", "a.jsonl"]) == 0
    assert "off already" in capsys.readouterr().out


def test_a_bench_without_a_job(folder, monkeypatch, capsys):
    monkeypatch.setattr("sys.stdin", io.StringIO("take off disconnect-front\n"))
    assert main(["bench", "layouts/yard.yaml", "--out", "a.jsonl"]) == 0
    assert "The disconnect-front is off" in capsys.readouterr().out
    header = json.loads((folder / "a.jsonl").read_text().splitlines()[0])
    assert header["layout"] == "yard.yaml"


def test_another_layout_of_the_same_name_is_another_scenario(folder):
    before = load_scenario("job.yaml").digest
    yard = folder / "layouts" / "yard.yaml"
    yard.write_text(yard.read_text().replace("Yard", "Court"))
    assert load_scenario("job.yaml").digest != before


def test_a_shipped_scenario_records_its_layout_too(folder, capsys):
    assert main(["play", "make-it-dead", "--moves", "moves.yaml", "--out", "b.jsonl"]) == 0
    lines = (folder / "b.jsonl").read_text().splitlines()
    header, first = json.loads(lines[0]), json.loads(lines[1])
    assert header["layout_digest"] == load_layout(header["layout"]).digest
    assert "layout" not in first["data"]["found"]
