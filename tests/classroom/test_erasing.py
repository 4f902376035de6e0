"""One person's data given whole, and erased without a trace of who it was. People are invented."""

import hashlib
import json
import sqlite3
from dataclasses import replace

import pytest
from sqlalchemy import insert, select, update

from tests.classroom.class_of_three import assigned
from tests.classroom.rows import handed_in, put_aside
from trainer.base.errors import ConflictError, NotFoundError
from trainer.classroom.aliases import alias
from trainer.classroom.erasing import erase
from trainer.classroom.handing_over import handed_over
from trainer.classroom.keeping import fetch
from trainer.classroom.people import find
from trainer.store import database
from trainer.store import tables as t

NAME = ("Philomena-Unusual", "Zörnquist")
EMAIL = "philomena.z@example.org"
#: Every way in which the invented learner can stand in a file.
TRACES = [NAME[0], NAME[1], EMAIL, "L-07", "OLD-0007", "ext-4711"]


@pytest.fixture
def school(desk, tmp_path):
    """L-07 with a name that stands nowhere else, an older id, two attempts, a damaged file."""
    assigned(desk, tmp_path, attempts=2)
    with desk.store.writing() as c:
        c.execute(
            update(t.person).where(t.person.c.learner_id == "L-07")
            .values(given_name=NAME[0], family_name=NAME[1], email=EMAIL, external_id="ext-4711")
        )  # fmt: skip
    alias(desk, "L-07", "OLD-0007")
    handed_in(desk, "L-07", more="a learner's long file " * 400)
    handed_in(desk, "OLD-0007", no=2, total=40)
    handed_in(desk, "L-08", total=90, flags=["same times as L-07, attempt 1"])
    put_aside(desk, "L-07", f"event 3 of the file of L-07 ({EMAIL}) was changed")
    return desk


def stored_bytes(folder):
    """The database, its write-ahead log and its index, as they lie on the disk; none elsewhere."""
    return b"".join(p.read_bytes() for p in folder.iterdir() if p.name.startswith("class.db"))


def totals(desk):
    with desk.store.reading() as c:
        query = select(t.grade.c.total, t.grade.c.verdict, t.attempt.c.assignment_id)
        return sorted(tuple(row) for row in c.execute(query.select_from(t.grade.join(t.attempt))))


def person_id(desk, learner_id):
    with desk.store.reading() as c:
        return find(c, learner_id).id


def test_all_of_one_person_and_nothing_of_another(school):
    given = handed_over(school, "OLD-0007", everything=True)
    files = dict(given.files)
    rows = json.loads(files["rows.json"])
    assert {name: len(found) for name, found in rows.items()} == {
        "person": 1, "person_alias": 1, "enrolment": 1, "place": 1, "key": 1, "opening": 2,
        "attempt": 2, "grade": 2, "grade_item": 2, "quarantine": 1, "audit": 3,
    }  # fmt: skip
    assert rows["person"][0]["email"] == EMAIL
    assert rows["place"] == [{"class": "hvac-1", "section": "am", "active": 1}]
    kept = [name for name in files if name.startswith("files/")]
    assert len(kept) == 3
    for name in kept:
        assert name == f"files/{hashlib.sha256(files[name]).hexdigest()}"
        assert b"L-07" in files[name] or b"OLD-0007" in files[name]
    assert "Ben" not in files["rows.json"].decode()
    assert person_id(school, "L-08") not in files["rows.json"].decode()


def test_a_file_damaged_in_the_store_is_told_and_the_rest_is_given(school):
    with school.store.writing() as c:
        digest = c.scalar(select(t.attempt.c.file_digest).where(t.attempt.c.no == 2))
        c.execute(update(t.blob).where(t.blob.c.digest == digest).values(packed=b"no zlib"))
    given = handed_over(school, "L-07")
    assert given.damaged == (digest,)
    assert len([name for name, _ in given.files if name.startswith("files/")]) == 2


def test_after_an_erasure_no_byte_of_the_person_is_in_the_store(school, tmp_path):
    """On SQLite in the bytes of its files, on both databases in every row."""
    before = stored_bytes(tmp_path)
    if school.store.is_sqlite:
        assert all(trace.encode() in before for trace in TRACES)
    marks, his = totals(school), person_id(school, "L-07")
    told = erase(school, "L-07", "L-07")
    assert (told.aliases, told.attempts, told.files) == (1, 2, 3)
    assert (told.left, told.done, told.clean) == ((), True, True)
    after = stored_bytes(tmp_path)
    assert [trace for trace in TRACES if trace.encode() in after] == []
    with school.store.reading() as c:
        everything = [
            str(tuple(row))
            for table in t.metadata.sorted_tables
            for row in c.execute(table.select())
        ]
        found = find(c, told.token)
    assert [x for x in TRACES for row in everything if x in row] == []
    assert totals(school) == marks
    assert (found.id, found.erased, found.name) == (his, True, "")


def test_the_trail_tells_of_it_without_the_name(school):
    his = person_id(school, "L-07")
    erase(school, "L-07", "L-07")
    with school.store.reading() as c:
        row = c.execute(select(t.audit).where(t.audit.c.what == "learner.erase")).one()
    assert (row.subject, row.who) == (his, "instructor")
    assert row.body == {"aliases": 1, "attempts": 2, "files": 3}


def test_other_learners_keep_their_files_and_notes_lose_the_id(school):
    token = erase(school, "L-07", "L-07").token
    with school.store.reading() as c:
        other = c.execute(
            select(t.attempt).where(t.attempt.c.person_id == find(c, "L-08").id)
        ).one()
        assert other.flags == [f"same times as {token}, attempt 1"]
        assert b"L-08" in fetch(c, other.file_digest)
        emptied = c.execute(select(t.blob.c.size, t.blob.c.packed).where(t.blob.c.size == 0)).all()
    assert len(emptied) == 3


def test_what_somebody_typed_into_rows_that_stay_is_told(school):
    with school.store.writing() as c:
        attempt = c.scalar(select(t.attempt.c.id).where(t.attempt.c.no == 2))
        c.execute(
            insert(t.rating).values(id="r", attempt_id=attempt, rating=2, verdict="as L-07 said",
                                    made_by="x", made_ms=0)
        )  # fmt: skip
    assert erase(school, "L-07", "", dry_run=True).left == (("rating", 1),)
    assert erase(school, "L-07", "L-07").left == (("rating", 1),)


def test_a_number_for_an_id_is_not_taken_out_of_other_sentences(school, tmp_path):
    alias(school, "100", "L-07")
    erase(school, "100", "100")
    with school.store.writing() as c:
        his = update(t.attempt).where(t.attempt.c.no == 1)
        c.execute(his.values(flags=["clock: it moved 100 s", "about L-08"]))
    alias(school, "100", "L-08")
    assert erase(school, "100", "100").left == ()
    with school.store.reading() as c:
        flags = {tuple(row) for row in c.scalars(select(t.attempt.c.flags))}
    assert any(row[0] == "clock: it moved 100 s" and "L-08" not in row[1] for row in flags if row)


def test_a_dry_run_and_a_wrong_confirmation_change_nothing(school):
    told = erase(school, "L-07", "", dry_run=True)
    assert (told.aliases, told.attempts, told.files, told.done) == (1, 2, 3, False)
    with pytest.raises(ConflictError, match="another one"):
        erase(school, "L-07", "L-08")
    with pytest.raises(NotFoundError):
        erase(school, "L-99", "L-99")
    assert person_id(school, "OLD-0007")


def test_while_somebody_reads_the_file_is_cleaned_later(school, tmp_path, monkeypatch):
    """Only on SQLite does a reader keep old pages; the command is given again with the token."""
    if not school.store.is_sqlite:
        assert erase(school, "L-07", "L-07").clean
        return
    monkeypatch.setattr(database, "BUSY_MS", 20)
    hurried = replace(school, store=database.connect(school.store.url))
    reader = sqlite3.connect(tmp_path / "class.db", isolation_level=None)
    reader.execute("begin")
    reader.execute("select count(*) from person").fetchone()
    told = erase(hurried, "L-07", "L-07")
    assert (told.done, told.clean) == (True, False)
    reader.close()
    assert erase(hurried, told.token, told.token).clean
    hurried.store.close()
    assert NAME[0].encode() not in stored_bytes(tmp_path)


def test_an_erased_id_may_be_somebody_new(school, tmp_path):
    from trainer.classroom.roster import apply, judge, read_rosters

    erase(school, "L-07", "L-07")
    path = tmp_path / "later.csv"
    path.write_text("learner_id,given_name\nL-07,Another\n")
    made = apply(school, "hvac-1", judge(read_rosters([path], "utf-8", "learner_id")))
    assert [step.kind for step in made.steps] == ["add"]
