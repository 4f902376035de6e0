"""Classes and their rosters from the command line. Knows options and exit codes; decides nothing.

Rows that were refused: 3 and nothing is changed, or 7 when the others were applied all the same.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Annotated, Any

import typer

from trainer.base.errors import INVALID_INPUT, PARTIAL, UsageError, quoted
from trainer.cli.class_text import Shown, members_data, members_text, plan_data, plan_text
from trainer.cli.envelope import Outcome

if TYPE_CHECKING:
    from trainer.classroom.desk import Desk
    from trainer.classroom.roster import Judged, Plan

STORE_HELP = "A SQLite file, or postgresql://USER@HOST/DATABASE; no password here."
StoreOption = Annotated[str, typer.Option(metavar="PLACE", help=STORE_HELP)]
Names = Annotated[bool, typer.Option("--with-names", help="With --json: names as well.")]
Accommodation = Annotated[
    bool, typer.Option("--with-accommodation", help="Show factors of time; mind who looks on.")
]
Course = Annotated[str, typer.Argument(metavar="CLASS", help="The name of the class.")]
Files = Annotated[
    list[str], typer.Argument(metavar="FILE...", help="CSV files, or a OneRoster-shaped export.")
]
Encoding = Annotated[str, typer.Option(help="utf-8, or cp1252 for an older spreadsheet's file.")]
IdColumn = Annotated[
    str, typer.Option(metavar="HEADING", help="The column of learner ids in a CSV file.")
]
Section = Annotated[
    str, typer.Option(metavar="NAME", help="Of an export: this class only, by title or sourcedId.")
]


def at_desk(store: str, create: bool = False) -> Desk:
    """The desk of one command; what it needs is loaded once a command runs, not for its help."""
    from trainer.cli.desk import desk_at

    return desk_at(store, create=create)


def new(
    name: Annotated[str, typer.Argument(help="Letters, digits and . _ - without a space.")],
    title: Annotated[str, typer.Option(help="As it stands on pages.")] = "",
    zone: Annotated[str, typer.Option(help="Time zone of its dates: America/Chicago.")] = "UTC",
    store: StoreOption = "",
) -> Outcome:
    """Begin a class that nobody is in yet; the first one makes the class store.

    Example: condenser-bench class new hvac-1 --title "First year" --zone America/Chicago
    """
    from trainer.classroom.courses import new_course

    made = new_course(at_desk(store, create=True), name, title, zone)
    data = {"name": made.name, "title": made.title, "zone": made.zone}
    told = f"Class {made.name} is there, times in {made.zone}. Next: condenser-bench class plan"
    return Outcome(data, f"{told} {made.name} ROSTER.csv")


def list_(store: StoreOption = "") -> Outcome:
    """List the classes with their sections and how many learners are active.

    Example: condenser-bench class list
    """
    from trainer.classroom.courses import courses

    with at_desk(store).store.reading() as connection:
        rows = courses(connection)
    data = [
        {"name": row.course.name, "title": row.course.title, "zone": row.course.zone,
         "sections": list(row.sections), "learners": row.learners}
        for row in rows
    ]  # fmt: skip
    width = max((len(row.course.name) for row in rows), default=0)
    lines = [
        f"{row.course.name:<{width}}  {row.learners:>3} learners  "
        f"{', '.join(s for s in row.sections if s) or 'no sections'}  {row.course.title}".rstrip()
        for row in rows
    ]
    return Outcome({"classes": data}, "\n".join(lines) or "There is no class yet.")


def show(
    course: Course,
    section: Annotated[str, typer.Option(help="One section only.")] = "",
    left: Annotated[bool, typer.Option("--left", help="Those who left as well.")] = False,
    with_names: Names = False,
    store: StoreOption = "",
) -> Outcome:
    """Show who is in a class, by section.

    Example: condenser-bench class show hvac-1 --section morning
    """
    from trainer.classroom.courses import find_course, people_of

    with at_desk(store).store.reading() as connection:
        found = find_course(connection, course)
        members = people_of(connection, course, section or None, inactive=left)
    head = f"{found.name}  {found.title}".strip() + f", times in {found.zone}"
    text = members_text(members) or "Nobody is in it yet."
    data = {"class": found.name, "title": found.title, "zone": found.zone,
            "learners": members_data(members, Shown(names=with_names))}  # fmt: skip
    return Outcome(data, f"{head}\n{text}")


def plan(
    course: Course,
    files: Files,
    encoding: Encoding = "utf-8",
    id_column: IdColumn = "learner_id",
    section: Section = "",
    with_names: Names = False,
    with_accommodation: Accommodation = False,
    store: StoreOption = "",
) -> Outcome:
    """Show what a roster would add, change, deactivate and refuse; nothing is changed.

    Columns: learner_id,given_name,family_name,email,section,status,accommodation in any order;
    only learner_id and one name are needed. Who is in no row is left alone.

    Example: condenser-bench class plan hvac-1 roster.csv
    """
    from trainer.classroom.roster import plan as planned

    rows = _rows(files, encoding, id_column, section)
    with at_desk(store).store.reading() as connection:
        made = planned(connection, course, rows)
    return _told(made, Shown(with_names, with_accommodation))


def apply(
    course: Course,
    files: Files,
    encoding: Encoding = "utf-8",
    id_column: IdColumn = "learner_id",
    section: Section = "",
    skip_refused: Annotated[
        bool, typer.Option("--skip-refused", help="Apply the other rows; ends with 7.")
    ] = False,
    dry_run: Annotated[bool, typer.Option("--dry-run", help="As class plan.")] = False,
    with_names: Names = False,
    with_accommodation: Accommodation = False,
    store: StoreOption = "",
) -> Outcome:
    """Apply a roster to a class: all of it in one go, or nothing when a row is refused.

    Example: condenser-bench class apply hvac-1 roster.csv
    """
    from trainer.classroom.roster import apply as applied

    if dry_run:
        return plan(course, files, encoding, id_column, section, with_names, with_accommodation,
                    store)  # fmt: skip
    rows = _rows(files, encoding, id_column, section)
    made = applied(at_desk(store), course, rows, skip_refused)
    return _told(made, Shown(with_names, with_accommodation))


def _rows(files: list[str], encoding: str, id_column: str, section: str) -> Judged:
    from trainer.classroom.roster import judge, read_rosters
    from trainer.classroom.rosterfile import ENCODINGS

    if encoding not in ENCODINGS:
        what = f"{quoted(encoding)} is no encoding that is read"
        raise UsageError(what, "--encoding", f"one of {', '.join(ENCODINGS)}")
    return judge(read_rosters(files, encoding, id_column, section or None))


def _told(made: Plan, shown: Shown) -> Outcome:
    code = (PARTIAL if made.applied else INVALID_INPUT) if made.refusals else 0
    return Outcome(plan_data(made, shown), plan_text(made, shown), list(made.notices), code)


VERBS: dict[str, Callable[..., Any]] = {
    "new": new,
    "list": list_,
    "plan": plan,
    "apply": apply,
    "show": show,
}
