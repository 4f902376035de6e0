"""A person given and erased after the whole way: worked, imported, marked, released, put aside.

Everybody is invented.
"""

import json
from dataclasses import replace

import pytest
from sqlalchemy import select, update

from tests.classroom.handed import INSTRUCTOR, NOW, class_of, played, seed, unsafe, uuid_of, written
from trainer.classroom.erasing import erase
from trainer.classroom.figures import figures
from trainer.classroom.handing_over import handed_over
from trainer.classroom.importing import Wish, import_files
from trainer.classroom.people import find
from trainer.classroom.releasing import release, withhold
from trainer.store import tables as t

LEARNER, NAME, EMAIL = "ZQ-4711", ("Philomena-Unusual", "Zornquist"), "philomena.z@example.org"
#: The learner writes his name on a tag and on the unit, as the trade wants it.
ACTS = (
    {"act": "look", "at": "disconnect"},
    {"act": "open", "part": "disconnect"},
    {"act": "lock", "part": "disconnect"},
    {"act": "tag", "part": "disconnect", "text": f"{' '.join(NAME)} {LEARNER}"},
    {"act": "label unit", "text": f"worked on by {' '.join(NAME)}"},
    {"act": "hand over", "words": f"done, {NAME[0]}, {LEARNER}"},
)


@pytest.fixture
def desk(desk):
    return replace(desk, now_ms=NOW)


@pytest.fixture
def school(desk, tmp_path):
    """One learner with an attempt, a second hand-in put aside and a damaged one; another beside."""
    made = class_of(desk, (LEARNER, "ZQ-4712", "ZQ-4713"))
    with desk.store.writing() as c:
        his = update(t.person).where(t.person.c.learner_id == LEARNER)
        c.execute(his.values(given_name=NAME[0], family_name=NAME[1], email=EMAIL))
    worked = played(tuple(map(json.dumps, ACTS)), seed(1))
    good = made.handin(LEARNER, worked)
    files = {
        "a.handin": good,
        "b.handin": made.handin("ZQ-4712"),
        "c.handin": made.handin(LEARNER, worked, opening_id=uuid_of("again"), minutes=20),
        "d.handin": good.replace(b'"look"', b'"Look"', 1),
        "e.handin": made.handin("ZQ-9999", key=LEARNER),
        "f.handin": made.handin("ZQ-4713", unsafe()),
    }
    report = import_files(
        desk, written(tmp_path / "in", files), INSTRUCTOR, Wish(resimulate="none")
    )
    came, aside = ["imported"], ["aside"]
    assert [row.status for row in report.rows] == 2 * came + 3 * aside + came
    return desk


def assignment_of(desk):
    with desk.store.reading() as c:
        return c.execute(select(t.assignment)).one()


def rows_given(desk, everything=False):
    given = handed_over(desk, LEARNER, everything)
    files = dict(given.files)
    return given, json.loads(files.pop("rows.json")), files


def test_nothing_of_a_mark_before_release_and_what_is_shown_after(school):
    given, rows, files = rows_given(school)
    marks = {"grade", "grade_item", "critical_event", "override", "rating", "release", "shown"}
    assert not marks & {name for name, found in rows.items() if found}
    assert given.withheld == 1
    assert len([name for name in files if name.startswith("files/")]) == 4
    assert {row["what"] for row in rows["audit"]} <= {"learner.export", "key.trusted"}
    release(school, assignment_of(school).id, INSTRUCTOR, level="points")
    given, rows, _ = rows_given(school)
    assert given.withheld == 1
    assert {"total", "verdict"} <= set(rows["shown"][0])
    assert "body" not in rows["shown"][0]
    release(school, assignment_of(school).id, INSTRUCTOR, level="full")
    given, rows, _ = rows_given(school)
    assert given.withheld == 0
    assert rows["shown"][0]["body"]["findings"]
    withhold(school, assignment_of(school).id)
    given, rows, _ = rows_given(school)
    assert (given.withheld, rows["shown"]) == (1, [])


def test_the_instructor_may_take_everything(school):
    _, rows, _ = rows_given(school, everything=True)
    assert {"grade", "grade_item", "receipt", "key", "opening"} <= set(rows)
    assert "imported" in {row["what"] for row in rows["audit"]}


def test_an_erasure_after_the_whole_way_leaves_nobody_and_the_figures(school, tmp_path):
    release(school, assignment_of(school).id, INSTRUCTOR)
    before = figures_of(school)
    told = erase(school, LEARNER, LEARNER)
    assert (told.attempts, told.files, told.left, told.clean) == (1, 4, (), True)
    words = [LEARNER, *NAME, EMAIL]
    stored = b"".join(p.read_bytes() for p in tmp_path.iterdir() if p.name.startswith("class.db"))
    assert [w for w in words if w.encode() in stored] == []
    with school.store.reading() as c:
        texts = [
            str(row) for table in t.metadata.sorted_tables for row in c.execute(table.select())
        ]
        assert find(c, told.token).erased
    assert [w for w in words for text in texts if w in text] == []
    assert len(before["marks"]) == 3
    assert figures_of(school) == before


def test_the_same_file_again_after_an_erasure_brings_nobody_back(school, tmp_path):
    told = erase(school, LEARNER, LEARNER)
    import_files(school, [tmp_path / "in" / "a.handin"], INSTRUCTOR, Wish(resimulate="none"))
    with school.store.reading() as c:
        assert find(c, told.token).name == ""
        (blob,) = c.execute(
            select(t.blob).join(t.attempt, t.attempt.c.file_digest == t.blob.c.digest)
            .join(t.person, t.person.c.id == t.attempt.c.person_id)
            .where(t.person.c.learner_id == told.token)
        )  # fmt: skip
    assert blob.packed == b""


def figures_of(desk):
    """Everything a class report says of the class and not of one learner, and every mark in it."""
    with desk.store.reading() as c:
        found = figures(c, c.execute(select(t.assignment)).one(), desk.now_ms)
    standing = [len(part) for part in (found.ready, found.unsafe, found.safe, found.waiting)]
    return {
        "marks": sorted((e.status, e.mark.total, e.mark.verdict) for e in found.graded),
        "standing": standing,
        "critical": [(e.code, set(e.learners)) for e in found.critical],
        "items": {
            (i.rule, i.code): (i.judged, set(i.missed), i.not_shown, i.figures)
            for i in found.items
        },
        "mean": found.mean, "reliability": found.reliability, "flags": found.flags,
    }  # fmt: skip
