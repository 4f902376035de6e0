"""The energise command: text, JSON, CSV, plot, and input that is wrong."""

import csv
import json

import pytest
from pytest import approx

from trainer.cli.main import main
from trainer.starts.fields import field_names
from trainer.study.load import studies_dir


def run(capsys, *words):
    code = main(["energise", *words])
    return code, capsys.readouterr()


def test_text_for_a_tradesman(capsys):
    code, out = run(capsys, "psc")
    assert code == 0
    assert "CLEAN START" in out.out and "Caution:" in out.out
    assert out.err == ""


def test_one_json_object(capsys):
    code, out = run(capsys, "over-torque", "--json")
    found = json.loads(out.out)
    assert code == 0
    assert set(found) == {"ok", "data", "warnings", "errors"}
    assert found["ok"] is True and found["errors"] == []
    assert list(found["data"]) == field_names()
    assert found["data"]["over_torque"] is True


def test_a_bad_start_is_no_error(capsys):
    code, out = run(capsys, "line-short", "--json")
    assert code == 0
    assert json.loads(out.out)["data"]["outcome"] == "short_circuit"


def test_csv_has_every_line_of_the_record(tmp_path, capsys):
    path = tmp_path / "start.csv"
    assert run(capsys, "psc", "--until", "0.2", "--csv", str(path))[0] == 0
    rows = list(csv.DictReader(path.open(encoding="utf-8")))
    assert {"t_s", "line_1", "v_sc", "speed_rad_s", "leg_1"} <= set(rows[0])
    assert len(rows) == approx(0.2 * 60 * 336, abs=2)
    assert float(rows[-1]["t_s"]) == approx(0.2, abs=1e-4)


def test_plot_is_written(tmp_path, capsys):
    path = tmp_path / "start.png"
    assert run(capsys, "early-open-and-reclose", "--plot", str(path))[0] == 0
    assert path.read_bytes().startswith(b"\x89PNG")


def test_until_and_its_warning(capsys):
    _, out = run(capsys, "potential-relay", "--until", "0.1", "--json")
    found = json.loads(out.out)
    assert found["data"]["judged_at_s"] == approx(0.1, abs=1e-4)
    assert "let it run longer" in found["warnings"][0]


def test_starts_an_hour(capsys):
    _, out = run(capsys, "psc", "--starts-per-hour", "60", "--json")
    many = json.loads(out.out)["data"]
    _, out = run(capsys, "psc", "--starts-per-hour", "6", "--json")
    few = json.loads(out.out)["data"]
    # ten changes in ten minutes for one: 10^(1/3.2) = 2.05
    assert many["pst"]["leg_1"] == approx(2.05 * few["pst"]["leg_1"], rel=0.01)


def test_fields_are_explained(capsys):
    code, out = run(capsys, "--fields")
    assert code == 0
    assert all(name in out.out for name in field_names())


@pytest.mark.parametrize(
    "words, code, message",
    [
        ([], 2, "no study is given"),
        (["pcs"], 4, "there is no study called 'pcs'"),
        (["psc", "--until", "-1"], 2, "--until -1 is not possible"),
        (["psc", "--until", "nan"], 2, "is not possible"),
        (["psc", "--until", "soon"], 2, "valid number"),
        (["psc", "--starts-per-hour", "0"], 2, "is not possible"),
        (["psc", "--csv", "/nowhere/at/all.csv"], 3, "cannot be written"),
    ],
)
def test_what_cannot_be_done(capsys, words, code, message):
    found, out = run(capsys, *words)
    assert found == code
    assert message in out.err
    assert "Traceback" not in out.err


def test_every_fault_of_a_study_at_once(tmp_path, capsys):
    text = (studies_dir() / "psc.yaml").read_text(encoding="utf-8")
    text = text.replace("rating: 30 A", "rating: -30 A").replace("herm: 35 uF", "herm: 35 V")
    text = text.replace("to: comp.R", "to: comp.Q").replace("until: 3 s", "untill: 3 s")
    path = tmp_path / "wrong.yaml"
    path.write_text(text, encoding="utf-8")
    code, out = run(capsys, str(path))
    assert code == 3
    for word in ("rating", "herm", "comp", "untill"):
        assert word in out.err
    assert all("wrong.yaml:" in line for line in out.err.splitlines())
    code, out = run(capsys, str(path), "--json")
    found = json.loads(out.out)
    assert (found["ok"], found["data"], len(found["errors"])) == (False, None, 4)
