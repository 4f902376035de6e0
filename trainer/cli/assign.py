"""Assigns scenarios to a class: terms, extensions, the start code, the file handed out.

Times are given in the class's zone and kept in UTC. Knows files and sentences; decides nothing.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from trainer.cli.envelope import Outcome

if TYPE_CHECKING:
    from sqlalchemy import Row

    from trainer.classroom.desk import Desk

ABOUT = "Assign graded scenarios to a class, and make the file that learners open."
Store = Annotated[str, typer.Option(metavar="URL|FILE", help="The class's database.")]
Name = Annotated[str, typer.Argument(metavar="ASSIGNMENT", help="An assignment's name.")]
TIME = "2026-11-30 23:59"


def new(
    name: Annotated[str, typer.Argument(help="Its name: letters, digits, dashes.")],
    course: Annotated[str, typer.Option("--class", metavar="CLASS", help="For which class.")],
    scenario: Annotated[str, typer.Option(metavar="NAME|FILE", help="The job.")],
    due: Annotated[str, typer.Option(metavar="TIME", help=f"When it is due, as {TIME}.")],
    opens: Annotated[str, typer.Option(metavar="TIME", help="From when; else from now.")] = "",
    closes: Annotated[str, typer.Option(metavar="TIME", help="Until when; else when due.")] = "",
    section: Annotated[str, typer.Option(help="One section of the class only.")] = "",
    title: Annotated[str, typer.Option(help="As learners read it; else the job's.")] = "",
    rubric: Annotated[str, typer.Option(metavar="NAME|FILE", help="Else the job's own.")] = "",
    seeds: Annotated[str, typer.Option(help="each: a variant for each learner; one: for all.")] = (
        "each"
    ),
    attempts: Annotated[int, typer.Option(help="How many attempts.")] = 1,
    counting: Annotated[str, typer.Option(help="Which counts: best, last or first.")] = "best",
    grace: Annotated[int, typer.Option(help="Minutes after it is due that are not late.")] = 0,
    late_rule: Annotated[
        str, typer.Option(help="Late by received, or claimed-if-unflagged.")
    ] = "received",
    time: Annotated[int, typer.Option(metavar="MIN", help="Minutes allowed; else the job's.")] = 0,
    hints: Annotated[str, typer.Option(help="Hints allowed: look,think,do; else none.")] = "",
    feedback: Annotated[
        str, typer.Option(help="Shown when released: none, points, phrase, full.")
    ] = ("full"),
    release: Annotated[str, typer.Option(help="manual, at-time or at-handin.")] = "manual",
    release_at: Annotated[str, typer.Option(metavar="TIME", help="With at-time.")] = "",
    zone: Annotated[str, typer.Option(help="Time zone; else the class's.")] = "",
    store: Store = "",
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Check only.")] = False,
) -> Outcome:
    """Assign a job to a class.

    Example: condenser-bench assign new week-3 --class hvac-1 --scenario first-start
    --due "2026-11-30 23:59" --attempts 2
    """
    from trainer.classroom.assigning import Wish, assign, check
    from trainer.classroom.zones import to_ms
    from trainer.cli.desk import desk_at

    desk = desk_at(store)
    used = zone or _zone_of(desk, course)
    due_ms = to_ms(due, used, "--due")
    wish = Wish(
        name=name, course=course, scenario=scenario, due_ms=due_ms, zone=used,
        opens_ms=to_ms(opens, used, "--opens") if opens else min(desk.now_ms, due_ms),
        closes_ms=to_ms(closes, used, "--closes") if closes else due_ms,
        title=title, section=section, rubric=rubric, seeds=seeds, attempts=attempts,
        counting=counting, grace_min=grace, late_rule=late_rule, time_s=60 * time or None,
        hints=[h.strip() for h in hints.split(",") if h.strip()], feedback=feedback,
        releases=release,
        release_ms=to_ms(release_at, used, "--release-at") if release_at else None,
    )  # fmt: skip
    if dry_run:
        check(desk, wish)
        return Outcome({"assignment": name, "written": False}, f"{name} would be assigned.")
    assign(desk, wish)
    return _told(desk, name, [f"Assigned {name}.", f"Next: condenser-bench assign write {name}"])


def write(
    name: Name,
    out: Annotated[
        str, typer.Option("--out", "-o", metavar="FILE", help="Else NAME.assignment.")
    ] = "",
    store: Store = "",
) -> Outcome:
    """Make the file that the learners open; the start code is read out to them.

    Example: condenser-bench assign write week-3 -o week-3.assignment
    """
    import os

    from trainer.base.places import data_dir
    from trainer.classroom.assigning import assignment_of
    from trainer.classroom.handing_out import handed_out
    from trainer.cli.desk import desk_at
    from trainer.cli.files import writing
    from trainer.cli.progressing import counted
    from trainer.exchange.keys import own_key, replaced

    desk = desk_at(store)
    with desk.store.reading() as c:
        row = assignment_of(c, name)
    key = own_key(data_dir() / "keys", "instructor", desk.chance)
    workers = min(os.cpu_count() or 1, 8)
    with counted("variants") as progress:
        content, parts = handed_out(desk, row.id, key, data_dir() / "kept", workers, progress)
    path = Path(out or f"{row.name}.assignment")
    with writing(path):
        replaced(path, content)
    said = (
        f"Wrote {path} for {parts} learners.\n"
        f"Hand it out; read the start code when the class may begin: assign code {row.name}"
    )
    return Outcome({"file": str(path), "learners": parts, "bytes": len(content)}, said)


def code(name: Name, store: Store = "") -> Outcome:
    """Show the start code, to be read out when the class may begin.

    Example: condenser-bench assign code week-3
    """
    from trainer.classroom.assigning import assignment_of
    from trainer.cli.desk import desk_at

    desk = desk_at(store)
    with desk.store.reading() as c:
        row = assignment_of(c, name)
    return Outcome({"assignment": row.name, "start_code": row.start_code}, row.start_code)


def extend(
    name: Name,
    learner: Annotated[str, typer.Argument(metavar="LEARNER", help="A learner's number.")],
    reason: Annotated[str, typer.Option(help="Why; it stands in the trail.")],
    due: Annotated[str, typer.Option(metavar="TIME", help="Due later.")] = "",
    closes: Annotated[str, typer.Option(metavar="TIME", help="Closes later.")] = "",
    attempts: Annotated[int, typer.Option(help="So many attempts more.")] = 0,
    excuse: Annotated[bool, typer.Option("--excuse", help="Need not do it.")] = False,
    store: Store = "",
) -> Outcome:
    """Give one learner more time or attempts, or excuse him. Never shortens anything.

    Example: condenser-bench assign extend week-3 L-07 --due "2026-12-04 23:59" --reason "ill"
    """
    from trainer.classroom.assigning import assignment_of
    from trainer.classroom.assigning import extend as more
    from trainer.classroom.people import find
    from trainer.classroom.zones import shown, to_ms
    from trainer.cli.desk import desk_at

    desk = desk_at(store)
    with desk.store.reading() as c:
        row, person = assignment_of(c, name), find(c, learner)
    mine = more(
        desk, row.id, person.id, reason, to_ms(due, row.zone, "--due") if due else None,
        to_ms(closes, row.zone, "--closes") if closes else None, attempts, excuse,
    )  # fmt: skip
    data = {"due_ms": mine.due_ms, "closes_ms": mine.closes_ms, "attempts": mine.attempts,
            "excused": mine.excused}  # fmt: skip
    lines = [
        f"{learner} in {row.name}: due {shown(mine.due_ms, row.zone)}, "
        f"closes {shown(mine.closes_ms, row.zone)}, {mine.attempts} attempts"
        + (", excused" if mine.excused else "")
    ]
    if attempts or due or closes:
        lines.append(f"Make the file anew for him: condenser-bench assign write {row.name}")
    return Outcome(data, "\n".join(lines))


def list_(store: Store = "") -> Outcome:
    """List all assignments.

    Example: condenser-bench assign list
    """
    from sqlalchemy import select

    from trainer.classroom.zones import shown
    from trainer.cli.desk import desk_at
    from trainer.store import tables as t

    desk = desk_at(store)
    query = (
        select(t.assignment, t.course.c.name.label("course"), t.scenario.c.name.label("job"))
        .join(t.course).join(t.scenario).order_by(t.assignment.c.due_ms)
    )  # fmt: skip
    with desk.store.reading() as c:
        rows = c.execute(query).all()
    data = [_plain(r) | {"class": r.course, "scenario": r.job} for r in rows]
    lines = [f"{r.name:<20} {r.course:<12} {r.job:<28} due {shown(r.due_ms, r.zone)}" for r in rows]
    return Outcome(data, "\n".join(lines) or "Nothing is assigned yet: condenser-bench assign new")


def show(name: Name, store: Store = "") -> Outcome:
    """Show an assignment's terms; never its secret or start code.

    Example: condenser-bench assign show week-3
    """
    from trainer.cli.desk import desk_at

    return _told(desk_at(store), name, [])


def _told(desk: Desk, name: str, after: list[str]) -> Outcome:
    from trainer.classroom.assigning import assignment_of, learners_of
    from trainer.classroom.jobs import stored_rubric
    from trainer.classroom.zones import shown

    with desk.store.reading() as c:
        row = assignment_of(c, name)
        people, rubric = learners_of(c, row), stored_rubric(c, row.rubric_id)
    lines = [
        f"{row.name}: {row.title}",
        f"  opens {shown(row.opens_ms, row.zone)}, due {shown(row.due_ms, row.zone)}, "
        f"closes {shown(row.closes_ms, row.zone)}, grace {row.grace_min} min",
        f"  attempts {row.attempts}, the {row.counting} one counts; seeds: {row.seeds}",
        f"  rubric {rubric.title}, hints {', '.join(row.hints) or 'none'}",
        f"  feedback {row.feedback}, release {row.releases}; learners {len(people)}",
    ]
    return Outcome(_plain(row) | {"learners": len(people)}, "\n".join([*lines, *after]))


def _plain(row: Row[Any]) -> dict[str, Any]:
    """What may be told of an assignment."""
    names = (
        "id", "name", "title", "opens_ms", "due_ms", "closes_ms", "zone", "grace_min", "attempts",
        "counting", "seeds", "late_rule", "time_s", "hints", "feedback", "releases", "release_ms",
    )  # fmt: skip
    return {name: getattr(row, name) for name in names}


def _zone_of(desk: Desk, course: str) -> str:
    from sqlalchemy import select

    from trainer.store import tables as t

    with desk.store.reading() as c:
        found = c.execute(select(t.course.c.zone).where(t.course.c.name == course)).scalar()
    return str(found or "UTC")


VERBS = {"new": new, "write": write, "code": code, "extend": extend, "list": list_, "show": show}
