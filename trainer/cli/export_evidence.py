"""Writes the evidence for one attempt as a page. Knows files and sentences; decides nothing."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from trainer.base.errors import NotFoundError, UsageError, quoted
from trainer.cli.envelope import Outcome
from trainer.cli.exporting import Blind, Lang, Out, Replace, Store, kept, known

if TYPE_CHECKING:
    from sqlalchemy import Connection


def command(
    attempt: Annotated[
        str,
        typer.Argument(metavar="ATTEMPT", help="Its id or code, or ASSIGNMENT/LEARNER[/NUMBER]."),
    ],
    out: Out = "",
    blind: Blind = False,
    lang: Lang = "en",
    replace: Replace = False,
    store: Store = "",
) -> Outcome:
    """Write everything a mark rests on, to lay on the table at an appeal.

    Who, what and when; the terms and the rubric; every item with its line of the rubric, its
    weight and its events; the arithmetic to the verdict; overrides; what was shown and when.
    Every number of the page names what it is from in its data-from.

    Example: condenser-bench export evidence week-3/L-0042 -o appeal.html
    """
    from trainer.base.tongue import speaking
    from trainer.classroom.attempts import code_of
    from trainer.classroom.evidence import evidence
    from trainer.cli.desk import desk_at
    from trainer.report.cited import as_data
    from trainer.report.class_evidence import paper
    from trainer.report.class_html import evidence_page

    if out and Path(out).suffix.lower() != ".html":
        raise UsageError("evidence is a page", hint="name a file that ends in .html")
    lang, desk = known(lang), desk_at(store)
    with desk.store.reading() as c:
        found = evidence(c, _attempt_id(c, attempt, desk.now_ms), desk.now_ms)
    code = code_of(found.assignment["secret"], found.attempt["id"]) if blind else ""
    page = paper(found, desk.who, desk.now_ms, code)
    said = f"{page.status}: {''.join(piece.text for piece in page.verdict)}."
    data: dict[str, Any] = {"attempt": found.attempt["id"], "status": page.status}
    data |= as_data(page)
    if not out:
        return Outcome(data, f"{said} Add -o FILE.html for the page, or --json for its data.")
    with speaking(lang):
        told = evidence_page(paper(found, desk.who, desk.now_ms, code))
    kept(out, told, replace)
    return Outcome({**data, "file": out}, f"{said} Written to {out}.")


def _attempt_id(c: Connection, named: str, now_ms: int) -> str:
    """That of an id, its beginning or a code; or of a learner's attempt: the one that counts."""
    from trainer.classroom.attempts import find_attempt

    if "/" not in named:
        return str(find_attempt(c, named).id)
    from trainer.classroom.assigning import assignment_of
    from trainer.classroom.gradebook import attempts_of, entries

    name, learner, *rest = named.split("/")
    assignment = assignment_of(c, name)
    entry = next((e for e in entries(c, assignment, now_ms) if e.who.learner_id == learner), None)
    if entry is None:
        raise NotFoundError(f"nobody of {quoted(name)} is called {quoted(learner)}")
    if rest:
        found = {str(row.no): str(row.id) for row in attempts_of(c, assignment.id, entry.who.id)}
        own = found.get(rest[0])
    else:
        own = str(entry.attempt.id) if entry.attempt is not None else None
    if own is None:
        what = f"{quoted(learner)} has handed in no attempt {' '.join(rest)}".rstrip()
        raise NotFoundError(what, quoted(name), "condenser-bench export grades tells who has")
    return own
