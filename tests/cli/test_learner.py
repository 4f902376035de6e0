"""One learner by command: shown, renamed, written out privately, erased. People are invented."""

import json
import stat
import sys
import zipfile

import pytest
from sqlalchemy import insert

from trainer.classroom.people import find
from trainer.cli.main import main
from trainer.exchange.keys import fingerprint
from trainer.store.database import connect
from trainer.store.tables import key

ROSTER = (
    "learner_id,given_name,family_name,email,section,accommodation\n"
    "A1,Zoë,Larsen,zoe@example.org,am,1.25\nA2,Pat,O'Brien,,pm,\n"
)


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """A folder with a class of two in a store of its own."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("CONDENSER_BENCH_STORE", str(tmp_path / "class.db"))
    monkeypatch.setenv("CONDENSER_BENCH_WHO", "instructor")
    (tmp_path / "roster.csv").write_text(ROSTER, encoding="utf-8")
    assert main(["class", "new", "hvac-1"]) == 0
    assert main(["class", "apply", "hvac-1", "roster.csv"]) == 0
    (tmp_path / "roster.csv").unlink()
    return tmp_path


def run(capsys, code, *words):
    capsys.readouterr()
    assert main(["learner", *words]) == code
    return capsys.readouterr()


def told(capsys, code, *words):
    found = json.loads(run(capsys, code, *words, "--json").out)
    assert found["ok"] is (code == 0)
    return found


def test_list_and_show_keep_names_out_of_data_and_the_factor_out_of_both(folder, capsys):
    assert "A1  Zoë Larsen\nA2  Pat O'Brien" in run(capsys, 0, "list").out
    assert "Larsen" not in json.dumps(told(capsys, 0, "list"))
    said = run(capsys, 0, "show", "A1").out
    assert "class       hvac-1 am" in said
    assert "1.25" not in said
    assert "x 1.25" in run(capsys, 0, "show", "A1", "--with-accommodation").out
    data = told(capsys, 0, "show", "A1")["data"]
    assert not {"given_name", "email", "accommodation"} & set(data)
    data = told(capsys, 0, "show", "A1", "--with-names", "--with-accommodation")["data"]
    assert (data["email"], data["accommodation"]) == ("zoe@example.org", 1.25)


def test_an_older_id_by_command(folder, capsys):
    assert "It would be: B1 means A1." in run(capsys, 0, "alias", "A1", "B1", "--dry-run").out
    assert "B1 means A1." in run(capsys, 0, "alias", "A1", "B1").out
    assert "B1 means A1 already" in run(capsys, 0, "alias", "A1", "B1").out
    assert "older ids   B1" in run(capsys, 0, "show", "B1").out


def test_export_writes_a_private_zip_once(folder, capsys):
    data = told(capsys, 0, "export", "A1", "-o", "A1.zip")["data"]
    assert data["rows"] == {"person": 1, "enrolment": 1, "place": 1}
    with zipfile.ZipFile("A1.zip") as packed:
        assert packed.namelist() == ["README.txt", "rows.json"]
        rows = json.loads(packed.read("rows.json"))
    assert rows["person"][0]["family_name"] == "Larsen"
    if sys.platform != "win32":
        assert stat.S_IMODE((folder / "A1.zip").stat().st_mode) == 0o600
    before = (folder / "A1.zip").read_bytes()
    assert "of that name already" in run(capsys, 6, "export", "A1", "-o", "A1.zip").err
    assert (folder / "A1.zip").read_bytes() == before
    assert "cannot be written" in run(capsys, 3, "export", "A1", "-o", "none/A1.zip").err


def test_erase_asks_for_the_id_offers_the_export_and_leaves_no_name(folder, capsys):
    said = run(capsys, 2, "erase", "A1").err
    assert "learner export A1 -o FILE.zip, then --confirm A1" in said
    said = run(capsys, 0, "erase", "A1", "--dry-run")
    assert "It would erase: 0 attempts, 0 files, 0 older ids" in said.out
    assert "write his data out first" in said.err
    data = told(capsys, 0, "erase", "A1", "--confirm", "A1")
    assert data["data"]["clean"] is True
    assert "Larsen" not in json.dumps(data)
    for file in folder.iterdir():
        assert b"Larsen" not in file.read_bytes()
        assert b"zoe@example.org" not in file.read_bytes()
    assert "there is no learner 'A1'" in run(capsys, 4, "show", "A1").err
    assert data["data"]["token"] in run(capsys, 0, "list").out


def test_help_says_what_an_erasure_cannot_reach(capsys):
    said = " ".join(run(capsys, 0, "erase", "--help").out.split())
    assert "Out of reach are backups and copies of the store made before" in said


@pytest.mark.parametrize(
    ("words", "code", "sentence"),
    [
        (["show", "A3"], 4, "did you mean A"),
        (["alias", "A 1", "A2"], 2, "'A 1' is no learner id"),
        (["alias", "B1", "B2"], 4, "there is no learner 'B2'"),
        (["export", "A1"], 2, "needs a file to write"),
        (["export", "../A1", "-o", "x.zip"], 4, "no learner '../A1'"),
        (["erase", "A1", "--confirm", "A2"], 2, "needs the id once more"),
        (["erase", "A3", "--confirm", "A3"], 4, "no learner 'A3'"),
    ],
)
def test_what_is_refused_has_its_code_and_no_traceback(folder, capsys, words, code, sentence):
    said = run(capsys, code, *words).err
    assert sentence in said
    assert "Traceback" not in said
    assert told(capsys, code, *words)["errors"][0]["message"]
    assert [p.name for p in folder.glob("*.zip")] == []


@pytest.mark.parametrize("verb", ["list", "show", "alias", "export", "erase"])
def test_every_verb_has_an_example(capsys, verb):
    assert "Example: condenser-bench learner" in run(capsys, 0, verb, "--help").out


def test_a_second_key_is_shown_as_it_is_read_aloud_and_accepted(folder, capsys):
    assert "no key is known" in run(capsys, 0, "keys", "A1").out
    first, second = "0a" * 32, "0b" * 32
    seen(folder, first, second)
    aloud = fingerprint(second)
    said = run(capsys, 0, "keys", "A1").out
    assert f"{fingerprint(first)}  since 2026-09-21  0 attempts  the first one seen" in said
    assert f"{aloud}  since 2026-09-22  0 attempts  another one" in said
    words = ("key", "accept", "A1", aloud[:9], "--reason", "new laptop, he read it out")
    assert f"It would trust {aloud}" in run(capsys, 0, *words, "--dry-run").out
    assert told(capsys, 0, "keys", "A1")["data"]["keys"][1]["how"] == "another"
    assert f"{aloud} is trusted" in run(capsys, 0, *words).out
    assert told(capsys, 0, *words)["data"]["already"]
    assert "by instructor: new laptop, he read it out" in run(capsys, 0, "keys", "A1").out


def test_what_a_key_is_refused_for(folder, capsys):
    seen(folder, "0a" * 32, "0b" * 32)
    aloud = fingerprint("0b" * 32)
    why = ("--reason", "new laptop, he read it out")
    assert told(capsys, 2, "key", "forget", "A1", aloud)["errors"][0]["code"] == "usage"
    assert told(capsys, 2, "key", "accept", "A1", aloud[:4], *why)["errors"][0]["code"] == "usage"
    assert told(capsys, 4, "key", "accept", "A2", aloud, *why)["errors"][0]["code"] == "not_found"
    assert told(capsys, 5, "key", "accept", "A1", aloud)["errors"][0]["code"] == "policy"


def seen(folder, *publics):
    """Keys of A1 in the store, a day apart, as hand-ins leave them."""
    store = connect(f"sqlite:///{folder / 'class.db'}")
    with store.writing() as c:
        person_id = find(c, "A1").id
        for n, public in enumerate(publics):
            at_ms = 1_790_000_000_000 + n * 86_400_000  # 2026-09-21
            row = {"id": f"k{n}", "public": public, "person_id": person_id, "role": "learner"}
            c.execute(insert(key).values(**row, trusted_ms=at_ms, note="another key" if n else ""))
    store.close()
