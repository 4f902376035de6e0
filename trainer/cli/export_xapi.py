"""Writes an assignment's attempts as xAPI statements. Knows files and sentences, no statement."""

from __future__ import annotations

import json
from typing import Annotated

import typer

from trainer.cli.envelope import Outcome
from trainer.cli.exporting import Out, Replace, Store, kept


def command(
    assignment: Annotated[str, typer.Argument(metavar="ASSIGNMENT", help="Its name.")],
    out: Out = "",
    home: Annotated[
        str, typer.Option(metavar="URL", help="Where accounts and activities are named.")
    ] = "",
    replace: Replace = False,
    store: Store = "",
) -> Outcome:
    """Write what was begun, handed in, passed and failed as xAPI statements (IEEE 9274.1.1).

    Learners are opaque accounts: no name, number or e-mail is in the file. Writing it again gives
    the same ids; a result that was replaced is voided. Only released results are told.

    Example: condenser-bench export xapi week-3 -o week-3.json --home https://training.example.org
    """
    from trainer.classroom.assigning import assignment_of
    from trainer.classroom.statements import HOME, statements
    from trainer.cli.desk import desk_at

    desk = desk_at(store)
    with desk.store.reading() as c:
        told = statements(c, assignment_of(c, assignment), desk.now_ms, home or HOME)
    verbs: dict[str, int] = {}
    for one in told:
        verb = one["verb"]["display"]["en-US"]
        verbs[verb] = verbs.get(verb, 0) + 1
    text = json.dumps(told, indent=1, ensure_ascii=True, allow_nan=False) + "\n"
    data = {"statements": len(told), "verbs": verbs}
    if not out:
        return Outcome({**data, "xapi": told}, text.rstrip("\n"))
    kept(out, text, replace)
    counts = ", ".join(f"{n} {verb}" for verb, n in verbs.items()) or "none"
    return Outcome({**data, "file": out}, f"{len(told)} statements written to {out}: {counts}.")
