"""Releasing marks to learners and withholding them again. Knows files; decides nothing."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from trainer.cli.envelope import Outcome
from trainer.cli.grade_words import DryRun, Store, released_lines

if TYPE_CHECKING:
    from trainer.classroom.desk import Desk
    from trainer.classroom.releasing import Released
    from trainer.exchange.keys import Key

Name = Annotated[str, typer.Argument(metavar="ASSIGNMENT", help="Its name.")]
Attempts = Annotated[str, typer.Option(metavar="ID,ID", help="These only, by id or code.")]


def release(
    assignment: Name,
    attempts: Attempts = "",
    level: Annotated[
        str, typer.Option(help="none, points, phrase or full; else the assignment's.")
    ] = "",
    to: Annotated[
        str, typer.Option(metavar="FOLDER", help="Write a marks file for each learner here.")
    ] = "",
    store: Store = "",
    dry_run: DryRun = False,
) -> Outcome:
    """Show learners what counts now. Released again, it shows what changed since.

    Example: condenser-bench grade release week-3 --to stick
    """
    from trainer.base.errors import NotFoundError
    from trainer.classroom.releasing import release as released
    from trainer.cli.instructor import instructor_key

    if to and not Path(to).is_dir():
        raise NotFoundError("there is no such folder", to, "make it, or name another")
    desk, row, chosen = _at(assignment, attempts, store)
    key = instructor_key(desk)
    rows = released(desk, row.id, key, chosen, level, dry_run)
    written = [] if dry_run or not to else _written(desk, Path(to), row, rows, key)
    lines = released_lines(rows)
    if written:
        lines.append(f"Wrote {len(written)} marks files; a learner keeps his by: handin marks FILE")
    data = {"rows": [_data(r) for r in rows], "files": [str(p) for p in written]}
    return Outcome(data, "\n".join(lines) or "Nothing was handed in yet.")


def withhold(
    assignment: Name, attempts: Attempts = "", store: Store = "", dry_run: DryRun = False
) -> Outcome:
    """Show learners nothing of it any more; files they already have stay with them.

    Example: condenser-bench grade withhold week-3
    """
    from trainer.classroom.releasing import withhold as withheld

    desk, row, chosen = _at(assignment, attempts, store)
    rows = withheld(desk, row.id, chosen, dry_run)
    data = {"rows": [_data(r) for r in rows]}
    return Outcome(data, "\n".join(released_lines(rows)) or "Nothing was handed in yet.")


def _at(assignment: str, attempts: str, store: str) -> tuple[Any, Any, list[str]]:
    from trainer.classroom.assigning import assignment_of
    from trainer.classroom.attempts import find_attempt
    from trainer.cli.desk import desk_at

    desk = desk_at(store)
    with desk.store.reading() as c:
        row = assignment_of(c, assignment)
        chosen = [find_attempt(c, a).id for a in attempts.split(",") if a.strip()]
    return desk, row, chosen


def _data(row: Released) -> dict[str, Any]:
    """What was done, not the mark: that is in grade list."""
    return {
        "attempt": row.attempt_id, "learner_id": row.learner_id, "no": row.no,
        "status": row.status, "level": row.shown.level,
    }  # fmt: skip


def _written(
    desk: Desk, folder: Path, assignment: Any, rows: tuple[Released, ...], key: Key
) -> list[Path]:
    from trainer.classroom.assigning import job_texts
    from trainer.cli.files import writing
    from trainer.exchange.keys import replaced
    from trainer.exchange.marks import SUFFIX, write_marks

    with desk.store.reading() as c:
        job = job_texts(c, assignment)
    written = []
    for row in rows:
        if not row.shown.released:
            continue
        claim = (assignment.id, row.learner_id, row.no)
        content = write_marks(claim, row.shown.signature, row.shown.view, key, job)
        named = re.sub(r"[^A-Za-z0-9._@-]", "_", f"{assignment.name}-{row.learner_id}-{row.no}")
        with writing(folder / f"{named}{SUFFIX}") as path:
            replaced(path, content)
        written.append(path)
    return written


VERBS = {"release": release, "withhold": withhold}
