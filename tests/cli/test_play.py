"""A moves file played without a screen."""

import json

from trainer.cli.main import main

MOVES = """\
moves: 1
acts:
  - {act: take off, cover: disconnect-front}
  - {act: open, part: disconnect}
  - {act: touch, place: disconnect.L1}
"""


def test_play_writes_the_attempt_and_tells_the_shock(tmp_path, capsys):
    moves, out = tmp_path / "m.yaml", tmp_path / "a.jsonl"
    moves.write_text(MOVES)
    assert main(["play", "larkspur-row", "--moves", str(moves), "--out", str(out), "--json"]) == 0
    data = json.loads(capsys.readouterr().out)["data"]
    assert [h["place"] for h in data["hurts"]] == ["disconnect.L1"]
    assert out.is_file()


def test_an_unknown_act_names_its_line(tmp_path, capsys):
    moves = tmp_path / "m.yaml"
    moves.write_text("moves: 1\nacts:\n  - {act: levitate}\n")
    out = str(tmp_path / "a.jsonl")
    assert main(["play", "larkspur-row", "--moves", str(moves), "--out", out]) == 3
    assert "m.yaml:3" in capsys.readouterr().err


def test_an_unknown_bench(tmp_path, capsys):
    moves = tmp_path / "m.yaml"
    moves.write_text("moves: 1\nacts: []\n")
    out = str(tmp_path / "a.jsonl")
    assert main(["play", "larkspur-rwo", "--moves", str(moves), "--out", out]) == 4
    assert "larkspur-row" in capsys.readouterr().err
