"""Scenarios from the command line: list, show, key, new, preview."""

import json

import pytest

from trainer.cli.main import main
from trainer.scenario.template import file_name


def test_the_list(capsys):
    assert main(["scenarios", "list", "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)["data"]["scenarios"]
    by_name = {row["name"]: row for row in rows}
    assert by_name["make-it-dead"]["level"] == 2
    assert by_name["dual-capacitor-unit"]["layout"] == "larkspur-row"


def test_the_list_as_text_needs_no_word(capsys):
    assert main(["scenarios"]) == 0
    assert "level 2  make-it-dead" in capsys.readouterr().out


def test_show_tells_the_job_and_key_the_answers(capsys):
    assert main(["scenarios", "show", "make-it-dead", "--seed", "2"]) == 0
    told = capsys.readouterr().out
    assert "two supplies" in told and "flat battery" not in told
    assert main(["scenarios", "show", "make-it-dead", "--seed", "2", "--key"]) == 0
    assert "meter: flat battery" in capsys.readouterr().out


def test_the_key_as_data(capsys):
    assert main(["scenarios", "show", "make-it-dead", "--seed", "2", "--key", "--json"]) == 0
    data = json.loads(capsys.readouterr().out)["data"]
    assert data["conditions"] == {"meter": "flat battery"}
    assert data["draws"]["supply"] == "235.254 V"


def test_a_new_one_passes_check_and_is_not_overwritten(tmp_path, capsys):
    path = tmp_path / "mine.yaml"
    words = ["scenarios", "new", 'Lead: off "again"', "-o", str(path)]
    assert main(words) == 0
    assert main(["check", str(path), "--form"]) == 0
    assert 'title: "Lead: off \\"again\\""' in path.read_text()
    assert main(words) == 3
    assert "already" in capsys.readouterr().err


def test_the_name_of_a_new_file():
    assert file_name("Hum, and no turn!") == "hum-and-no-turn.yaml"
    assert file_name("../../etc") == "etc.yaml"
    assert file_name("***") == "scenario.yaml"


def test_a_picture(tmp_path):
    path = tmp_path / "board.png"
    assert (
        main(["scenarios", "preview", "dual-capacitor-unit", "--seed", "2", "-o", str(path)]) == 0
    )
    content = path.read_bytes()
    assert content.startswith(b"\x89PNG")
    width, height = (int.from_bytes(content[n : n + 4], "big") for n in (16, 20))
    # the board, and below it the sheet of the door at the same width
    assert width == 2550 and height > 1575


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["dance"], 2, "nothing to do with scenarios"),
        (["show"], 2, "needs the name"),
        (["preview", "make-it-dead"], 2, "needs a picture"),
        (["show", "make-it-deaf"], 4, "make-it-dead"),
        (["show", "gone.yaml"], 4, "no such file"),
    ],
)
def test_what_cannot_be_done_is_said(words, code, said, capsys):
    assert main(["scenarios", *words]) == code
    assert said in capsys.readouterr().err
