"""Another rubric: who would move and cross the cut, then new rows; overrides and old rows stay."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from sqlalchemy import select

from tests.classroom.handed import INSTRUCTOR, NOW, careful, idle, unsafe
from tests.classroom.test_moderating import WHY, counts, handed, rows
from trainer.assess.finding_rubric import load_rubric, rubrics_dir
from trainer.assess.rubric import Rubric
from trainer.base.errors import TrainerError, UsageError
from trainer.classroom.moderating import override_mark
from trainer.classroom.regrading import apply, diff
from trainer.classroom.releasing import release, shown
from trainer.store import tables as t


@pytest.fixture
def desk(desk):
    return replace(desk, now_ms=NOW)


def rubric(**changed):
    """The job's rubric with something changed."""
    body = load_rubric(rubrics_dir() / "make-it-dead.yaml").model_dump(mode="json")
    return Rubric.model_validate({**body, **changed})


def lenient():
    """Nothing is critical, no floor, a low cut."""
    body = load_rubric(rubrics_dir() / "make-it-dead.yaml").model_dump(mode="json")
    domains = {name: {**d, "floor": "0"} for name, d in body["domains"].items()}
    return rubric(title="lenient (invented)", critical=[], cut="1", domains=domains)


def test_the_difference_names_who_moves_and_who_crosses_and_writes_nothing(desk, tmp_path):
    made, [lazy, rash, good] = handed(desk, tmp_path, idle(), unsafe(), careful())
    before = len(rows(desk, t.grade)), len(rows(desk, t.audit)), len(rows(desk, t.rubric))
    found = diff(desk, made.assignment_id, lenient())
    assert (len(rows(desk, t.grade)), len(rows(desk, t.audit)), len(rows(desk, t.rubric))) == before
    by_id = {m.attempt_id: m for m in found.moves}
    for attempt_id in (lazy, rash, good):
        now = counts(desk, attempt_id)
        move = by_id[attempt_id]
        assert move.old == now.total
        assert (move.verdict_before, move.way) == (now.verdict, "unchanged")
    assert {m.attempt_id for m in found.moves if m.crosses} >= {
        a for a in (lazy, rash, good)
        if counts(desk, a).verdict == "fail" and counts(desk, a).total >= 1
        and counts(desk, a).body["ended"] not in ("death", "loss")
    }  # fmt: skip


def test_up_and_down_are_told(desk, tmp_path):
    made, ids = handed(desk, tmp_path, idle(), careful())
    override_mark(desk, ids[0], "verdict", "pass", "circumstances", WHY)
    strict = rubric(title="strict (invented)", hints={}, domains=_weighed())
    found = diff(desk, made.assignment_id, strict)
    ways = {m.way for m in found.moves}
    assert ways <= {"up", "down", "unchanged"}
    for m in found.moves:
        assert (m.new > m.old, m.new < m.old) == (m.way == "up", m.way == "down")
    assert found.moves[0].kept == ("verdict",)
    assert found.moves[0].verdict_after == "pass"


def _weighed():
    body = load_rubric(rubrics_dir() / "make-it-dead.yaml").model_dump(mode="json")
    names = list(body["domains"])
    share = Fraction(100, len(names))
    weights = [share] * (len(names) - 1)
    weights.append(100 - sum(weights))
    return {
        n: {**body["domains"][n], "weight": str(w)} for n, w in zip(names, weights, strict=True)
    }


def test_applying_adds_rows_and_keeps_overrides(desk, tmp_path):
    made, ids = handed(desk, tmp_path, idle(), careful())
    override_mark(desk, ids[0], "total", "50", "circumstances", WHY)
    old = {r.id: tuple(r) for r in rows(desk, t.grade)}
    later = replace(desk, now_ms=NOW + 1000)
    done = apply(later, made.assignment_id, lenient(), why="the panel set another cut")
    assert len(done.written) == 2
    kept = {r.id: tuple(r) for r in rows(desk, t.grade)}
    assert {i: kept[i] for i in old} == old
    assert len(kept) == 4
    first = counts(desk, ids[0])
    assert (first.total, first.revision) == (50, 2)
    assert first.notes[0].startswith("total is overridden: base ")
    with desk.store.reading() as connection:
        by = connection.scalar(
            select(t.rubric.c.digest).join(t.assignment, t.assignment.c.rubric_id == t.rubric.c.id)
        )
    assert by == lenient().digest
    assert apply(later, made.assignment_id, lenient()).written == ()


def test_a_changed_base_is_told_with_both_values(desk, tmp_path):
    made, [one] = handed(desk, tmp_path, unsafe())
    override_mark(desk, one, "critical", "none", "circumstances", WHY)
    then = " ".join(counts(desk, one).computed_critical)
    apply(replace(desk, now_ms=NOW + 1), made.assignment_id, lenient())
    assert counts(desk, one).notes == (f"critical is overridden: base changed {then} -> none",)


def test_only_who_gains_and_only_some(desk, tmp_path):
    made, ids = handed(desk, tmp_path, idle(), careful())
    hard = rubric(title="hard (invented)", cut="100")
    done = apply(desk, made.assignment_id, hard, "only-up")
    assert not any(m.way == "up" for m in done.difference.moves)
    assert done.written == ()
    some = apply(desk, made.assignment_id, hard, attempts=[ids[1]])
    assert [g.attempt_id for g in some.written] == [ids[1]]
    with pytest.raises(UsageError):
        apply(desk, made.assignment_id, hard, "whoever")


def test_a_rubric_that_was_left_is_not_applied_silently(desk, tmp_path):
    made, [one] = handed(desk, tmp_path, idle())
    apply(desk, made.assignment_id, lenient())
    with pytest.raises(TrainerError, match="another title"):
        apply(desk, made.assignment_id, rubric())
    assert counts(desk, one).revision == 2


def test_released_marks_change_only_by_releasing_again(desk, tmp_path):
    made, [one] = handed(desk, tmp_path, unsafe())
    release(desk, made.assignment_id, INSTRUCTOR)

    def seen():
        with desk.store.reading() as connection:
            return shown(connection, one, NOW + 10)

    before = seen()
    apply(replace(desk, now_ms=NOW + 1), made.assignment_id, lenient())
    override_mark(replace(desk, now_ms=NOW + 2), one, "total", "88", "circumstances", WHY)
    assert seen() == before
    [again] = release(replace(desk, now_ms=NOW + 3), made.assignment_id, INSTRUCTOR)
    assert again.status == "released"
    assert (seen().total, seen().revision, seen().at_ms) == (88, 2, NOW + 3)
