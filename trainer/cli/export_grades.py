"""Writes the gradebook as CSV, or fills a column of a gradebook file from elsewhere.

Knows files and sentences; decides nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated, Any

import typer

from trainer.base.errors import PARTIAL, UsageError
from trainer.cli.envelope import Outcome
from trainer.cli.exporting import Out, Replace, Store, kept

if TYPE_CHECKING:
    from trainer.classroom.gradebook import Entry


def command(
    assignment: Annotated[
        str, typer.Argument(metavar="[ASSIGNMENT]", help="One assignment; else --class.")
    ] = "",
    course: Annotated[
        str, typer.Option("--class", metavar="CLASS", help="All assignments of a class.")
    ] = "",
    out: Out = "",
    wide: Annotated[bool, typer.Option("--wide", help="One row for each learner.")] = False,
    no_bom: Annotated[
        bool, typer.Option("--no-bom", help="Without a byte order mark, for programs.")
    ] = False,
    fill: Annotated[
        str, typer.Option(metavar="CSV", help="A gradebook file from elsewhere to fill in.")
    ] = "",
    id_column: Annotated[
        str, typer.Option(metavar="NAME", help="Its column of learner ids or e-mails.")
    ] = "",
    column: Annotated[
        str, typer.Option(metavar="NAME", help="Its column for the scores; else the title.")
    ] = "",
    unreleased: Annotated[
        bool, typer.Option("--unreleased", help="Fill in marks that are not released as well.")
    ] = False,
    for_learners: Annotated[
        bool, typer.Option("--for-learners", help="Only what each learner is shown.")
    ] = False,
    replace: Replace = False,
    store: Store = "",
) -> Outcome:
    """Write the gradebook: a row for each learner and assignment, whatever there is of it.

    Marks that are not released stand in it with "no" under released. A file from elsewhere is
    shown to learners: it gets released marks only, and every other cell stays as it is.

    Examples: condenser-bench export grades week-3 -o week-3.csv

    condenser-bench export grades week-3 --fill theirs.csv --id-column "ID number" --column "Week 3"
    -o filled.csv
    """
    from trainer.classroom.assigning import assignment_of
    from trainer.classroom.courses import find_course
    from trainer.classroom.gradebook import assignments_of, entries, shown_entries
    from trainer.cli.desk import desk_at

    if bool(assignment) == bool(course):
        hint = "export grades ASSIGNMENT, or export grades --class CLASS"
        raise UsageError("name an assignment, or a class with --class", hint=hint)
    if for_learners and unreleased:
        raise UsageError("learners are shown nothing that is not released", hint="without one")
    if fill and (course or wide or not id_column or not out):
        hint = "export grades ASSIGNMENT --fill CSV --id-column NAME -o FILE"
        raise UsageError("a file is filled with one assignment", hint=hint)
    desk = desk_at(store)
    with desk.store.reading() as c:
        rows = [assignment_of(c, assignment)] if assignment else []
        rows = rows or assignments_of(c, find_course(c, course).id)
        book = shown_entries if for_learners else entries
        books = [book(c, row, desk.now_ms) for row in rows]
    if fill:
        return _filled(books[0], fill, id_column, column or rows[0].title, out, unreleased, replace)
    return _written(books, wide, not no_bom, out, replace)


def _written(
    books: Sequence[Sequence[Entry]], wide: bool, bom: bool, out: str, replace: bool
) -> Outcome:
    from trainer.classroom.csvout import text_of
    from trainer.classroom.gradesheet import COLUMNS, row_of
    from trainer.classroom.gradesheet import wide as widened

    if wide:
        sheet = widened(books)
        header: Sequence[str] = sheet.header
        rows = [list(row) for row in sheet.rows]
    else:
        header, rows = COLUMNS, [row_of(entry) for book in books for entry in book]
    text = text_of(header, rows, bom)
    counts = _counts([entry for book in books for entry in book])
    data = {"rows": len(rows), "statuses": counts, "columns": list(header)}
    if not out:
        return Outcome({**data, "csv": text}, text.lstrip("\ufeff").rstrip("\r\n"))
    kept(out, text, replace)
    told = ", ".join(f"{n} {status}" for status, n in counts.items()) or "nobody is in it"
    return Outcome({**data, "file": out}, f"{len(rows)} rows written to {out}: {told}.")


def _counts(entries: Sequence[Entry]) -> dict[str, int]:
    found: dict[str, int] = {}
    for entry in entries:
        found[entry.status] = found.get(entry.status, 0) + 1
    return found


def _filled(
    book: Sequence[Entry], path: str, id_column: str, column: str, out: str, every: bool,
    replace: bool,
) -> Outcome:  # fmt: skip
    """Exit code 7 when somebody with a mark to fill in is not in the file."""
    from trainer.base.textfile import content_of, shown_name, text_of
    from trainer.classroom.csvout import BOM
    from trainer.classroom.gradesheet import fill

    content = content_of(path, "a CSV file")
    mark = BOM if content.startswith(BOM.encode()) else ""
    text = mark + text_of(content, shown_name(path))
    done = fill(text, path, book, id_column, column, every)
    kept(out, done.text, replace)
    data: dict[str, Any] = {
        "file": out, "filled": list(done.filled), "absent": list(done.absent),
        "held_back": list(done.held_back), "unknown_rows": done.unknown_rows,
    }  # fmt: skip
    warnings = []
    if done.absent:
        warnings.append(f"not in {path}: {', '.join(done.absent)}")
    if done.held_back:
        warnings.append(f"held back, not released: {', '.join(done.held_back)}")
    if done.unknown_rows:
        warnings.append(f"{done.unknown_rows} rows of the file are nobody of this class")
    said = f"{len(done.filled)} scores filled in; written to {out}."
    return Outcome(data, said, warnings, PARTIAL if done.absent else 0)
