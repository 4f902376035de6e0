"""Classes and rosters by command: exit codes, names kept out of data, nothing half applied.

All people are invented.
"""

import json

import pytest

from trainer.cli.main import main

ROSTER = (
    "learner_id,given_name,family_name,section,accommodation\n"
    "A1,Zoë,Larsen,am,1.25\nA2,Pat,O'Brien,pm,\n"
)


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """A folder with a roster, and a store of its own with an empty class."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("CONDENSER_BENCH_STORE", str(tmp_path / "class.db"))
    monkeypatch.setenv("CONDENSER_BENCH_WHO", "instructor")
    (tmp_path / "roster.csv").write_text(ROSTER, encoding="utf-8")
    assert main(["class", "new", "hvac-1", "--title", "First year", "--zone", "UTC"]) == 0
    return tmp_path


def run(capsys, code, *words):
    capsys.readouterr()
    assert main(list(words)) == code
    return capsys.readouterr()


def data_of(capsys, code, *words):
    told = json.loads(run(capsys, code, *words, "--json").out)
    assert told["ok"] is (code == 0)
    return told["data"] if told["data"] is not None else told["errors"]


def test_a_class_from_nothing_to_a_list(folder, capsys):
    said = run(capsys, 0, "class", "plan", "hvac-1", "roster.csv").out
    assert "2 to add, 0 to change, 0 leaving, 0 as they are, 0 refused" in said
    assert "A1  Zoë Larsen, section am, accommodation is set" in said
    assert "Nothing was changed yet. Next: condenser-bench class apply hvac-1" in said
    assert "Nobody is in it yet" in run(capsys, 0, "class", "show", "hvac-1").out
    assert (
        "Nothing was changed yet."
        in run(capsys, 0, "class", "apply", "hvac-1", "roster.csv", "--dry-run").out
    )
    assert "Applied." in run(capsys, 0, "class", "apply", "hvac-1", "roster.csv").out
    shown = run(capsys, 0, "class", "show", "hvac-1").out
    assert "am  A1  Zoë Larsen\npm  A2  Pat O'Brien" in shown
    assert "1.25" not in shown
    listed = run(capsys, 0, "class", "list").out
    assert "hvac-1    2 learners  am, pm  First year" in listed
    said = run(capsys, 0, "class", "apply", "hvac-1", "roster.csv").out
    assert "0 to add, 0 to change, 0 leaving, 2 as they are" in said


def test_data_has_no_names_and_no_factor_unless_asked(folder, capsys):
    words = ("class", "plan", "hvac-1", "roster.csv")
    quiet = json.dumps(data_of(capsys, 0, *words))
    assert "Larsen" not in quiet
    assert "1.25" not in quiet
    told = json.dumps(data_of(capsys, 0, *words, "--with-names", "--with-accommodation"))
    assert "Larsen" in told
    assert "1.25" in told
    run(capsys, 0, "class", "apply", "hvac-1", "roster.csv")
    (first, _) = data_of(capsys, 0, "class", "show", "hvac-1")["learners"]
    assert first == {"learner_id": "A1", "active": True, "erased": False, "section": "am"}
    (first, _) = data_of(capsys, 0, "class", "show", "hvac-1", "--with-names")["learners"]
    assert first["family_name"] == "Larsen"


def test_refused_rows_have_their_codes(folder, capsys):
    (folder / "roster.csv").write_text(ROSTER + "A1,Second,Row,,\n", encoding="utf-8")
    words = ("class", "apply", "hvac-1", "roster.csv")
    assert data_of(capsys, 3, "class", "plan", "hvac-1", "roster.csv")["applied"] is False
    told = data_of(capsys, 3, *words)
    assert told["applied"] is False
    assert told["refused"][0]["where"] == "roster.csv:4"
    assert data_of(capsys, 0, "class", "show", "hvac-1")["learners"] == []
    said = run(capsys, 7, *words, "--skip-refused").out
    assert "refused   roster.csv:4  learner_id 'A1' stands at roster.csv:2 too" in said
    assert "the refused rows were left out" in said
    assert len(data_of(capsys, 0, "class", "show", "hvac-1")["learners"]) == 2


def test_names_read_as_windows_1252_are_shown_first(folder, capsys):
    (folder / "old.csv").write_bytes(ROSTER.encode("cp1252"))
    assert "--encoding cp1252" in run(capsys, 3, "class", "plan", "hvac-1", "old.csv").err
    said = run(capsys, 0, "class", "plan", "hvac-1", "old.csv", "--encoding", "cp1252")
    assert "preview   old.csv:2  A1 Zoë Larsen am" in said.out
    assert "was read as Windows-1252" in said.err
    assert "1.25" not in said.out


@pytest.mark.parametrize(
    ("words", "code", "sentence"),
    [
        (["new", "hvac-1"], 6, "there is a class 'hvac-1' already"),
        (["new", "HVAC-1"], 6, "there is a class 'hvac-1' already"),
        (["new", "hvac 2"], 3, "is no name for a class"),
        (["new", "b", "--zone", "../../etc/passwd"], 3, "no time zone"),
        (["new", "b", "--title", "a\nb" + "c" * 120], 3, "title is too long"),
        (["show", "hvac"], 4, "one of hvac-1"),
        (["show", "hvac-1", "--section", "am"], 4, "no section 'am'"),
        (["plan", "none", "roster.csv"], 4, "there is no class 'none'"),
        (["plan", "hvac-1", "none.csv"], 4, "there is no such file"),
        (["plan", "hvac-1"], 2, "Missing argument"),
        (["plan", "hvac-1", "roster.csv", "--encoding", "latin1"], 2, "is no encoding"),
        (["plan", "hvac-1", "roster.csv", "--section", "am"], 2, "sections in a column"),
        (["plan", "hvac-1", "roster.csv", "--id-column", "number"], 3, "no column number"),
        (["list", "--store", "none/class.db"], 4, "no class store"),
    ],
)
def test_what_is_refused_has_its_code_and_no_traceback(folder, capsys, words, code, sentence):
    said = run(capsys, code, "class", *words).err
    assert sentence in said
    assert "Traceback" not in said
    errors = data_of(capsys, code, "class", *words)
    assert errors[0]["message"]


@pytest.mark.parametrize("verb", ["new", "list", "plan", "apply", "show"])
def test_every_verb_has_an_example(capsys, verb):
    assert "Example: condenser-bench class" in run(capsys, 0, "class", verb, "--help").out
