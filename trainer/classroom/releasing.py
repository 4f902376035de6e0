"""The gate: what a learner may see of his mark, and the rows that open and close it.

Every view, total and export for learners asks ``shown``; nothing else may tell them a mark. What
was released stays as it was until it is released again. Knows grades, terms and release rows;
must know no face.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection, Row, func, insert, select

from trainer.assess.showing import floored
from trainer.base.errors import UsageError, quoted
from trainer.classroom.attempts import attempts_of
from trainer.classroom.desk import Desk
from trainer.classroom.grading import attempt_in, hold
from trainer.classroom.keeping import ErasedError, digest_of, fetch
from trainer.classroom.standing import Effective, effective, exact_text, laid_over, standing
from trainer.session.log import parsed
from trainer.session.sealing import lock_in, lock_of, release_of
from trainer.store.tables import LEVELS, assignment, attempt, grade
from trainer.store.tables import release as releases

if TYPE_CHECKING:
    from trainer.exchange.keys import Key

NOTHING, POINTS, PHRASE, FULL = LEVELS


@dataclass(frozen=True)
class Shown:
    """What a learner sees. With level none there is no mark in it, not even whether there is one.

    ``view`` is plain data for pages and files, no more than the level allows. ``signature`` opens
    his own attempt's debrief, at the level full.
    """

    attempt_id: str
    level: str = NOTHING
    at_ms: int = 0
    grade_id: str = ""
    revision: int = 0
    total: Fraction | None = None
    cut: Fraction | None = None
    verdict: str = ""
    critical: tuple[str, ...] = ()
    signature: str = ""
    view: Mapping[str, Any] = field(default_factory=dict)

    @property
    def released(self) -> bool:
        return self.level != NOTHING


@dataclass(frozen=True)
class Released:
    """One attempt of a release. ``status``: released, unchanged, ungraded, erased, withheld."""

    attempt_id: str
    learner_id: str
    no: int
    status: str
    shown: Shown


def shown(connection: Connection, attempt_id: str, now_ms: int) -> Shown:
    """What this learner may see at ``now_ms``; nothing for an attempt that is not there.

    The latest row of the instructor's counts at once; without one the assignment's rule does.
    """
    row = connection.execute(
        select(releases)
        .where(releases.c.attempt_id == attempt_id)
        .order_by(releases.c.made_ms.desc(), releases.c.id)
        .limit(1)
    ).first()
    if row is not None:
        return _of_row(connection, row)
    return _of_rule(connection, attempt_id, now_ms)


def _of_row(connection: Connection, row: Row[Any]) -> Shown:
    """As it was released: that grade, with what was laid over it then."""
    if row.level == NOTHING:
        return Shown(row.attempt_id)
    made = connection.execute(select(grade).where(grade.c.id == row.grade_id)).one()
    mark = laid_over(connection, made, standing(connection, row.attempt_id, row.made_ms))
    mark = replace(mark, total=Fraction(row.total), verdict=row.verdict)
    return _at_level(mark, row.level, row.made_ms, row.signature)


def _of_rule(connection: Connection, attempt_id: str, now_ms: int) -> Shown:
    """Without a row: by the assignment's rule, and of the moment the rule opened the gate."""
    a, s = attempt.c, assignment.c
    terms = connection.execute(
        select(s.releases, s.release_ms, s.feedback)
        .select_from(attempt.join(assignment, a.assignment_id == s.id))
        .where(a.id == attempt_id)
    ).first()
    if terms is None or terms.releases == "manual":
        return Shown(attempt_id)
    first = connection.scalar(
        select(func.min(grade.c.made_ms)).where(grade.c.attempt_id == attempt_id)
    )
    opens = terms.release_ms if terms.releases == "at-time" else 0
    if first is None or opens is None or now_ms < max(opens, first):
        return Shown(attempt_id)
    moment = max(opens, first)
    mark = effective(connection, attempt_id, moment)
    if mark is None or terms.feedback == NOTHING:
        return Shown(attempt_id)
    return _at_level(mark, terms.feedback, moment, "")


def _at_level(mark: Effective, level: str, at_ms: int, signature: str) -> Shown:
    return Shown(
        mark.attempt_id, level, at_ms, mark.grade_id, mark.revision, mark.total, mark.cut,
        mark.verdict, mark.critical, signature, view_of(mark, level, at_ms),
    )  # fmt: skip


def view_of(mark: Effective, level: str, at_ms: int) -> dict[str, Any]:
    """Plain data, each level with what the one before has."""
    if level == NOTHING:
        return {}
    body = mark.body
    view: dict[str, Any] = {
        "level": level, "released_ms": at_ms, "revision": mark.revision,
        "total": floored(mark.total, mark.cut), "total_exact": exact_text(mark.total),
        "cut": floored(mark.cut, mark.cut), "verdict": mark.verdict,
        "critical_count": len(mark.critical), "hints_used": mark.hints,
        "moderated": [o.field for o in mark.overrides],
        "domains": [
            {k: d[k] for k in ("name", "title", "shown", "weight", "floor", "above_floor")}
            for d in body["domains"]
        ],
    }  # fmt: skip
    if level == POINTS:
        return view
    told = [c for c in body["critical"] if c["code"] in mark.critical]
    view["critical"] = [{k: c[k] for k in ("code", "title", "sentence")} for c in told]
    view["findings"] = [
        {k: f[k] for k in ("domain", "outcome", "sentence", "lost")} for f in body["findings"]
    ]
    view["notes"] = [{k: n[k] for k in ("kind", "sentence")} for n in body["notes"]]
    if level == PHRASE:
        return view
    return {**view, "critical": told, "body": body}


# -- opening and closing it ----------------------------------------------------------------------


def release(
    desk: Desk, assignment_id: str, signer: Key, attempts: Collection[str] = (),
    level: str = "", dry_run: bool = False,
) -> tuple[Released, ...]:  # fmt: skip
    """Show what counts now, to all of an assignment or to these; again, where it changed.

    Raises UsageError for no level.
    """
    if level and level not in LEVELS:
        raise UsageError(f"{quoted(level)} is no level", hint=f"one of {', '.join(LEVELS)}")
    with desk.store.writing() as connection:
        terms = connection.execute(
            select(assignment.c.feedback).where(assignment.c.id == assignment_id)
        ).one()
        rows = [r for r in attempts_of(connection, assignment_id) if _in(r.id, attempts)]
        wanted = level or terms.feedback
        return tuple(_released(desk, connection, row, wanted, signer, dry_run) for row in rows)


def withhold(
    desk: Desk, assignment_id: str, attempts: Collection[str] = (), dry_run: bool = False
) -> tuple[Released, ...]:
    """Show nothing any more. What a learner has kept on his own machine stays with him."""
    with desk.store.writing() as connection:
        rows = [r for r in attempts_of(connection, assignment_id) if _in(r.id, attempts)]
        told = []
        for row in rows:
            before = shown(connection, row.id, desk.now_ms)
            mark = effective(connection, row.id)
            status = "withheld" if before.released and mark else "unchanged"
            if status == "withheld" and mark and not dry_run:
                write_release(desk, connection, mark, NOTHING, "")
            told.append(Released(row.id, row.learner_id, row.no, status, Shown(row.id)))
        return tuple(told)


def _in(attempt_id: str, chosen: Collection[str]) -> bool:
    return not chosen or attempt_id in chosen


def _released(
    desk: Desk, connection: Connection, row: Row[Any], level: str, signer: Key,
    dry_run: bool,
) -> Released:  # fmt: skip
    told = Released(row.id, row.learner_id, row.no, "ungraded", Shown(row.id))
    hold(connection, row.id)
    mark = effective(connection, row.id)
    if mark is None:
        return told
    before = shown(connection, row.id, desk.now_ms)
    try:
        signature = signature_for(connection, row.file_digest, level, signer)
    except ErasedError:
        return replace(told, status="erased")
    then = (before.level, before.grade_id, before.total, before.verdict, before.critical)
    now = (level, mark.grade_id, mark.total, mark.verdict, mark.critical)
    if (*then, before.signature) == (*now, signature):
        return replace(told, status="unchanged", shown=before)
    if dry_run:
        at_level = _at_level(mark, level, desk.now_ms, signature)
        return replace(told, status="released", shown=at_level)
    at_ms = write_release(desk, connection, mark, level, signature)
    return replace(told, status="released", shown=shown(connection, row.id, at_ms))


def signature_for(connection: Connection, file_digest: str, level: str, signer: Key) -> str:
    """What opens the learner's own attempt; "" below the level full or for another desk's lock."""
    if level != FULL:
        return ""
    content = attempt_in(fetch(connection, file_digest))
    if lock_in(parsed(content, Path("the attempt")).header) != lock_of(signer):
        return ""
    return release_of(bytes.fromhex(digest_of(content)), signer).strip()


def write_release(
    desk: Desk, connection: Connection, mark: Effective, level: str, signature: str
) -> int:
    """A row; its time, which is past all that it shows and past every row before it."""
    latest = [desk.now_ms]
    before = select(func.max(releases.c.made_ms)).where(releases.c.attempt_id == mark.attempt_id)
    latest.append((connection.scalar(before) or 0) + 1)
    latest += [o.made_ms for o in mark.overrides]
    row = {
        "id": desk.new_id(), "attempt_id": mark.attempt_id, "grade_id": mark.grade_id,
        "level": level, "total": exact_text(mark.total), "verdict": mark.verdict,
        "signature": signature, "made_ms": max(latest), "made_by": desk.who,
    }  # fmt: skip
    connection.execute(insert(releases).values(**row))
    note = {"level": level, "grade": mark.grade_id, "total": row["total"]}
    what = "withheld" if level == NOTHING else "released"
    desk.note(connection, what, mark.attempt_id, {**note, "verdict": mark.verdict})
    return max(latest)
