"""A class from an empty machine to the gradebook, by commands and, where there is one, the window.

Roster in, assignment out, one learner who works safely and one who does not, hand-ins, marks, an
override, a regrade, release, the debrief read, export. Everything about the people is invented.
"""

import csv
import io
import json
import os
import re
from contextlib import chdir, contextmanager, redirect_stderr, redirect_stdout
from pathlib import Path

import pytest

from trainer.cli.main import main

ROOT = Path(__file__).resolve().parents[1]
CI = os.environ.get("CONDENSER_BENCH_CI") == "1"
ROSTER = """learner_id,given_name,family_name,section,accommodation
L-01,Ada,Invented,am,
L-02,Ben,O'Invented,am,1.5
L-03,Zoë,Made-up,am,
"""
GOOD = ROOT / "scenarios" / "moves" / "make-it-dead.yaml"
UNSAFE = ROOT / "tests/session/moves/make-it-dead/wrong-line-side-of-the-pull-out.yaml"
RUBRIC = """extends: make-it-dead
title: Invented, records weigh more
domains:
  sequence: {weight: 60, floor: 85}
  records: {weight: 20, floor: 50}
"""


#: The line volts that the acts were written for.
SAME = """variants:
  dials:
    supply: {draw: value, part: service, field: volts, between: [237.6 V, 237.6 V]}
"""


class People:
    """Each at a machine of his own: a folder for settings, keys and books."""

    def __init__(self, root):
        self.root = root
        self.code = ""

    def env(self, who):
        env = {**os.environ, "CONDENSER_BENCH_DATA": str(self.root / who)}
        env |= {"CONDENSER_BENCH_WHO": who, "CONDENSER_BENCH_START_CODE": self.code}
        for name in ("CONDENSER_BENCH_STORE", "DISPLAY", "WAYLAND_DISPLAY"):
            env.pop(name, None)
        return env

    def run(self, who, *words, code=0):
        """The command's JSON data; it must end with this exit code."""
        said, told = io.StringIO(), io.StringIO()
        quiet = redirect_stdout(said), redirect_stderr(told)
        with as_person(self.env(who)), chdir(self.root), quiet[0], quiet[1]:
            ended = main([*map(str, words), "--json"])
        assert ended == code, f"{words}: {said.getvalue()} {told.getvalue()}"
        return json.loads(said.getvalue())


@contextmanager
def as_person(env):
    """The environment of one person's machine, and afterwards that of the test again."""
    kept = dict(os.environ)
    os.environ.clear()
    os.environ.update(env)
    try:
        yield
    finally:
        os.environ.clear()
        os.environ.update(kept)


@pytest.fixture(scope="module")
def story(tmp_path_factory):
    """Everything up to the marks, once."""
    people = People(tmp_path_factory.mktemp("class"))
    root, boss = people.root, "instructor"
    (root / "roster.csv").write_text(ROSTER, encoding="utf-8")
    (root / "in").mkdir()
    people.run(boss, "class", "new", "hvac-1", "--zone", "America/Chicago")
    people.run(boss, "class", "plan", "hvac-1", "roster.csv")
    people.run(boss, "class", "apply", "hvac-1", "roster.csv")
    people.run(
        boss, "assign", "new", "week-1", "--class", "hvac-1", "--scenario", own_job(root),
        "--due", "2099-12-01 23:59", "--attempts", "2",
    )  # fmt: skip
    people.run(boss, "assign", "write", "week-1", "-o", "week-1.assignment")
    people.code = people.run(boss, "assign", "code", "week-1")["data"]["start_code"]
    for who, moves in (("L-01", GOOD), ("L-02", UNSAFE)):
        work(people, who, moves)
        people.run(who, "handin", "send", "week-1.assignment", "--learner", who, "--to", "in")
    people.imported = people.run(boss, "handin", "import", "in", "--receipts", "in")
    rows = people.run(boss, "grade", "list", "week-1")["data"]
    people.marks = {row["learner_id"]: row for row in rows_of(rows)}
    return people


def own_job(root):
    """The shipped job without its dials, so that the acts written for it fit every learner."""
    text = (ROOT / "scenarios" / "jobs" / "make-it-dead.yaml").read_text(encoding="utf-8")
    path = root / "jobs" / "own-dead.yaml"
    path.parent.mkdir()
    text = text.partition("variants:")[0] + SAME
    path.write_text(text, encoding="utf-8")
    return path


def rows_of(data):
    return data if isinstance(data, list) else next(v for v in data.values() if isinstance(v, list))


def work(people, who, moves):
    """By the window where everything is checked, else from a file of moves."""
    if who == "L-01" and CI:
        in_window(people, who, moves)
    else:
        people.run(who, "play", "week-1.assignment", "--learner", who, "--moves", moves)


def in_window(people, who, moves):
    from tests.view.clicks import Clicks, perform
    from tests.view.windowed import ByMouse, Display
    from trainer.scenario.load import load_scenario
    from trainer.session.acts import load_moves
    from trainer.unit.layout import load_layout

    display = Display()
    window = ByMouse(display, people.root / who, str(people.root / "week-1.assignment"))
    try:
        window.until(lambda s: s["screen"] == "assignment" and not s["waiting"])
        window.fill("assignment.learner", who)
        window.fill("assignment.code", people.code)
        window.press("assignment.open")
        window.until(lambda s: s["screen"] == "card")
        window.press("card.begin")
        window.until(lambda s: s["screen"] == "bench" and not s["waiting"])
        clicks = Clicks(load_layout(load_scenario("make-it-dead").layout))
        for act in load_moves(moves).acts:
            before = window.seen["events"]
            perform(window, clicks.steps(act.model_dump(mode="json")))
            window.until(
                lambda s, n=before: (
                    s["screen"] == "assignment" or (s["events"] > n and not s["busy"])
                )
            )
        window.until(lambda s: s["screen"] == "assignment" and not s["waiting"])
    finally:
        window.close()
        display.close()


def test_the_safe_one_passes_and_the_other_is_not_safe(story):
    good, unsafe = story.marks["L-01"], story.marks["L-02"]
    assert (good["verdict"], unsafe["verdict"]) == ("pass", "fail")
    assert "L-03" not in story.marks
    shown = story.run("instructor", "grade", "show", unsafe["attempt"])["data"]
    assert "CF2" in json.dumps(shown)


def test_importing_again_changes_nothing(story):
    again = story.run("instructor", "handin", "import", "in")
    assert len(rows_of(story.run("instructor", "handin", "list", "week-1")["data"])) == 2
    assert {r["status"] for r in rows_of(again["data"])} == {"again"}


def test_the_receipt_is_for_its_learner(story):
    receipts = sorted((story.root / "in").glob("*.receipt"))
    assert len(receipts) == 2
    taken = [story.run("L-01", "handin", "receipt", r) for r in receipts if of(story, r, "L-01")]
    assert [t["data"]["no"] for t in taken] == [1]


def of(story, path, who):
    return f'"learner_id":"{who}"' in Path(path).read_text(encoding="ascii")


def test_before_release_the_debrief_stays_shut_and_after_it_opens(story):
    (attempt,) = (story.root / "L-02" / "assignments").glob("*/attempt-1.attempt")
    refused = story.run("L-02", "debrief", attempt, "-o", "d.html", code=5)
    assert "not released" in refused["errors"][0]["message"]
    out = story.root / "out"
    out.mkdir()
    files = story.run("instructor", "grade", "release", "week-1", "--to", out)["data"]["files"]
    assert len(files) == 2
    kept = [story.run("L-02", "handin", "marks", f)["data"] for f in files if of(story, f, "L-02")]
    assert [Path(k["attempt"]) for k in kept] == [attempt]
    page = story.root / "debrief.html"
    story.run("L-02", "debrief", attempt, "-o", page)
    assert "fibrillate" in page.read_text(encoding="utf-8")


def test_an_override_and_a_regrade_stand_in_the_trail(story):
    boss, good = "instructor", story.marks["L-01"]["attempt"]
    why = "the lock hung where it could not be seen"
    story.run(boss, "grade", "override", good, "total", "91", "--reason", "short", code=5)
    story.run(boss, "grade", "override", good, "total", "91", "--reason", why)
    (story.root / "other.yaml").write_text("rubric: 1\n" + RUBRIC, encoding="utf-8")
    moved = story.run(boss, "grade", "diff", "week-1", "--rubric", "other.yaml")
    assert moved["ok"]
    story.run(boss, "grade", "apply", "week-1", "--rubric", "other.yaml", "--all")
    shown = json.dumps(story.run(boss, "grade", "show", good)["data"])
    assert why in shown
    assert "91" in shown


def test_the_gradebook_tells_nothing_from_zero(story):
    story.run("instructor", "export", "grades", "week-1", "-o", "grades.csv", "--no-bom")
    with open(story.root / "grades.csv", encoding="utf-8", newline="") as file:
        rows = {r["learner_id"]: r for r in csv.DictReader(file)}
    assert rows["L-03"]["status"] == "not_started"
    assert rows["L-03"]["score"] == ""
    assert rows["L-02"]["verdict"] == "fail"
    assert rows["L-02"]["family_name"] == "O'Invented"


def test_pages_and_statements_are_written(story):
    boss, unsafe = "instructor", story.marks["L-02"]["attempt"]
    story.run(boss, "export", "evidence", unsafe, "-o", "evidence.html")
    story.run(boss, "export", "class", "week-1", "-o", "class.html")
    story.run(boss, "export", "xapi", "week-1", "-o", "statements.json")
    text = (story.root / "evidence.html").read_text(encoding="utf-8")
    assert "CF2" in text
    assert not re.search(r"<script|src=.http", text)
    statements = (story.root / "statements.json").read_text(encoding="utf-8")
    assert "Invented" not in statements
    assert "L-02" not in statements
