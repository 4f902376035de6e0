"""Hand-ins into the store: once, with receipts; what is wrong is put aside or told, never lost."""

from __future__ import annotations

from dataclasses import replace

import pytest
from sqlalchemy import func, insert, select

from tests.classroom.handed import (
    DAY,
    HOUR,
    INSTRUCTOR,
    NOW,
    Worked,
    careful,
    class_of,
    idle,
    key_of,
    unsafe,
    uuid_of,
    written,
)
from trainer.base.errors import NotFoundError, TrainerError
from trainer.classroom.importing import Wish, import_files
from trainer.exchange.handin import Opened, Sitting
from trainer.exchange.receipt import read_receipt
from trainer.session.sealing import lock_of
from trainer.store import tables as t

QUICK = Wish(resimulate="none")
WHOLE = Sitting(NOW - HOUR, NOW, HOUR)


@pytest.fixture
def desk(desk):
    return replace(desk, now_ms=NOW)


def take(desk, tmp_path, *files, wish=QUICK):
    """Import these bytes; the rows of the report."""
    paths = written(tmp_path / "in", {f"{n}.handin": content for n, content in enumerate(files)})
    return import_files(desk, paths, INSTRUCTOR, wish).rows


def count(desk, table):
    with desk.store.reading() as connection:
        return connection.scalar(select(func.count()).select_from(table))


def rows(desk, table):
    with desk.store.reading() as connection:
        return list(connection.execute(select(table)))


EVERY = (
    t.attempt, t.grade, t.grade_item, t.receipt, t.blob, t.key, t.opening, t.quarantine, t.audit,
    t.critical_event, t.release,
)  # fmt: skip


def test_a_hand_in_is_kept_marked_and_receipted(desk, tmp_path):
    made = class_of(desk)
    content = made.handin("L-1", unsafe())
    [row] = take(desk, tmp_path, content)
    assert (row.status, row.learner_id, row.no, row.flags) == ("imported", "L-1", 1, ())
    [attempt] = rows(desk, t.attempt)
    assert (attempt.state, attempt.file_digest) == ("graded", row.digest)
    receipt = read_receipt(row.receipt, "receipt", lock_of(INSTRUCTOR))
    assert (receipt.digest, receipt.learner_id, receipt.late_ms) == (row.digest, "L-1", 0)
    assert receipt.counted


def test_importing_twice_changes_nothing_and_gives_the_first_receipt(desk, tmp_path):
    made = class_of(desk)
    content = made.handin("L-1")
    [first] = take(desk, tmp_path, content)
    before = {table.name: count(desk, table) for table in EVERY}
    later = replace(desk, now_ms=NOW + DAY)
    [again] = take(later, tmp_path, content)
    assert again.status == "again"
    assert again.receipt == first.receipt
    assert again.attempt_id == first.attempt_id
    assert {table.name: count(desk, table) for table in EVERY} == before


def test_the_same_file_twice_in_one_run_is_one_attempt(desk, tmp_path):
    content = class_of(desk).handin("L-1")
    first, again = take(desk, tmp_path, content, content)
    assert (first.status, again.status) == ("imported", "again")
    assert again.receipt == first.receipt
    assert count(desk, t.attempt) == 1


def test_a_changed_file_is_put_aside_with_its_bytes_and_the_first_bad_event(desk, tmp_path):
    made = class_of(desk)
    content = made.handin("L-1", unsafe())
    lines = content.split(b"\n")
    lines[4] = lines[4].replace(b'"at_ms":', b'"at_ms":1')
    [row] = take(desk, tmp_path, b"\n".join(lines))
    assert row.status == "aside"
    assert row.code == "not_verified"
    assert row.reason.startswith("event 3 was changed")
    [kept] = rows(desk, t.quarantine)
    assert (kept.digest, kept.reason) == (row.digest, row.reason)
    assert count(desk, t.attempt) == 0
    again = take(desk, tmp_path, b"\n".join(lines))
    assert again[0].status == "aside"
    assert count(desk, t.quarantine) == 1


def test_bad_and_good_files_in_one_run(desk, tmp_path):
    made = class_of(desk)
    found = take(desk, tmp_path, made.handin("L-1"), b"nothing", made.handin("L-2"))
    assert [row.status for row in found] == ["imported", "aside", "imported"]


@pytest.mark.parametrize(
    ("learner", "changed", "code"),
    [
        ("L-9", {}, "no_learner"),
        ("L-1", {"assignment_id": uuid_of("another")}, "no_assignment"),
        ("L-1", {"no": 3}, "no_attempt_left"),
    ],
)
def test_what_may_not_be_taken_is_put_aside(desk, tmp_path, learner, changed, code):
    made = class_of(desk)
    changed = dict(changed)  # the next database is tried with the same
    no = changed.pop("no", 1)
    [row] = take(desk, tmp_path, made.handin(learner, idle(), no, **changed))
    assert (row.status, row.code) == ("aside", code)
    assert row.hint
    assert learner not in rows(desk, t.quarantine)[0].reason


def test_an_attempt_too_many_is_taken_once_it_is_allowed(desk, tmp_path):
    made = class_of(desk)
    content = made.handin("L-1", idle(3), 3)
    [aside] = take(desk, tmp_path, content)
    assert aside.status == "aside"
    row = {
        "id": desk.new_id(), "assignment_id": made.assignment_id,
        "person_id": made.people["L-1"], "extra_attempts": 1, "reason": "the power failed",
        "made_ms": NOW, "made_by": "instructor",
    }  # fmt: skip
    with desk.store.writing() as connection:
        connection.execute(insert(t.assignment_exception).values(**row))
    [taken] = take(desk, tmp_path, content)
    assert taken.status == "imported"
    assert count(desk, t.quarantine) == 0


def test_another_file_for_a_marked_attempt_is_put_aside_and_told_at_both(desk, tmp_path):
    made = class_of(desk)
    take(desk, tmp_path, made.handin("L-1"))
    [second] = take(desk, tmp_path, made.handin("L-1", unsafe()))
    assert (second.status, second.code) == ("aside", "second_handin")
    [attempt] = rows(desk, t.attempt)
    assert any("another file" in flag for flag in attempt.flags)


def test_the_first_key_is_trusted_and_another_is_told(desk, tmp_path):
    made = class_of(desk)
    [first] = take(desk, tmp_path, made.handin("L-1"))
    [second] = take(desk, tmp_path, made.handin("L-1", idle(2), 2, key="another machine"))
    assert first.flags == ()
    assert any(flag.startswith("key: it is another key") for flag in second.flags)
    [third] = take(desk, tmp_path, made.handin("L-2", key="L-1"))
    assert third.flags == ("key: another learner signs with this key",)
    assert third.status == "imported"


def test_two_beginnings_of_one_attempt_are_told_at_both(desk, tmp_path):
    made = class_of(desk)
    take(desk, tmp_path, made.handin("L-1"))
    book = [Opened(1, uuid_of("anew"), NOW - 2 * HOUR), Opened(2, uuid_of("L-1 2"), NOW - HOUR)]
    [second] = take(desk, tmp_path, made.handin("L-1", idle(2), 2, openings=book))
    assert any("attempt 1 was begun twice" in flag for flag in second.flags)
    first = next(row for row in rows(desk, t.attempt) if row.no == 1)
    assert any("begun twice" in flag for flag in first.flags)


def test_a_book_that_forgot_an_attempt_is_told(desk, tmp_path):
    made = class_of(desk)
    take(desk, tmp_path, made.handin("L-1"))
    [second] = take(desk, tmp_path, made.handin("L-1", idle(2), 2))
    assert any("does not know of attempt 1" in flag for flag in second.flags)


@pytest.mark.parametrize(
    ("made_with", "said"),
    [
        ({"started_ms": NOW - 3 * DAY}, "before the assignment was made"),
        ({"started_ms": NOW - DAY - HOUR}, "before the assignment opened"),
        ({"minutes": -10}, "ended before it began"),
        ({"minutes": 120}, "after it was received"),
        ({"sittings": [Sitting(NOW - HOUR, NOW - HOUR + 600_000, 470_000)]}, "moved 130 s against"),
        (
            {
                "sittings": [
                    Sitting(NOW - HOUR, NOW, 3_600_000),
                    Sitting(NOW - 600_000, NOW, 600_000),
                ]
            },
            "set back between",
        ),
        ({"sittings": [Sitting(NOW, NOW - HOUR, 60_000)]}, "ran backwards"),
    ],
)
def test_a_clock_that_cannot_be_is_told_and_the_attempt_counts(desk, tmp_path, made_with, said):
    made = class_of(desk)
    [row] = take(desk, tmp_path, made.handin("L-1", **made_with))
    assert row.status == "imported"
    assert any(said in flag for flag in row.flags), row.flags
    assert row.counted


def test_a_steady_clock_is_not_told(desk, tmp_path):
    spans = [Sitting(NOW - HOUR, NOW - HOUR + 600_000, 481_000), Sitting(NOW - 60_000, NOW, None)]
    [row] = take(desk, tmp_path, class_of(desk).handin("L-1", sittings=spans))
    assert row.flags == ()


@pytest.mark.parametrize("rule", t.LATE_RULES)
def test_a_clock_set_back_two_days_makes_nothing_on_time(desk, tmp_path, rule):
    made = class_of(desk, late_rule=rule, due_ms=NOW - 2 * HOUR, opens_ms=NOW - DAY)
    back = NOW - 2 * DAY - HOUR  # before the assignment was made
    [row] = take(desk, tmp_path, made.handin("L-1", started_ms=back))
    assert row.late_ms == 2 * HOUR
    assert any(flag.startswith("clock") for flag in row.flags)


def test_a_claimed_time_counts_only_where_the_rule_says_so(desk, tmp_path):
    made = class_of(desk, late_rule="claimed-if-unflagged", due_ms=NOW - 2 * HOUR)
    [row] = take(desk, tmp_path, made.handin("L-1", started_ms=NOW - 4 * HOUR))
    assert row.late_ms == 0
    [other] = take(desk, tmp_path, made.handin("L-2", started_ms=NOW - 4 * HOUR, minutes=150))
    assert other.late_ms == HOUR // 2


def test_grace_is_on_time_and_past_it_all_of_it_is_late(desk, tmp_path):
    made = class_of(desk, due_ms=NOW - HOUR, grace_min=60)
    assert take(desk, tmp_path, made.handin("L-1"))[0].late_ms == 0
    later = replace(desk, now_ms=NOW + 1)
    assert take(later, tmp_path, made.handin("L-2"))[0].late_ms == HOUR + 1


def test_after_closing_it_is_kept_and_does_not_count(desk, tmp_path):
    made = class_of(desk, due_ms=NOW - 3 * HOUR, closes_ms=NOW - 2 * HOUR)
    [row] = take(desk, tmp_path, made.handin("L-1"))
    assert (row.status, row.counted) == ("imported", False)
    assert any(flag.startswith("closed:") for flag in row.flags)
    assert count(desk, t.grade) == 1


def test_acts_are_asked_again_and_hold(desk, tmp_path):
    made = class_of(desk)
    [row] = take(desk, tmp_path, made.handin("L-1", unsafe()), wish=Wish("all"))
    assert row.status == "imported", row.reason
    assert "3 of 3 acts asked again" in rows(desk, t.attempt)[0].checked


def test_a_reading_that_was_never_taken_is_found_by_asking_again(desk, tmp_path):
    made = class_of(desk)
    forged = _with_event(unsafe(), "cover", lambda data: {**data, "off": False})
    [row] = take(desk, tmp_path, made.handin("L-1", forged), wish=Wish("all"))
    assert (row.status, row.code) == ("aside", "not_replayed")
    assert "event" in row.reason
    [taken] = take(
        desk, tmp_path, made.handin("L-1", forged), wish=Wish("all", accepted="I stood beside him")
    )
    assert taken.status == "imported"
    assert any("I stood beside him" in flag for flag in taken.flags)


def test_another_unit_than_was_given_is_found(desk, tmp_path):
    made = class_of(desk)

    def easier(data):
        unit = {**data["unit"], "conductors": data["unit"]["conductors"][1:]}
        return {**data, "unit": unit}

    [row] = take(
        desk, tmp_path, made.handin("L-1", _with_event(unsafe(), "begun", easier)),
        wish=Wish("sample"),
    )  # fmt: skip
    assert (row.status, row.code) == ("aside", "not_replayed")
    assert "event 1" in row.reason


def _with_event(worked, kind, change):
    events = [replace(e, data=change(dict(e.data))) if e.kind == kind else e for e in worked.events]
    return Worked(worked.header, tuple(events))


def test_another_variant_and_practice_are_refused(desk, tmp_path):
    made = class_of(desk)
    other = Worked({**idle().header, "seed": 2**63}, idle().events)
    assert "another variant" in take(desk, tmp_path, made.handin("L-1", other))[0].reason
    practice = Worked({**idle().header, "mode": "practice"}, idle().events)
    assert "not graded" in take(desk, tmp_path, made.handin("L-1", practice))[0].reason


def test_signed_nonsense_is_put_aside_and_not_a_mistake_of_the_program(desk, tmp_path):
    made = class_of(desk)
    for kind in ("begun", "cover"):
        nonsense = _with_event(unsafe(), kind, lambda data: {"unit": 3, "x": [None]})
        [row] = take(desk, tmp_path, made.handin("L-1", nonsense))
        assert row.status == "aside", kind


def test_the_same_acts_at_the_same_times_are_told_at_both_and_fail_nobody(desk, tmp_path):
    made = class_of(desk)
    first, second = take(
        desk, tmp_path, made.handin("L-1", careful()), made.handin("L-2", careful())
    )
    assert first.flags == ()
    assert any(flag.startswith("alike:") for flag in second.flags)
    assert all(any(f.startswith("alike:") for f in row.flags) for row in rows(desk, t.attempt))
    one, two = rows(desk, t.grade)
    assert (one.total, one.verdict) == (two.total, two.verdict)


def test_two_workers_do_the_same(desk, tmp_path):
    made = class_of(desk, ["L-1", "L-2", "L-3"])
    files = [made.handin(f"L-{n}", unsafe()) for n in (1, 2, 3)] + [b"{"]
    found = take(desk, tmp_path, *files, wish=Wish("all", workers=2))
    assert [row.status for row in found] == ["imported"] * 3 + ["aside"]


def test_a_dry_run_writes_nothing(desk, tmp_path):
    made = class_of(desk)
    found = take(desk, tmp_path, made.handin("L-1"), b"{", wish=Wish("none", dry_run=True))
    assert [row.status for row in found] == ["would", "aside"]
    assert not any(count(desk, table) for table in EVERY)


def test_a_folder_gives_its_hand_ins_and_progress_is_told(desk, tmp_path):
    made = class_of(desk)
    folder = tmp_path / "stick"
    written(folder, {"b.handin": made.handin("L-2"), "a.handin": made.handin("L-1"), "c.txt": b""})
    told = []
    report = import_files(
        desk, [folder], INSTRUCTOR, QUICK, lambda done, of: told.append((done, of))
    )
    assert [row.learner_id for row in report.rows] == ["L-1", "L-2"]
    assert told == [(0, 2), (1, 2), (2, 2)]


def test_a_file_too_large_is_not_even_read(desk, tmp_path):
    huge = tmp_path / "huge.handin"
    with open(huge, "wb") as file:
        file.truncate(61_000_000)
    [row] = import_files(desk, [huge], INSTRUCTOR, QUICK).rows
    assert (row.status, row.digest) == ("refused", "")
    assert "too large" in row.reason


def test_what_is_not_there_is_told(desk, tmp_path):
    with pytest.raises(NotFoundError):
        import_files(desk, [tmp_path / "gone"], INSTRUCTOR, QUICK)
    with pytest.raises(TrainerError, match="sample, all or none"):
        import_files(desk, [tmp_path], INSTRUCTOR, Wish("some"))


def test_no_row_but_the_person_names_the_learner(desk, tmp_path):
    made = class_of(desk, ["Zenobia-77"])
    take(desk, tmp_path, made.handin("Zenobia-77", unsafe()))
    for table in t.metadata.sorted_tables:
        if table is not t.person:
            assert "Zenobia" not in str(rows(desk, table)), table.name


def test_an_attempt_sealed_for_another_desk_is_told(desk, tmp_path):
    made = class_of(desk)
    paths = written(tmp_path / "in", {"a.handin": made.handin("L-1")})
    [row] = import_files(desk, paths, key_of("another desk"), QUICK).rows
    assert any(flag.startswith("lock:") for flag in row.flags)
