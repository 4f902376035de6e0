"""The command that checks files: kinds, folders, exit codes, what it proves."""

import json

from trainer.base.places import scenarios_dir
from trainer.cli.main import main


def run(capsys, *words: str) -> tuple[int, str]:
    code = main(["check", *words])
    return code, capsys.readouterr().out


def test_layouts_studies_and_nameplates_are_in_order(capsys):
    names = ("layouts", "studies", "nameplates", "moves")
    folders = [str(scenarios_dir() / name) for name in names]
    code, out = run(capsys, *folders, "--form")
    assert code == 0
    assert "larkspur-row.yaml: layout in order" in out
    assert "psc.yaml: study in order" in out
    assert "makers-table.yaml: nameplate in order" in out
    assert "make-it-dead.yaml: moves in order" in out
    assert "no faults" in out.splitlines()[-1]


def test_bare_names_of_what_ships(capsys):
    code, out = run(capsys, "larkspur-row", "potential-relay", "make-it-dead", "--form")
    assert code == 0
    assert "3 files, no faults" in out


def test_proofs_and_what_they_read(capsys):
    code = main(["check", "dual-capacitor-unit", "--json"])
    found = json.loads(capsys.readouterr().out)
    assert code == 0 and found["ok"]
    proofs = {p["what"]: p for p in found["data"]["files"][0]["proofs"]}
    assert all(p["ok"] for p in proofs.values())
    assert proofs["the target starts cleanly"]["says"] == "it does"
    assert proofs["the model acts score full"]["says"] == "nothing refused, nobody hurt, full marks"


def test_every_fault_of_every_file_and_exit_3(tmp_path, capsys):
    (tmp_path / "one.yaml").write_text("layout: 1\ntitle: x\n")
    (tmp_path / "two.yml").write_text("study: 1\nwires: 3\n")
    (tmp_path / "three.yaml").write_text("pump: 1\n")
    (tmp_path / "left.txt").write_text("scenario: 1\n")
    code, out = run(capsys, str(tmp_path))
    assert code == 3
    for name in ("one.yaml:1", "two.yml:", "three.yaml  this file does not say what it is"):
        assert name in out
    assert "left.txt" not in out
    assert out.splitlines()[-1].startswith("3 files, ")


def test_model_acts_that_cannot_be_done_are_told(tmp_path, capsys):
    jobs, moves = tmp_path / "jobs", tmp_path / "moves"
    jobs.mkdir()
    moves.mkdir()
    text = (scenarios_dir() / "jobs" / "dual-capacitor-unit.yaml").read_text(encoding="utf-8")
    (jobs / "mine.yaml").write_text(text.replace("model: dual-capacitor-unit", "model: mine"))
    (moves / "mine.yaml").write_text(
        "moves: 1\nacts:\n  - {act: look, at: unit}\n"
        "  - {act: land, wire: '4', end: a, place: can.Q}\n"
    )
    code, out = run(capsys, str(jobs / "mine.yaml"))
    assert code == 3
    assert "model  mine.yaml: act 2 is refused: There is no can.Q on this unit." in out


def test_nothing_of_that_name(capsys):
    assert main(["check", "no-such-thing"]) == 4
    assert "no-such-thing" in capsys.readouterr().err


def test_a_file_that_is_not_there_is_a_fault(tmp_path, capsys):
    code, out = run(capsys, str(tmp_path / "gone.yaml"))
    assert code == 3
    assert "there is no such file" in out


def test_model_acts_that_lose_points_are_told(tmp_path, capsys):
    """The same acts without the second look: which item, and how much it costs."""
    jobs, moves = tmp_path / "jobs", tmp_path / "moves"
    jobs.mkdir()
    moves.mkdir()
    text = (scenarios_dir() / "jobs" / "make-it-dead.yaml").read_text(encoding="utf-8")
    (jobs / "mine.yaml").write_text(text.replace("model: make-it-dead", "model: mine"))
    acts = (scenarios_dir() / "moves" / "make-it-dead.yaml").read_text(encoding="utf-8")
    (moves / "mine.yaml").write_text(acts.replace("  - {act: try start}\n", ""))
    code, out = run(capsys, str(jobs / "mine.yaml"))
    assert code == 3
    assert "points lost by P13 before WORK" in out


def test_a_rubric_that_is_not_there(tmp_path, capsys):
    text = (scenarios_dir() / "jobs" / "make-it-dead.yaml").read_text(encoding="utf-8")
    (tmp_path / "mine.yaml").write_text(text.replace("rubric: make-it-dead", "rubric: no-such"))
    code, out = run(capsys, str(tmp_path / "mine.yaml"), "--form")
    assert code == 3
    assert "there is no rubric" in out
