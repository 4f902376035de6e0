"""Exports from the command line: files private and whole, sentences, exit codes, JSON."""

import json
import stat
from itertools import count

import pytest

from tests.classroom.invented import MINUTE, T0, filled
from tests.classroom.test_gradebook import ELSEWHERE, release
from trainer.classroom.desk import Desk
from trainer.cli.main import main
from trainer.store.opening import open_store


@pytest.fixture
def made(tmp_path, monkeypatch):
    """The invented class of twelve in a store of its own; the folder is the current one."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("CONDENSER_BENCH_STORE", str(tmp_path / "class.db"))
    monkeypatch.setenv("CONDENSER_BENCH_WHO", "I. Structor")
    drawn = count(1)
    store = open_store(create=True)
    desk = Desk(store, "instructor", T0 + MINUTE, lambda n: next(drawn).to_bytes(n, "big"))
    made = filled(desk)
    release(desk, made, "L-0001")
    store.close()
    return made


def ran(capsys, *words, code=0):
    assert main(["export", *words]) == code
    return capsys.readouterr()


def data_of(capsys, *words, code=0):
    return json.loads(ran(capsys, *words, "--json", code=code).out)


def test_grades_are_written_for_their_owner_alone_and_never_over_a_file(made, tmp_path, capsys):
    said = ran(capsys, "grades", "dead-1", "-o", "grades.csv").out
    assert "12 rows written" in said and "9 graded" in said and "1 in_progress" in said
    path = tmp_path / "grades.csv"
    raw = path.read_bytes()
    assert raw.startswith(b"\xef\xbb\xbflearner_id,") and raw.endswith(b"\r\n")
    assert b"'=SUM(1)" in raw and stat.S_IMODE(path.stat().st_mode) == 0o600
    assert "already a file" in ran(capsys, "grades", "dead-1", "-o", "grades.csv", code=6).err
    assert path.read_bytes() == raw
    ran(capsys, "grades", "dead-1", "-o", "grades.csv", "--replace", "--no-bom")
    assert path.read_bytes().startswith(b"learner_id,")


def test_grades_of_a_class_long_and_wide(made, capsys):
    told = data_of(capsys, "grades", "--class", "invented-dead-1")["data"]
    assert told["statuses"]["graded"] == 9 and told["csv"].count("\r\n") == 13
    wide = data_of(capsys, "grades", "--class", "invented-dead-1", "--wide")["data"]
    assert wide["columns"][-2:] == ["dead-1", "dead-1 status"]
    assert "Zoë" in ran(capsys, "grades", "dead-1").out


def test_a_file_from_elsewhere_is_filled_with_what_is_released(made, tmp_path, capsys):
    (tmp_path / "theirs.csv").write_bytes(ELSEWHERE.encode())
    words = ("grades", "dead-1", "--fill", "theirs.csv", "--id-column", "ID",
             "--column", "Make it dead", "-o", "filled.csv")  # fmt: skip
    said = ran(capsys, *words)
    assert "1 scores filled in" in said.out and "held back, not released: L-0002" in said.err
    filled_in = (tmp_path / "filled.csv").read_bytes().decode()
    assert filled_in == ELSEWHERE.replace("example.org,\r\n", "example.org,100.0\r\n", 1)
    told = data_of(capsys, *words, "--unreleased", "--replace", code=7)
    assert told["data"]["filled"] == ["L-0001", "L-0002"] and "L-0003" in told["data"]["absent"]


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (["grades"], 2, "name an assignment"),
        (["grades", "dead-1", "--class", "x"], 2, "name an assignment"),
        (["grades", "dead-2"], 4, "dead-1"),
        (["grades", "--class", "nobody"], 4, "invented-dead-1"),
        (["grades", "dead-1", "--fill", "no.csv", "--id-column", "ID", "-o", "x.csv"], 4, "no.csv"),
        (["grades", "dead-1", "--fill", "no.csv"], 2, "--id-column"),
        (["grades", "dead-1", "-o", "no/folder/x.csv"], 3, "folder that exists"),
        (["evidence", "nothing"], 4, "no attempt 'nothing'"),
        (["evidence", "dead-1/L-0010"], 5, "no mark yet"),
        (["evidence", "dead-1/L-0012"], 4, "handed in no attempt"),
        (["evidence", "dead-1/L-0001/7"], 4, "handed in no attempt 7"),
        (["evidence", "dead-1/L-9"], 4, "'L-9'"),
        (["evidence", "dead-1/L-0001", "-o", "x.pdf"], 2, ".html"),
    ],
)
def test_what_cannot_be_is_told_with_its_exit_code(made, capsys, words, code, told):
    said = ran(capsys, *words, code=code)
    assert told in said.err and "Traceback" not in said.err and said.out == ""


def test_evidence_is_a_page_and_data(made, tmp_path, capsys):
    said = ran(capsys, "evidence", "dead-1/L-0003", "-o", "appeal.html").out
    assert said.startswith("Not safe yet: 92.2 of 100, cut 85.0 (provisional).")
    page = (tmp_path / "appeal.html").read_text(encoding="utf-8")
    assert page.startswith("<!DOCTYPE html>") and "I. Structor" in page
    assert stat.S_IMODE((tmp_path / "appeal.html").stat().st_mode) == 0o600
    data = data_of(capsys, "evidence", made.attempts["L-0003", 1])["data"]
    assert data["status"] == "Not safe yet" and data["sections"][0]["key"] == "why"
    first = data_of(capsys, "evidence", "dead-1/L-0005/1")["data"]
    assert first["attempt"] == made.attempts["L-0005", 1]
    assert data_of(capsys, "evidence", "dead-1/L-0005")["data"]["status"] == "Pass"


@pytest.mark.parametrize("verb", ["grades", "evidence"])
def test_help_has_an_example(verb, capsys):
    assert f"condenser-bench export {verb}" in " ".join(ran(capsys, verb, "--help").out.split())
