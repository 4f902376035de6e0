"""Exports from the command line: files private and whole, sentences, exit codes, JSON."""

import json
import shutil
import stat
from itertools import count

import jsonschema
import pytest

from tests.classroom.invented import MINUTE, T0, filled
from tests.classroom.test_gradebook import ELSEWHERE, release
from tests.classroom.xapi_form import STATEMENTS
from trainer.classroom.desk import Desk
from trainer.cli.main import main
from trainer.store.opening import open_store


@pytest.fixture(scope="module")
def base(tmp_path_factory):
    """The invented class of twelve in a store of its own, made once, and what is in it."""
    path = tmp_path_factory.mktemp("base") / "class.db"
    drawn = count(1)
    store = open_store(str(path), create=True)
    desk = Desk(store, "instructor", T0 + MINUTE, lambda n: next(drawn).to_bytes(n, "big"))
    made = filled(desk)
    release(desk, made, "L-0001")
    store.close()
    return path, made


@pytest.fixture
def made(base, tmp_path, monkeypatch):
    """A copy of it; the folder is the current one."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("CONDENSER_BENCH_STORE", str(shutil.copy(base[0], tmp_path)))
    monkeypatch.setenv("CONDENSER_BENCH_WHO", "I. Structor")
    return base[1]


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


def test_for_learners_there_is_only_what_they_are_shown(made, capsys):
    rows = data_of(capsys, "grades", "dead-1", "--for-learners")["data"]
    assert rows["statuses"] == {
        "graded": 1, "handed_in": 9, "in_progress": 1, "not_started": 1,
    }  # fmt: skip
    assert rows["csv"].count("pass") == 1 and "fail" not in rows["csv"]
    ran(capsys, "grades", "dead-1", "--for-learners", "--unreleased", code=2)


def test_the_class_report_is_a_page_items_as_csv_and_data(made, tmp_path, capsys):
    said = ran(capsys, "class", "dead-1", "-o", "class.html", "--csv", "items.csv").out
    assert "4 ready" in said and "5 not safe yet" in said and "CF3" in said
    page = (tmp_path / "class.html").read_text(encoding="utf-8")
    assert "Zoë Invented" in page and "&lt;b&gt;Tag&lt;/b&gt;" in page
    rows = (tmp_path / "items.csv").read_bytes().decode("utf-8-sig").split("\r\n")
    assert rows[0].startswith("item,code,domain,judged") and len(rows) > 30
    data = data_of(capsys, "class", "dead-1")["data"]
    assert data["graded"] == 9 and data["errors"][0]["n"] == 1
    ran(capsys, "class", "dead-1", "-o", "class.csv", code=2)
    ran(capsys, "class", "dead-2", code=4)


def test_pages_are_written_in_the_language_asked_for_and_data_are_not(made, tmp_path, capsys):
    for words in (("class", "dead-1"), ("evidence", "dead-1/L-0003")):
        english = data_of(capsys, *words, "-o", f"{words[0]}-en.html")["data"]
        spanish = data_of(capsys, *words, "-o", f"{words[0]}-es.html", "--lang", "es")["data"]
        assert {**english, "file": ""} == {**spanish, "file": ""}
        page = (tmp_path / f"{words[0]}-es.html").read_text(encoding="utf-8")
        assert '<html lang="es">' in page and "Errores críticos" in page
        assert "no language" in ran(capsys, *words, "--lang", "xx", code=2).err


def test_blind_nobody_is_named(made, tmp_path, capsys):
    ran(capsys, "class", "dead-1", "-o", "class.html", "--blind")
    ran(capsys, "evidence", "dead-1/L-0003", "-o", "one.html", "--blind")
    told = json.dumps(data_of(capsys, "class", "dead-1", "--blind"))
    for path in ("class.html", "one.html"):
        told += (tmp_path / path).read_text(encoding="utf-8")
    for word in ("Invented", "Invenc", "L-000", "L-001", "@example.org", "X003", "Zoë"):
        assert word not in told


def test_statements_are_written_without_a_person(made, tmp_path, capsys):
    said = ran(capsys, "xapi", "dead-1", "-o", "x.json", "--home", "https://school.example").out
    assert "1 passed" in said and "failed" not in said
    found = json.loads((tmp_path / "x.json").read_text(encoding="ascii"))
    jsonschema.validate(found, STATEMENTS)
    again = data_of(capsys, "xapi", "dead-1", "--home", "https://school.example")["data"]["xapi"]
    assert again == found
    assert "no address" in ran(capsys, "xapi", "dead-1", "--home", "school", code=2).err


@pytest.mark.parametrize("verb", ["grades", "evidence", "class", "xapi"])
def test_help_has_an_example(verb, capsys):
    assert f"condenser-bench export {verb}" in " ".join(ran(capsys, verb, "--help").out.split())
