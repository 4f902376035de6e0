"""Commands of marks at the desk, from the list to the learner's own debrief."""

from __future__ import annotations

import json

import pytest
import yaml

from tests.classroom.handed import attempt_bytes, careful, idle, unsafe, uuid_of, written
from tests.cli.classroom import room
from trainer.assess.finding_rubric import load_rubric, rubrics_dir
from trainer.base.errors import BAD_USAGE, CONFLICT, INVALID_INPUT, NOT_FOUND, POLICY
from trainer.cli.main import main

WHY = "I stood beside him and saw the reading"
NAMES = ("Zora-1", "Quim-2", "Yves-3")


@pytest.fixture
def marked(tmp_path, monkeypatch, capsys):
    """Three learners, invented: one who did nothing, one unsafe, one good."""
    found = room(tmp_path, monkeypatch, NAMES)
    started = found.desk.now_ms - 3_600_000
    files = {
        f"{name}.handin": found.made.handin(name, work, started_ms=started)
        for name, work in zip(NAMES, (idle(), unsafe(), careful()), strict=True)
    }
    written(tmp_path / "stick", files)
    stick = str(tmp_path / "stick")
    assert main(["handin", "import", stick, "--resimulate", "none", "--workers", "1"]) == 0
    yield found
    found.desk.store.close()


def ids(found, capsys):
    _, out = found.data(capsys, "grade", "list", "dead-1")
    return {row["learner_id"]: row["attempt"] for row in out["data"]}


def test_list_and_show(marked, capsys):
    _, out = marked.data(capsys, "grade", "list", "dead-1")
    by = {row["learner_id"]: row for row in out["data"]}
    assert [by[n]["verdict"] for n in NAMES] == ["fail", "fail", "pass"]
    code, one = marked.data(capsys, "grade", "show", by["Quim-2"]["attempt"][:8], "--all")
    assert (code, one["data"]["verdict"]) == (0, "fail")
    assert one["data"]["critical"] == by["Quim-2"]["critical"]
    _, text, _ = marked.run(capsys, "grade", "show", by["Quim-2"]["code"])
    assert "FAIL" in text
    assert marked.run(capsys, "grade", "show", "nobody")[0] == NOT_FOUND
    assert marked.run(capsys, "grade", "list", "week-9")[0] == NOT_FOUND


def test_blind_shows_no_name_no_id_and_no_file_anywhere(marked, capsys, tmp_path):
    every = ids(marked, capsys)
    _, out = marked.data(capsys, "grade", "list", "dead-1", "--blind")
    codes = [row["code"] for row in out["data"]]
    assert codes == sorted(codes)
    assert marked.run(capsys, "grade", "blind", "dead-1", "on")[0] == 0
    assert marked.run(capsys, "grade", "blind", "dead-1", "perhaps")[0] == BAD_USAGE
    said = []
    for words in (
        ["grade", "list", "dead-1"], ["grade", "show", codes[0], "--all"],
        ["grade", "sample", "dead-1"], ["grade", "agree", "dead-1"],
        ["grade", "diff", "dead-1", "--rubric", "standard"], ["handin", "list"],
        ["grade", "override", codes[0], "total", "50", "--reason", WHY],
        ["grade", "undo", codes[0], "total", "--reason", WHY], ["grade", "rate", codes[1], "3"],
    ):  # fmt: skip
        for more in ([], ["--json"]):
            _, out, err = marked.run(capsys, *words, *more)
            said.append(out + err)
    text = "\n".join(said)
    assert "digest" not in text.replace("rubric_digest", "").replace("scenario_digest", "")
    for name, attempt_id in every.items():
        assert name not in text
        assert name.split("-")[0] not in text
        assert attempt_id[:8] not in text
    assert marked.run(capsys, "grade", "blind", "dead-1", "off")[0] == 0
    assert NAMES[0] in marked.run(capsys, "grade", "list", "dead-1")[1]


def test_override_needs_a_reason_and_is_told(marked, capsys):
    one = ids(marked, capsys)["Zora-1"]
    code, out = marked.data(capsys, "grade", "override", one, "total", "72.5")
    assert (code, out["errors"][0]["code"]) == (POLICY, "policy")
    words = ("grade", "override", one, "total", "72.5", "--reason", WHY)
    code, out = marked.data(capsys, *words, "--code", "misread")
    assert (code, out["data"]["total"]) == (0, "72.5")
    assert out["data"]["overrides"][0]["made_by"] == "A. Invented"
    _, text, _ = marked.run(capsys, "grade", "show", one)
    assert WHY in text
    assert marked.run(capsys, *words)[0] == CONFLICT
    assert (
        marked.run(capsys, "grade", "override", one, "mood", "x", "--reason", WHY)[0] == BAD_USAGE
    )
    code, out = marked.data(capsys, "grade", "undo", one, "total", "--reason", WHY)
    assert (code, out["data"]["overrides"]) == (0, [])


def test_two_markers_and_a_cut(marked, capsys, monkeypatch):
    every = ids(marked, capsys)
    for name, rating in zip(NAMES, (2, 1, 4), strict=True):
        assert marked.run(capsys, "grade", "rate", every[name], str(rating))[0] == 0
    assert marked.run(capsys, "grade", "second", every["Zora-1"], "2")[0] == CONFLICT
    monkeypatch.setenv("CONDENSER_BENCH_WHO", "B. Invented")
    code, _ = marked.data(capsys, "grade", "second", every["Zora-1"], "1", "--verdict", "fail")
    assert code == 0
    _, out = marked.data(capsys, "grade", "agree", "dead-1")
    assert out["data"]["pairs"] == 1
    code, out = marked.data(capsys, "grade", "cut", "dead-1")
    assert (code, out["data"]["n"]) == (0, 3)
    code, out = marked.data(capsys, "grade", "sample", "dead-1")
    assert (code, out["data"]["graded"]) == (0, 3)


def lenient(tmp_path):
    body = load_rubric(rubrics_dir() / "make-it-dead.yaml").model_dump(mode="json")
    domains = {name: {**d, "floor": "0"} for name, d in body["domains"].items()}
    body |= {"title": "lenient (invented)", "critical": [], "cut": "1", "domains": domains}
    path = tmp_path / "lenient.yaml"
    path.write_text(yaml.safe_dump(body), encoding="utf-8")
    return str(path)


def test_diff_then_apply(marked, capsys, tmp_path):
    new = lenient(tmp_path)
    code, out = marked.data(capsys, "grade", "diff", "dead-1", "--rubric", new)
    assert code == 0
    crossing = [m["attempt"] for m in out["data"]["moves"] if m["crosses"]]
    words = ("grade", "apply", "dead-1", "--rubric", new)
    assert marked.run(capsys, *words)[0] == BAD_USAGE
    assert marked.run(capsys, *words, "--all", "--only-up")[0] == BAD_USAGE
    assert marked.data(capsys, *words, "--all", "--dry-run")[1]["data"].get("written") is None
    code, done = marked.data(capsys, *words, "--all", "--why", "the panel of May")
    assert (code, done["data"]["written"]) == (0, 3)
    _, after = marked.data(capsys, "grade", "list", "dead-1")
    passing = {
        f"{r['learner_id']} ({r['attempt'][:8]})" for r in after["data"] if r["verdict"] == "pass"
    }
    assert set(crossing) <= passing
    assert marked.run(capsys, "grade", "diff", "dead-1", "--rubric", "gone.yaml")[0] == NOT_FOUND


def test_release_reaches_the_learners_debrief_and_withholding_stops_it(
    marked, capsys, tmp_path, monkeypatch
):
    out = tmp_path / "out"
    out.mkdir()
    code, told = marked.data(capsys, "grade", "release", "dead-1", "--dry-run", "--to", str(out))
    assert code == 0
    assert list(out.iterdir()) == []
    code, told = marked.data(capsys, "grade", "release", "dead-1", "--to", str(out))
    assert {row["status"] for row in told["data"]["rows"]} == {"released"}
    assert sorted(p.name for p in out.iterdir()) == [f"dead-1-{n}-1.marks" for n in sorted(NAMES)]
    _, listed = marked.data(capsys, "grade", "list", "dead-1")
    assert {row["released"] for row in listed["data"]} == {"full"}

    attempt = _learners_book(marked, tmp_path, monkeypatch)
    marks = out / "dead-1-Quim-2-1.marks"
    assert marked.run(capsys, "debrief", str(attempt), "-o", str(tmp_path / "d.html"))[0] == POLICY
    code, kept = marked.data(capsys, "handin", "marks", str(marks))
    assert kept["errors"] == []
    assert (code, kept["data"]["view"]["verdict"]) == (0, "fail")
    assert marked.run(capsys, "debrief", str(attempt), "-o", str(tmp_path / "d.html"))[0] == 0
    marks.write_bytes(marks.read_bytes().replace(b'"fail"', b'"pass"'))
    assert marked.run(capsys, "handin", "marks", str(marks))[0] == 1

    code, told = marked.data(capsys, "grade", "withhold", "dead-1")
    assert {row["status"] for row in told["data"]["rows"]} == {"withheld"}
    _, listed = marked.data(capsys, "grade", "list", "dead-1")
    assert {row["released"] for row in listed["data"]} == {"none"}


def _learners_book(found, tmp_path, monkeypatch):
    """The book of Quim-2's machine, as taking the assignment and working leaves it."""
    from tests.classroom.handed import INSTRUCTOR
    from trainer.classroom.assigning import assignment_of
    from trainer.classroom.handing_out import _terms
    from trainer.exchange.assignment import write_assignment

    with found.desk.store.reading() as c:
        row = assignment_of(c, "dead-1")
        terms = _terms(found.desk, c, row, "make-it-dead", INSTRUCTOR)
    file = write_assignment(terms, [], "INVENTED", [], INSTRUCTOR)
    monkeypatch.setenv("CONDENSER_BENCH_DATA", str(tmp_path / "learner"))
    book = tmp_path / "learner" / "assignments" / found.made.assignment_id
    book.mkdir(parents=True)
    (book / "assignment").write_bytes(file)
    attempt = book / "attempt-1.attempt"
    attempt.write_bytes(
        attempt_bytes(
            unsafe(), learner="Quim-2", assignment=found.made.assignment_id, no=1,
            opening=uuid_of("Quim-2 1"),
        )
    )  # fmt: skip
    monkeypatch.setenv("CONDENSER_BENCH_DATA", str(tmp_path / "learner"))
    return attempt


VERBS = (
    "list", "show", "override", "undo", "rate", "second", "sample", "agree", "cut", "blind", "diff",
    "apply", "release", "withhold",
)  # fmt: skip


@pytest.mark.parametrize("verb", VERBS)
def test_every_verb_has_an_example_in_its_help(verb, capsys):
    assert main(["grade", verb, "--help"]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "Example: " in out
    assert f"condenser-bench grade {verb}" in out


def test_a_release_names_a_level_that_is_none(marked, capsys):
    code, out, _ = marked.run(capsys, "grade", "release", "dead-1", "--level", "some", "--json")
    assert code == BAD_USAGE
    assert json.loads(out)["errors"][0]["code"] == "usage"
    assert marked.run(capsys, "grade", "diff", "dead-1", "--rubric", __file__)[0] == INVALID_INPUT
