"""Marks of a class at the instructor's desk: list, show, set by hand with a reason, rate.

Also the table of verbs of the whole group. With --blind, or once an assignment is blind, nothing
here names a learner, a file or an attempt's id. Knows files and sentences; decides nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from trainer.cli import grade_class, grade_release
from trainer.cli.envelope import Outcome
from trainer.cli.grade_words import Store, mark_data, mark_lines

if TYPE_CHECKING:
    from sqlalchemy import Connection, Row

    from trainer.classroom.desk import Desk
    from trainer.classroom.listing import Line

ABOUT = "Look at marks, moderate them with a reason, mark anew, and release them to learners."
Attempt = Annotated[
    str, typer.Argument(metavar="ATTEMPT", help="Its id, six signs or more of it, or its code.")
]
Blind = Annotated[bool, typer.Option("--blind", help="Codes instead of learners.")]
KINDS = "misread, fault, circumstances, rubric, second, mistake or other"
Code = Annotated[str, typer.Option("--code", metavar="KIND", help=f"Why in a word: {KINDS}.")]
Reason = Annotated[str, typer.Option(help="Why in a sentence; it stands in the trail.")]


def list_(
    assignment: Annotated[str, typer.Argument(metavar="ASSIGNMENT", help="Its name.")],
    blind: Blind = False,
    store: Store = "",
) -> Outcome:
    """List the marks of an assignment, with overrides, ratings and what is released.

    Example: condenser-bench grade list week-3 --blind
    """
    from trainer.classroom.assigning import assignment_of
    from trainer.classroom.attempts import is_blind
    from trainer.classroom.listing import lines_of
    from trainer.cli.desk import desk_at

    desk = desk_at(store)
    with desk.store.reading() as c:
        one = assignment_of(c, assignment).id
        found = lines_of(c, one, desk.now_ms, blind or is_blind(c, one))
    lines = [line for one in found for line in _line(one)]
    return Outcome([_data(one) for one in found], "\n".join(lines) or "Nothing was handed in yet.")


def _line(line: Line) -> list[str]:
    who = line.learner_id or line.code
    mark = f"{line.shown:>6}  {line.verdict:<4}" if line.shown else "not graded yet"
    more = [*line.critical]
    more += [f"by hand: {', '.join(line.overridden)}"] if line.overridden else []
    more += [f"rated {', '.join(map(str, line.ratings))}"] if line.ratings else []
    more += [f"released: {line.released}"] if line.released != "none" else []
    told = [f"{line.called:<9} {who:<12} {line.no}  {mark}  {'; '.join(more)}".rstrip()]
    return told + [f"    {note}" for note in (*line.notes, *line.flags)]


def _data(line: Line) -> dict[str, Any]:
    return {
        "code": line.code, "attempt": line.attempt_id, "learner_id": line.learner_id,
        "no": line.no, "state": line.state, "total": line.shown,
        "total_exact": str(line.total) if line.total is not None else None,
        "verdict": line.verdict, "critical": list(line.critical),
        "overridden": list(line.overridden), "notes": list(line.notes),
        "ratings": list(line.ratings), "flags": list(line.flags), "late_ms": line.late_ms,
        "released": line.released,
    }  # fmt: skip


def show(
    attempt: Attempt,
    blind: Blind = False,
    every: Annotated[bool, typer.Option("--all", help="Tell every item, not the worst.")] = False,
    store: Store = "",
) -> Outcome:
    """Show one mark: what counts, what the scorer said, overrides, and its evidence.

    Example: condenser-bench grade show 5f0c2a9e --all
    """
    from trainer.classroom.attempts import is_blind
    from trainer.classroom.grading import effective
    from trainer.cli.desk import desk_at
    from trainer.exchange.keys import fingerprint

    desk = desk_at(store)
    with desk.store.reading() as c:
        row = found(c, attempt)
        mark = effective(c, row.id)
        hidden = blind or is_blind(c, row.assignment_id)
    head = called(row, hidden)
    if mark is None:
        return Outcome({**head, "graded": False}, f"{head['called']} is not graded yet.")
    lines = [f"{head['called']}, attempt {row.no} of {row.name}", *mark_lines(mark, every)]
    if not hidden:
        lines += [f"flag  {flag}" for flag in row.flags]
        lines.append(f"signed by {fingerprint(row.public_key)}; SHA-256 {row.file_digest}")
    return Outcome({**head, "graded": True, **mark_data(mark, hidden)}, "\n".join(lines))


def found(c: Connection, attempt: str) -> Row[Any]:
    from trainer.classroom.attempts import find_attempt

    return find_attempt(c, attempt)


def called(row: Row[Any], hidden: bool) -> dict[str, Any]:
    """How an attempt is named in what is printed."""
    from trainer.classroom.attempts import code_of

    code = code_of(row.secret, row.id)
    if hidden:
        return {"called": code, "code": code, "no": row.no, "assignment": row.name}
    return {
        "called": f"{row.learner_id} ({row.id[:8]})", "code": code, "attempt": row.id,
        "learner_id": row.learner_id, "no": row.no, "assignment": row.name,
    }  # fmt: skip


def override(
    attempt: Attempt,
    field: Annotated[str, typer.Argument(help="total, verdict or critical.")],
    value: Annotated[str, typer.Argument(help="72.5; pass or fail; CF3,CF7 or none.")],
    reason: Reason = "",
    code: Code = "other",
    second: Annotated[
        str, typer.Option(metavar="WHO", help="A second approver, where your rules ask.")
    ] = "",
    store: Store = "",
) -> Outcome:
    """Set a mark by hand. Refused without a reason; kept with who and when; outlives a regrade.

    Example: condenser-bench grade override 5f0c2a9e critical none --code misread
    --reason "the lock was on, the tag hid it"
    """
    from trainer.classroom.moderating import override_mark

    desk, attempt_id, head = _at(attempt, store)
    after = override_mark(desk, attempt_id, field, value, code, reason, second)
    return _after(head, after, f"{field} is set by hand.")


def undo(
    attempt: Attempt,
    field: Annotated[str, typer.Argument(help="total, verdict or critical.")],
    reason: Reason = "",
    code: Code = "mistake",
    store: Store = "",
) -> Outcome:
    """Take an override back: the computed value counts again. Both stay in the trail.

    Example: condenser-bench grade undo 5f0c2a9e critical --reason "it was another learner's"
    """
    from trainer.classroom.moderating import take_back

    desk, attempt_id, head = _at(attempt, store)
    return _after(
        head, take_back(desk, attempt_id, field, code, reason), f"{field} is as computed again."
    )


def _at(attempt: str, store: str) -> tuple[Desk, str, dict[str, Any]]:
    """(the desk, the attempt's id, how it is named)."""
    from trainer.classroom.attempts import is_blind
    from trainer.cli.desk import desk_at

    desk = desk_at(store)
    with desk.store.reading() as c:
        row = found(c, attempt)
        return desk, row.id, called(row, is_blind(c, row.assignment_id))


def _after(head: dict[str, Any], mark: Any, said: str) -> Outcome:
    lines = [f"{head['called']}: {said}", *mark_lines(mark, False)[: 2 + len(mark.overrides)]]
    data = {k: v for k, v in mark_data(mark).items() if k != "mark"}
    return Outcome({**head, **data}, "\n".join(lines))


def rate(
    attempt: Attempt,
    rating: Annotated[int, typer.Argument(help="1 unsafe, 2 borderline, 3, 4, 5 exemplary.")],
    verdict: Annotated[str, typer.Option(help="pass or fail, as you would give it.")] = "",
    store: Store = "",
) -> Outcome:
    """Rate the whole attempt as you saw it: input to a cut by borderline regression.

    Example: condenser-bench grade rate 5f0c2a9e 2
    """
    return _rated(attempt, rating, verdict, store, False)


def second(
    attempt: Attempt,
    rating: Annotated[int, typer.Argument(help="1 unsafe, 2 borderline, 3, 4, 5 exemplary.")],
    verdict: Annotated[str, typer.Option(help="pass or fail, as you would give it.")] = "",
    store: Store = "",
) -> Outcome:
    """Rate as a second marker, who is another person than the first.

    Example: CONDENSER_BENCH_WHO=B condenser-bench grade second 5f0c2a9e 3 --verdict pass
    """
    return _rated(attempt, rating, verdict, store, True)


def _rated(attempt: str, value: int, verdict: str, store: str, second: bool) -> Outcome:
    from trainer.classroom.moderating import rate as rated

    desk, attempt_id, head = _at(attempt, store)
    rated(desk, attempt_id, value, verdict, second)
    said = f"{head['called']}: rated {value}{' ' + verdict if verdict else ''} by {desk.who}."
    return Outcome({**head, "rating": value, "verdict": verdict, "by": desk.who}, said)


VERBS = {
    "list": list_, "show": show, "override": override, "undo": undo, "rate": rate,
    "second": second, **grade_class.VERBS, **grade_release.VERBS,
}  # fmt: skip
