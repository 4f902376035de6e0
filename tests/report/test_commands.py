"""The commands over attempts that were really played: files written, refusals without traceback."""

import json
import os
import shutil
from pathlib import Path

import pytest

from trainer.cli.main import main

MOVES = Path(__file__).parents[1] / "session" / "moves"
DAY = "2026-03-02"


def play(folder, scenario, moves, name, *more):
    path = folder / name
    words = ["play", scenario, "--moves", str(MOVES / scenario / f"{moves}.yaml"), *more]
    assert main([*words, "--out", str(path)]) == 0
    return path


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    place = tmp_path_factory.mktemp("attempts")
    play(place, "make-it-dead", "wrong-ohms-on-the-line", "ohms")
    play(place, "make-it-dead", "wrong-line-side-of-the-pull-out", "line")
    play(place, "hum-and-no-turn", "wrong-thumb-on-the-line-side", "thumb")
    return place


def data_of(capsys):
    return json.loads(capsys.readouterr().out)["data"]


@pytest.mark.parametrize("name", ["ohms", "line", "thumb"])
@pytest.mark.parametrize("kind", ["html", "txt", "json"])
def test_a_debrief_is_written(folder, tmp_path, capsys, name, kind):
    out = tmp_path / f"page.{kind}"
    assert main(["debrief", str(folder / name), "-o", str(out)]) == 0
    text = out.read_text(encoding="utf-8")
    assert "What would you do differently?" in text
    assert "Not safe yet" in text and "Not safe yet" in capsys.readouterr().out


def test_a_death_is_told_in_this_attempts_numbers(folder, capsys):
    events = [json.loads(line) for line in (folder / "thumb").read_text().splitlines()[1:]]
    shock = next(e for e in events if e["kind"] == "shock")
    assert main(["debrief", str(folder / "thumb"), "--json"]) == 0
    ending = data_of(capsys)["ending"]
    facts = dict(ending["facts"])
    amps = max(shock["data"]["amps"], shock["data"]["peak_a"])
    assert facts["Current through the body"] == f"{1000 * amps:.0f} mA"
    assert facts["For"] == f"{shock['data']['for_s']:g} s"
    assert ending["event"] == shock["seq"] and ending["prevents"]


def test_a_lost_unit_is_told_as_the_end(tmp_path, capsys):
    """A 40 mm screw over Larkspur Row's discharge line, 600 to 630 mm across."""
    moves, path = tmp_path / "long-screw.yaml", tmp_path / "lost"
    mount = "act: mount, part: lug, x: 610, y: 200, screw_mm: 40"
    moves.write_text(
        f"moves: 1\nscenario: make-it-dead\nacts:\n  - {{{mount}}}\n", encoding="utf-8"
    )
    assert main(["play", "make-it-dead", "--moves", str(moves), "--out", str(path)]) == 0
    capsys.readouterr()
    assert main(["debrief", str(path), "--json"]) == 0
    data = data_of(capsys)
    assert data["mark"]["ended"] == "loss" and data["verdict"] == "Not safe yet"
    assert dict(data["ending"]["facts"])["What happened"].endswith("the discharge-line.")


def test_without_a_file_it_is_text_in_order(folder, capsys):
    assert main(["debrief", str(folder / "ohms")]) == 0
    short = capsys.readouterr().out
    assert main(["debrief", str(folder / "ohms"), "--all"]) == 0
    assert len(capsys.readouterr().out) > len(short)
    assert short.index("What would you") < short.index("VERDICT AND MARKS")


def test_two_attempts_are_compared(folder, tmp_path, capsys):
    words = ["compare", str(folder / "ohms"), str(folder / "line")]
    assert main([*words, "--json"]) == 0
    assert data_of(capsys)["attempts"] == ["ohms", "line"]
    assert main([*words, "-o", str(tmp_path / "both.html")]) == 0
    assert "Two attempts" in (tmp_path / "both.html").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (["debrief", "{ohms}", "-o", "page.pdf"], 2),
        (["debrief", "{nowhere}"], 4),
        (["debrief", "{ohms}", "-o", "{nowhere}/page.html"], 3),
        (["debrief", "{changed}"], 1),
        (["compare", "{ohms}", "{thumb}"], 3),
        (["compare", "{ohms}", "{nowhere}"], 4),
        (["compare", "{ohms}", "{line}", "-o", "both.txt"], 2),
        (["progress", "{nowhere}"], 4),
        (["progress", "{ohms}", "--today", "soon"], 2),
        (["progress", "{changed}"], 3),
    ],
)
def test_refusals_are_sentences(folder, tmp_path, capsys, words, code):
    changed = tmp_path / "changed"
    whole = (folder / "ohms").read_text()
    changed.write_text(whole.replace('"at_ms":0', '"at_ms":1', 1))
    assert changed.read_text() != whole
    names = {n: folder / n for n in ("ohms", "line", "thumb", "nowhere")}
    given = [w.format(**names, changed=changed) for w in words]
    assert main(given) == code
    said = capsys.readouterr().err
    assert said.strip() and "Traceback" not in said
    assert main([*given, "--json"]) == code
    assert json.loads(capsys.readouterr().out)["ok"] is False


def test_a_graded_attempt_stays_sealed_without_its_key(tmp_path, capsys):
    key = tmp_path / "key"
    assert main(["key", "new", str(key)]) == 0
    lock = next(p for p in tmp_path.iterdir() if p != key)
    path = play(tmp_path, "make-it-dead", "wrong-ohms-on-the-line", "graded", "--graded", str(lock))
    assert main(["debrief", str(path)]) not in (0, 70)
    assert "Traceback" not in capsys.readouterr().err
    assert main(["debrief", str(path), "--key", str(key)]) == 0


def test_progress_takes_the_day_from_the_wall_file(folder, tmp_path, capsys):
    for name in ("ohms", "line"):
        shutil.copy(folder / name, tmp_path / name)
        os.utime(tmp_path / name, (0, 0))
    (tmp_path / "ohms.wall").write_text(f"5 {DAY}T10:00:00.000+00:00\n", encoding="ascii")
    (tmp_path / "notes").write_text("no attempt", encoding="utf-8")
    assert main(["progress", str(tmp_path), "--today", "2026-03-09", "--json"]) == 0
    envelope = json.loads(capsys.readouterr().out)
    days = {a["file"]: a["day"] for a in envelope["data"]["attempts"]}
    assert days == {"ohms": DAY, "line": "1970-01-01"}
    assert len(envelope["warnings"]) == 1 and "notes" in envelope["warnings"][0]
    row = next(o for o in envelope["data"]["objectives"] if o["scenario"] == "make-it-dead")
    assert row["status"] == "begun" and row["attempts"] == 2
    assert main(["progress", str(tmp_path), "--today", "2026-03-09"]) == 0
    assert "Next: " in capsys.readouterr().out
