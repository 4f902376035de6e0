"""The sweep command: table, JSON, CSV, plot, and input that is wrong."""

import csv
import json

import pytest

from trainer.cli.main import main
from trainer.starts.sweeping import KEPT
from trainer.starts.varying import VARIES


def run(capsys, *words):
    code = main(["sweep", *words])
    return code, capsys.readouterr()


def test_table(capsys):
    code, out = run(capsys, "potential-relay", "--vary", "start_uf=64,98,324")
    lines = out.out.splitlines()
    assert code == 0
    assert lines[0].split()[:2] == ["start_uf", "outcome"]
    assert [line.split()[0] for line in lines[1:4]] == ["64", "98", "324"]
    assert lines[1].split()[1] == "stalled"
    assert len({len(line) for line in lines[:4]}) == 1, "columns line up"


def test_json_csv_and_plot(tmp_path, capsys):
    table, plot = tmp_path / "sweep.csv", tmp_path / "sweep.png"
    words = ["psc", "--vary", "line_v=220..240", "--steps", "3", "--json"]
    code, out = run(capsys, *words, "--csv", str(table), "--plot", str(plot))
    data = json.loads(out.out)["data"]
    assert code == 0
    assert [p["line_v"] for p in data["points"]] == [220.0, 230.0, 240.0]
    assert set(data["points"][0]) == {"line_v", *KEPT}
    rows = list(csv.DictReader(table.open(encoding="utf-8")))
    assert [row["outcome"] for row in rows] == ["clean"] * 3
    assert plot.read_bytes().startswith(b"\x89PNG")


def test_two_values_vary(tmp_path, capsys):
    plot = tmp_path / "sweep.png"
    words = ["potential-relay", "--vary", "start_uf=98,324", "--vary", "line_v=208,240"]
    code, out = run(capsys, *words, "--plot", str(plot))
    assert code == 0
    assert len(out.out.split("\n\n")[0].splitlines()) == 5
    assert plot.stat().st_size > 10_000


def test_names_are_listed(capsys):
    code, out = run(capsys, "--names")
    assert code == 0
    assert all(name in out.out for name in VARIES)


@pytest.mark.parametrize(
    "words, code, message",
    [
        ([], 2, "no study is given"),
        (["psc"], 2, "0 values are to vary"),
        (["psc", "--vary", "volts=1..2"], 2, "'volts' cannot vary"),
        (["psc", "--vary", "line_v=low..high"], 2, "no range of numbers"),
        (["psc", "--vary", "start_uf=1..2"], 3, "no start capacitor"),
        (["psc", "--vary", "line_v=1..2", "--steps", "401"], 2, "too many"),
        (["psc", "--vary", "line_v=230", "--vary", "line_v=240"], 2, "twice"),
        (["psc", "--vary", "line_v=1", "--vary", "run_uf=1", "--vary", "inertia=1"], 2, "3 values"),
    ],
)
def test_what_cannot_be_done(capsys, words, code, message):
    found, out = run(capsys, *words)
    assert found == code
    assert message in out.err
