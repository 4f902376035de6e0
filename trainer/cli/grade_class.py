"""Moderation and regrading of a whole assignment: sample, agreement, cut, blind, diff, apply.

Knows files and sentences; decides nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from trainer.cli.envelope import Outcome
from trainer.cli.grade_words import DryRun, Store, difference_lines, move_data

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from trainer.assess.rubric import Rubric

Name = Annotated[str, typer.Argument(metavar="ASSIGNMENT", help="Its name.")]
Rubricfile = Annotated[
    str, typer.Option("--rubric", metavar="FILE", help="A rubric's file or name.")
]
Blind = Annotated[bool, typer.Option("--blind", help="Codes instead of learners.")]


def _names(c: Connection, assignment_id: str, blind: bool) -> dict[str, str]:
    """Attempt -> what it is called in what is printed."""
    from trainer.classroom.attempts import attempts_of, code_of, is_blind

    hidden = blind or is_blind(c, assignment_id)
    return {
        r.id: code_of(r.secret, r.id) if hidden else f"{r.learner_id} ({r.id[:8]})"
        for r in attempts_of(c, assignment_id)
    }


def sample(
    assignment: Name,
    seed: Annotated[int, typer.Option(help="Another draw of the rest.")] = 0,
    blind: Blind = False,
    store: Store = "",
) -> Outcome:
    """Tell which attempts a moderator looks at: fails, critical errors, near the cut, and a draw.

    Example: condenser-bench grade sample week-3 --blind
    """
    from trainer.classroom.assigning import assignment_of
    from trainer.classroom.sampling import sample as sampled
    from trainer.cli.desk import desk_at

    desk = desk_at(store)
    with desk.store.reading() as c:
        one = assignment_of(c, assignment).id
        found, names = sampled(c, one, seed), _names(c, one, blind)
    rows = sorted((names[a], why) for a, why in found.chosen.items())
    sem = "not defined for so few" if found.sem is None else f"{found.sem:.2f} points"
    lines = [f"{len(rows)} of {found.graded} graded attempts; one SEM is {sem}"]
    lines += [f"  {name:<22} {', '.join(why)}" for name, why in rows]
    data = {
        "graded": found.graded, "sem": found.sem, "seed": seed,
        "chosen": [{"attempt": name, "why": list(why)} for name, why in rows],
    }  # fmt: skip
    return Outcome(data, "\n".join(lines))


def agree(assignment: Name, store: Store = "") -> Outcome:
    """Tell how two markers agree beyond chance, and where they differ.

    Example: condenser-bench grade agree week-3
    """
    from trainer.classroom.assigning import assignment_of
    from trainer.classroom.moderating import agreement
    from trainer.cli.desk import desk_at
    from trainer.standards.exact import as_float, shown

    desk = desk_at(store)
    with desk.store.reading() as c:
        one = assignment_of(c, assignment).id
        found, names = agreement(c, one), _names(c, one, blind=False)
    lines = [
        f"{found.pairs} attempts with two markers",
        f"Cohen's kappa of ratings {shown(found.rating_kappa)}, "
        f"of verdicts {shown(found.verdict_kappa)}",
        *(f"  they differ at {names[a]}" for a in found.differ),
    ]
    data = {
        "pairs": found.pairs, "rating_kappa": as_float(found.rating_kappa),
        "verdict_kappa": as_float(found.verdict_kappa),
        "differ": [names[a] for a in found.differ],
    }  # fmt: skip
    return Outcome(data, "\n".join(lines))


def cut(
    assignment: Name,
    by: Annotated[str, typer.Option(metavar="WHO", help="One marker's ratings only.")] = "",
    store: Store = "",
) -> Outcome:
    """Work out a cut from ratings by borderline regression. It changes no mark.

    Example: condenser-bench grade cut week-3
    """
    from trainer.classroom.assigning import assignment_of
    from trainer.classroom.moderating import borderline_cut
    from trainer.cli.desk import desk_at
    from trainer.cli.standard_text import borderline_data, borderline_lines

    desk = desk_at(store)
    with desk.store.reading() as c:
        found = borderline_cut(c, assignment_of(c, assignment).id, by)
    warnings = []
    if found.beyond:
        warnings.append("nobody was rated 2 or 1: the cut is read beyond the ratings given")
    if found.slope <= 0:
        warnings.append("scores do not rise with ratings: check both before you use the cut")
    return Outcome(borderline_data(found), "\n".join(borderline_lines(found)), warnings)


def blind(
    assignment: Name,
    on: Annotated[str, typer.Argument(help="on or off.")],
    store: Store = "",
) -> Outcome:
    """Hide names of an assignment from everybody who marks it, until it is set off again.

    Example: condenser-bench grade blind week-3 on
    """
    from trainer.base.errors import UsageError, quoted
    from trainer.classroom.assigning import assignment_of
    from trainer.classroom.attempts import set_blind
    from trainer.cli.desk import desk_at

    if on not in ("on", "off"):
        raise UsageError(f"{quoted(on)} is neither on nor off", hint="on or off")
    desk = desk_at(store)
    with desk.store.reading() as c:
        row = assignment_of(c, assignment)
    set_blind(desk, row.id, on == "on")
    said = "is marked blind: codes instead of learners" if on == "on" else "shows learners again"
    return Outcome({"assignment": row.name, "blind": on == "on"}, f"{row.name} {said}.")


def _rubric(file: str) -> Rubric:
    from pathlib import Path

    from trainer.assess.finding_rubric import load_rubric, rubrics_dir

    path = Path(file)
    bare = not path.suffix and len(path.parts) == 1 and not path.is_file()
    return load_rubric(rubrics_dir() / f"{file}.yaml" if bare else path)


def diff(assignment: Name, rubric: Rubricfile, blind: Blind = False, store: Store = "") -> Outcome:
    """Tell who would move and who would cross the cut by another rubric. Writes nothing.

    Example: condenser-bench grade diff week-3 --rubric stricter.yaml
    """
    from trainer.classroom.assigning import assignment_of
    from trainer.classroom.regrading import diff as difference
    from trainer.cli.desk import desk_at
    from trainer.cli.progressing import counted

    desk, new = desk_at(store), _rubric(rubric)
    with desk.store.reading() as c:
        one = assignment_of(c, assignment).id
        names = _names(c, one, blind)
    with counted("attempts") as progress:
        found = difference(desk, one, new, progress)
    return Outcome(_difference_data(found, names), "\n".join(difference_lines(found, names)))


def _difference_data(found: Any, names: dict[str, str]) -> dict[str, Any]:
    return {
        "rubric": found.rubric, "rubric_digest": found.rubric_digest,
        "moves": [move_data(m, names[m.attempt_id]) for m in found.moves],
    }  # fmt: skip


def apply(
    assignment: Name,
    rubric: Rubricfile,
    every: Annotated[
        bool, typer.Option("--all", help="Everybody; it is the assignment's rubric from then on.")
    ] = False,
    only_up: Annotated[
        bool, typer.Option("--only-up", help="Who gains by it and loses nothing.")
    ] = False,
    attempts: Annotated[str, typer.Option(metavar="ID,ID", help="These only, by id or code.")] = "",
    why: Annotated[str, typer.Option(help="Stands beside each new grade.")] = "",
    store: Store = "",
    dry_run: DryRun = False,
) -> Outcome:
    """Mark anew by another rubric: new grades beside the old ones; overrides stay.

    Marks already released stay as they are until they are released again.
    Example: condenser-bench grade apply week-3 --rubric fairer.yaml --only-up --why "panel of May"
    """
    from trainer.base.errors import UsageError
    from trainer.classroom.assigning import assignment_of
    from trainer.classroom.attempts import find_attempt
    from trainer.classroom.regrading import ALL, ONLY_UP
    from trainer.classroom.regrading import apply as applied
    from trainer.cli.desk import desk_at
    from trainer.cli.progressing import counted

    if sum((every, only_up, bool(attempts))) != 1:
        raise UsageError("say to whom", hint="one of --all, --only-up, --attempts ID,ID")
    if dry_run:
        return diff(assignment, rubric, False, store)
    desk, new = desk_at(store), _rubric(rubric)
    with desk.store.reading() as c:
        one = assignment_of(c, assignment).id
        names = _names(c, one, blind=False)
        chosen = [find_attempt(c, a).id for a in attempts.split(",") if a.strip()]
    with counted("attempts") as progress:
        done = applied(desk, one, new, ONLY_UP if only_up else ALL, chosen, why, progress)
    lines = difference_lines(done.difference, names)
    lines.append(f"{len(done.written)} new grades; the old ones stay.")
    if done.written:
        lines.append(f"Released marks change by: condenser-bench grade release {assignment}")
    data = {**_difference_data(done.difference, names), "written": len(done.written)}
    return Outcome(data, "\n".join(lines))


VERBS = {
    "sample": sample, "agree": agree, "cut": cut, "blind": blind, "diff": diff, "apply": apply,
}  # fmt: skip
