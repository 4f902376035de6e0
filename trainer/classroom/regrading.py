"""Marking an assignment anew by another rubric: who would move, then new rows where wanted.

Old grades stay, overrides stay, and what was released changes only by releasing again. Knows
grades; must know no name.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass
from fractions import Fraction

from sqlalchemy import Connection, select, update

from trainer.assess.marking import SCORER, Marked
from trainer.assess.rubric import Rubric
from trainer.base.errors import TrainerError, UsageError
from trainer.classroom.attempts import attempts_of
from trainer.classroom.desk import Desk
from trainer.classroom.grading import Graded, case_of, keep_rubric, mark_case, write_grade
from trainer.classroom.standing import effective, exact_text, verdict_of
from trainer.store.tables import assignment, grade
from trainer.store.tables import rubric as rubrics

ALL, ONLY_UP = "all", "only-up"
WHICH = (ALL, ONLY_UP)
Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class Move:
    """One attempt before and after. ``kept`` are fields whose override goes on counting.

    ``verdict_after`` is what would count then, with overrides over it. ``hindered`` says why this
    attempt cannot be marked so, "" for nothing.
    """

    attempt_id: str
    learner_id: str
    no: int
    old: Fraction | None
    new: Fraction | None
    cut: Fraction | None
    verdict_before: str
    verdict_after: str
    kept: tuple[str, ...] = ()
    hindered: str = ""

    @property
    def way(self) -> str:
        if self.hindered:
            return "hindered"
        if self.old is None or self.new is None:
            return "new"
        if self.new == self.old:
            return "unchanged"
        return "up" if self.new > self.old else "down"

    @property
    def crosses(self) -> bool:
        return bool(self.verdict_before) and self.verdict_before != self.verdict_after


@dataclass(frozen=True)
class Difference:
    """All attempts of an assignment, in order of the roster."""

    rubric: str
    rubric_digest: str
    moves: tuple[Move, ...]

    def of(self, way: str) -> tuple[Move, ...]:
        return tuple(m for m in self.moves if m.way == way)


@dataclass(frozen=True)
class Applied:
    """``written`` are grades that are new; the rest was left as it is."""

    difference: Difference
    written: tuple[Graded, ...]


def diff(
    desk: Desk, assignment_id: str, rubric: Rubric, progress: Progress = lambda done, of: None
) -> Difference:
    """Marks every attempt without writing anything."""
    return _both(desk, assignment_id, rubric, progress)[0]


def apply(
    desk: Desk, assignment_id: str, rubric: Rubric, which: str = ALL,
    attempts: Collection[str] = (), why: str = "", progress: Progress = lambda done, of: None,
) -> Applied:  # fmt: skip
    """New rows in one transaction: for all, for who gains by it, or for these attempts.

    For all of them, the assignment's rubric is this one from then on, so that what is handed in
    later is marked alike. Raises UsageError, TrainerError when one of them cannot be marked.
    """
    if which not in WHICH:
        raise UsageError("which attempts", hint=f"one of {', '.join(WHICH)}, or attempts by id")
    found, marked = _both(desk, assignment_id, rubric, progress)
    chosen = [m for m in found.moves if _wanted(m, which, attempts)]
    for move in chosen:
        if move.hindered:
            raise TrainerError(move.hindered, f"attempt {move.attempt_id}", "leave it out by id")
    with desk.store.writing() as connection:
        written = [
            write_grade(desk, connection, m.attempt_id, marked[m.attempt_id].mark, rubric, why)
            for m in chosen
        ]
        if which == ALL and not attempts:
            _adopt(desk, connection, assignment_id, rubric)
        told = {"rubric": rubric.digest, "which": which, "attempts": len(chosen), "why": why}
        desk.note(connection, "regraded", assignment_id, told)
    return Applied(found, tuple(g for g in written if g.new))


def _wanted(move: Move, which: str, attempts: Collection[str]) -> bool:
    if attempts:
        return move.attempt_id in attempts
    return which == ALL or (not move.hindered and _no_harm(move))


def _no_harm(move: Move) -> bool:
    """More points and no pass lost, or a pass gained without a point lost."""
    if move.old is None or move.new is None:
        return True
    lost = move.verdict_before == "pass" and move.verdict_after == "fail"
    gained = move.verdict_before == "fail" and move.verdict_after == "pass"
    return not lost and (move.new > move.old or (gained and move.new == move.old))


def _both(
    desk: Desk, assignment_id: str, rubric: Rubric, progress: Progress
) -> tuple[Difference, dict[str, Marked]]:
    with desk.store.reading() as connection:
        rows = attempts_of(connection, assignment_id)
    moves, marked = [], {}
    progress(0, len(rows))
    for n, row in enumerate(rows, 1):
        with desk.store.reading() as connection:
            move, mark = _move(connection, row.id, row.learner_id, row.no, rubric)
        moves.append(move)
        if mark is not None:
            marked[row.id] = mark
        progress(n, len(rows))
    return Difference(rubric.title, rubric.digest, tuple(moves)), marked


def _move(
    connection: Connection, attempt_id: str, learner_id: str, no: int, rubric: Rubric
) -> tuple[Move, Marked | None]:
    now = effective(connection, attempt_id)
    before = now.verdict if now else ""
    old = now.computed_total if now else None
    try:
        marked = mark_case(case_of(connection, attempt_id, rubric))
    except TrainerError as error:  # erased, or of an edition that cannot be read any more
        told = Move(attempt_id, learner_id, no, old, None, None, before, before, (), error.what)
        return told, None
    hindered = _earlier(connection, attempt_id, rubric, now.grade_id if now else "")
    mark = marked.mark
    over = {o.field: o.new for o in now.overrides} if now else {}
    total = Fraction(over.get("total", exact_text(mark.total)))
    codes = tuple(over["critical"].split()) if "critical" in over else tuple(
        c.code for c in mark.critical
    )  # fmt: skip
    after = over.get("verdict") or verdict_of(total, mark.cut, codes, mark.as_data())
    move = Move(
        attempt_id, learner_id, no, old, mark.total, mark.cut, before, after, tuple(sorted(over)),
        hindered,
    )  # fmt: skip
    return move, marked


def _earlier(connection: Connection, attempt_id: str, rubric: Rubric, latest: str) -> str:
    """A rubric that was used and left cannot be used again under its own digest."""
    g = grade.c
    same = (g.attempt_id == attempt_id) & (g.scorer == SCORER) & (g.rubric_digest == rubric.digest)
    there = connection.execute(select(g.id, g.revision).where(same)).first()
    if there is None or there.id == latest:
        return ""
    return (
        f"this rubric gave revision {there.revision}, and a later one counts; to go back to it, "
        "give it another title"
    )


def _adopt(desk: Desk, connection: Connection, assignment_id: str, rubric: Rubric) -> None:
    keep_rubric(desk, connection, rubric)
    rubric_id = connection.scalar(select(rubrics.c.id).where(rubrics.c.digest == rubric.digest))
    chosen = update(assignment).where(assignment.c.id == assignment_id)
    connection.execute(chosen.values(rubric_id=rubric_id))
