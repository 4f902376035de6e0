"""The command that sizes a unit from its nameplate."""

import json

import pytest

from trainer.cli.main import main
from trainer.cli.size import LABELS, value_text
from trainer.sizing.ruled import Ruled

PLATE = """\
nameplate: 1
title: invented [unit]
volts: 230 V
hz: 60 Hz
compressor: scroll
rla: 13.9 A
lra: 79 A
run_capacitor: 35 uF
fan_fla: 1.2 A
"""


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "plate.yaml"
    path.write_text(PLATE, encoding="utf-8")
    return path


def as_json(capsys, *words):
    code = main(["size", *map(str, words), "--json"])
    return code, json.loads(capsys.readouterr().out)


def test_json_has_the_envelope_and_the_figures(file, capsys):
    code, answer = as_json(capsys, file)
    assert (code, answer["ok"], answer["errors"]) == (0, True, [])
    figures = answer["data"]["figures"]
    assert figures["minimum_circuit_ampacity"]["value"] == pytest.approx(18.575)
    assert figures["largest_breaker"]["value"] == 25.0
    assert answer["data"]["aid"]["kind"] == "none"
    assert [proof["outcome"] for proof in answer["data"]["proofs"]][:2] == ["clean", "clean"]


def test_every_figure_has_a_name_a_tradesman_reads(file, capsys):
    _, answer = as_json(capsys, file, "--no-prove")
    assert set(answer["data"]["figures"]) <= set(LABELS)


def test_text_begins_with_the_answer_and_ends_with_cautions(file, capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "120")
    assert main(["size", str(file), "--no-prove"]) == 0
    text = capsys.readouterr().out
    lines = text.splitlines()
    assert lines[0] == "invented [unit]"
    assert lines[2].startswith("No start aid")
    assert "[NEC 2023 440.32, 440.33 and 440.35]" in " ".join(text.split())
    assert "Rules [and their sources]" in text
    assert "Training aid only" in text
    assert "Make dead" in lines[-1]


def test_a_shipped_nameplate_by_its_bare_name(capsys):
    code, answer = as_json(capsys, "scroll-on-a-town-service", "--no-prove")
    assert (code, answer["data"]["title"]) == (0, "Scroll, 230 V 60 Hz, on a town service")


def test_a_name_nobody_knows(capsys):
    code, answer = as_json(capsys, "porch")
    assert code == 4
    assert "scroll-on-a-town-service" in answer["errors"][0]["hint"]


def test_every_fault_of_a_file_with_its_line(file, capsys):
    text = PLATE.replace("13.9 A", "13.9").replace("35 uF", "35 V")
    file.write_text(text, encoding="utf-8")
    code, answer = as_json(capsys, file)
    assert code == 3
    assert [error["where"].split()[0].rsplit(":", 1)[1] for error in answer["errors"]] == ["6", "8"]


@pytest.mark.parametrize(
    ("change", "where"),
    [
        (("79 A", "200 A"), "lra"),
        (("35 uF", "150 uF"), "run_capacitor"),
        (("35 uF", "5 uF"), "run_capacitor"),
    ],
)
def test_a_plate_no_motor_can_have_is_refused_with_the_reason(file, capsys, change, where):
    file.write_text(PLATE.replace(*change), encoding="utf-8")
    code, answer = as_json(capsys, file)
    assert code == 3
    assert where in answer["errors"][0]["where"]
    assert answer["errors"][0]["message"]


@pytest.mark.parametrize(
    ("ruled", "text"),
    [
        (Ruled(88e-6, "F", "", ""), "88 µF"),
        (Ruled((88e-6, 135e-6), "F", "", ""), "88 µF to 135 µF"),
        (Ruled((200.0, 150.0), "V", "", ""), "none (200 V > 150 V)"),
        (Ruled("10 AWG", "AWG", "", ""), "10 AWG"),
        (Ruled(None, "VA", "", ""), "--"),
        (Ruled(0.0378, "ratio", "", ""), "3.78 %"),
    ],
)
def test_values_as_a_person_writes_them(ruled, text):
    assert value_text(ruled) == text
