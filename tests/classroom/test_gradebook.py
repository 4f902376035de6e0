"""The gradebook: five statuses, the attempt that counts, sheets long, wide and filled in."""

import csv
import io
from datetime import UTC, datetime
from decimal import Decimal
from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import insert, update

from tests.classroom.invented import DAY, MINUTE, T0, filled, id_of
from trainer.base.errors import NotFoundError, TrainerError
from trainer.classroom.assigning import assignment_of
from trainer.classroom.csvout import text_of
from trainer.classroom.gradebook import counting, entries, shown_entries
from trainer.classroom.gradesheet import COLUMNS, fill, row_of, wide
from trainer.classroom.stamps import duration, iso
from trainer.classroom.standing import effective, exact_text
from trainer.store import tables as t


def book_of(desk, name="dead-1"):
    with desk.store.reading() as c:
        return entries(c, assignment_of(c, name), desk.now_ms)


def by_learner(book):
    return {e.who.learner_id: dict(zip(COLUMNS, row_of(e))) for e in book}


def excuse(desk, made, learner):
    with desk.store.writing() as c:
        c.execute(insert(t.assignment_exception).values(
            id=id_of("exception", learner), assignment_id=made.assignment,
            person_id=made.people[learner], excused=1, reason="ill, invented", made_ms=T0,
            made_by="instructor"))  # fmt: skip


def release(desk, made, learner, no=1, **other):
    with desk.store.writing() as c:
        mark = effective(c, made.attempts[learner, no])
        row = {"id": id_of("release", learner, no, str(other)), "attempt_id": mark.attempt_id,
               "grade_id": mark.grade_id, "level": "full", "total": exact_text(mark.total),
               "verdict": mark.verdict, "made_ms": T0 + 3 * 3_600_000,
               "made_by": "instructor"}  # fmt: skip
        c.execute(insert(t.release).values(**{**row, **other}))


def test_five_statuses_are_told_apart_and_nothing_is_not_zero(desk):
    made = filled(desk)
    excuse(desk, made, "L-0012")
    rows = by_learner(book_of(desk))
    assert {k: r["status"] for k, r in rows.items()} == {
        **{f"L-{n:04d}": "graded" for n in range(1, 10)}, "L-0010": "handed_in",
        "L-0011": "in_progress", "L-0012": "excused",
    }  # fmt: skip
    assert rows["L-0009"]["score"] == 0 and rows["L-0009"]["score"] is not None
    for learner in ("L-0010", "L-0011", "L-0012"):
        assert rows[learner]["score"] is None and rows[learner]["verdict"] == ""
    assert rows["L-0010"]["attempt"] == 1 and rows["L-0011"]["attempt"] is None
    text = text_of(COLUMNS, [row_of(e) for e in book_of(desk)])
    read = {r["learner_id"]: r for r in csv.DictReader(io.StringIO(text.lstrip("\ufeff")))}
    assert (read["L-0009"]["score"], read["L-0010"]["score"]) == ("0.0", "")


def test_not_started_without_any_row(desk):
    filled(desk)
    assert by_learner(book_of(desk))["L-0012"]["status"] == "not_started"


def test_the_best_attempt_counts_and_the_cells_are_of_it(desk):
    made = filled(desk)
    row = by_learner(book_of(desk))["L-0005"]
    assert (row["attempt"], row["score"], row["verdict"]) == (2, 100, "pass")
    assert row["critical_count"] == 0 and row["released"] == "no"
    assert by_learner(book_of(desk))["L-0004"]["critical_count"] == 1
    assert made.attempts["L-0005", 1] != made.attempts["L-0005", 2]


def test_released_says_whether_what_counts_was_shown(desk):
    made = filled(desk)
    release(desk, made, "L-0001")
    release(desk, made, "L-0002", total="98/1")
    rows = by_learner(book_of(desk))
    assert [rows[f"L-000{n}"]["released"] for n in (1, 2, 3)] == ["yes", "changed since", "no"]


def mark(total, verdict="pass"):
    return SimpleNamespace(total=total, verdict=verdict)


def tried(*numbers):
    return [SimpleNamespace(id=str(n), no=n) for n in numbers]


@pytest.mark.parametrize(("rule", "counts"), [("first", 1), ("last", 3), ("best", 2)])
def test_each_rule_of_counting(rule, counts):
    marks = {"1": mark(50, "fail"), "2": mark(90), "3": mark(70)}
    assert counting(rule, tried(1, 2, 3), marks).no == counts


def test_of_equals_the_latest_and_a_pass_before_a_higher_fail():
    assert counting("best", tried(1, 2), {"1": mark(90), "2": mark(90)}).no == 2
    assert counting("best", tried(1, 2), {"1": mark(85), "2": mark(93, "fail")}).no == 1
    assert counting("best", tried(1, 2), {"1": mark(85), "2": None}).no == 1
    assert counting("best", tried(1, 2), {"1": None, "2": None}).no == 2
    assert counting("last", [], {}) is None


def test_wide_has_a_row_a_learner_and_says_what_is_not_shown(desk):
    made = filled(desk)
    release(desk, made, "L-0001")
    sheet = wide([book_of(desk)])
    assert sheet.header[-2:] == ("dead-1", "dead-1 status")
    last = {row[0]: row[-2:] for row in sheet.rows}
    assert last["L-0001"] == (100, "graded")
    assert last["L-0002"] == (100, "graded, released: no")
    assert last["L-0012"] == (None, "not_started")


ELSEWHERE = (
    '\ufeffStudent,"ID",Email,"Make it dead"\r\n'
    "    Points Possible,,,100\r\n"
    '"Invented, Zoë",L-0001,LEARNER1@example.org,\r\n'
    "Invented,L-0002,learner2@example.org,-\r\n"
    '"Else, Somebody",Z-9,z@example.org,"7"'
)


@pytest.mark.parametrize("column", ["ID", "Email"])
def test_a_file_from_elsewhere_is_filled_and_otherwise_unchanged(desk, column):
    made = filled(desk)
    release(desk, made, "L-0001")
    got = fill(ELSEWHERE, "lms.csv", book_of(desk), column, "Make it dead")
    assert got.text == ELSEWHERE.replace("example.org,\r\n", "example.org,100.0\r\n", 1)
    assert got.filled == ("L-0001",) and "L-0002" in got.held_back and got.unknown_rows == 1
    every = fill(ELSEWHERE, "lms.csv", book_of(desk), column, "Make it dead", every=True)
    assert every.filled == ("L-0001", "L-0002") and "L-0003" in every.absent
    assert "learner2@example.org,100.0\r\n" in every.text and every.text.endswith('"7"')


def test_what_cannot_be_filled_is_told(desk):
    filled(desk)
    book = book_of(desk)
    with pytest.raises(NotFoundError, match="column 'Mark' is not there"):
        fill(ELSEWHERE, "lms.csv", book, "ID", "Mark")
    with pytest.raises(TrainerError, match="no learner of this class"):
        fill(ELSEWHERE, "lms.csv", book, "Student", "Make it dead")
    twice = ELSEWHERE + "\r\nx,L-0001,,"
    with pytest.raises(TrainerError, match="'L-0001' stands in two rows"):
        fill(twice, "lms.csv", book, "ID", "Make it dead")


@given(st.integers(0, 4_102_444_800_000))
def test_a_moment_is_written_as_the_calendar_has_it(ms):
    told = datetime.fromtimestamp(ms // 1000, UTC)
    assert iso(ms) == f"{told:%Y-%m-%dT%H:%M:%S}.{ms % 1000:03d}Z"


@pytest.mark.parametrize(
    ("ms", "text"),
    # PT18M32.5S: reference example of xAPI (section 3.8 of the assessment conventions)
    [(1_112_500, "PT18M32.5S"), (0, "PT0S"), (3_600_000, "PT1H"), (59_990, "PT59.99S"),
     (60_000, "PT1M")],
)  # fmt: skip
def test_durations(ms, text):
    assert duration(ms) == text


def learners_book(desk):
    with desk.store.reading() as c:
        return by_learner(shown_entries(c, assignment_of(c, "dead-1"), desk.now_ms))


MARKS = ("score", "percent", "verdict", "critical_count", "hints_used", "graded_at", "override")


def test_learners_are_shown_no_mark_and_not_that_there_is_one(desk):
    filled(desk)
    for row in learners_book(desk).values():
        assert row["status"] in ("handed_in", "in_progress", "not_started")
        assert all(row[name] in (None, "") for name in (*MARKS, "max_score", "released"))


def test_learners_are_shown_what_was_released_and_no_later_mark(desk):
    """The first of two attempts is released; the better second one is not in what they see."""
    made = filled(desk)
    release(desk, made, "L-0003")
    release(desk, made, "L-0005", no=1)
    rows = learners_book(desk)
    assert (rows["L-0003"]["score"], rows["L-0003"]["critical_count"]) == (Decimal("92.2"), 1)
    assert (rows["L-0005"]["attempt"], rows["L-0005"]["verdict"]) == (1, "fail")
    assert rows["L-0005"]["score"] == Decimal("47.3")
    assert rows["L-0001"]["score"] is None


def test_a_mark_changed_since_is_not_what_learners_see(desk):
    made = filled(desk)
    release(desk, made, "L-0003")
    with desk.store.writing() as c:
        c.execute(insert(t.override).values(
            id=id_of("late"), attempt_id=made.attempts["L-0003", 1],
            based_on=made.grades["L-0003", 1], field="total", old="92.2", new="95/1",
            reason_code="evidence", reason="invented reason", made_ms=desk.now_ms,
            made_by="instructor"))  # fmt: skip
    assert learners_book(desk)["L-0003"]["score"] == Decimal("92.2")
    row = by_learner(book_of(desk))["L-0003"]
    assert (row["score"], row["released"], row["override"]) == (95, "changed since", "total")


def test_what_came_after_closing_counts_only_by_an_extension(desk):
    made = filled(desk, (("right",),))
    attempt = made.attempts["L-0001", 1]
    after = T0 + 2 * DAY + 11 * MINUTE  # it closes two days on, with ten minutes of grace
    with desk.store.writing() as c:
        c.execute(update(t.attempt).values(received_ms=after))
        c.execute(insert(t.receipt).values(
            id=id_of("receipt"), attempt_id=attempt, body={"counted": False}, signature="",
            made_ms=after))  # fmt: skip
    row = by_learner(book_of(desk))["L-0001"]
    assert (row["status"], row["score"], row["attempt"]) == ("handed_in", None, 1)
    with desk.store.writing() as c:
        c.execute(insert(t.assignment_exception).values(
            id=id_of("more"), assignment_id=made.assignment, person_id=made.people["L-0001"],
            closes_ms=after, reason="invented", made_ms=after, made_by="instructor"))  # fmt: skip
    assert by_learner(book_of(desk))["L-0001"]["score"] == 100
