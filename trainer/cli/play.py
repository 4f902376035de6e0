"""Plays a file of moves on a bench without a screen and writes the attempt.

Knows files and sentences; decides nothing.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from trainer.base.errors import UsageError
from trainer.cli.assigned import is_assignment, practised, sat_down
from trainer.cli.envelope import Outcome

if TYPE_CHECKING:
    from trainer.session.acts import Act
    from trainer.session.attempt import Running


def command(
    scenario: Annotated[str, typer.Argument(help="A scenario, or a layout for a free bench.")],
    moves: Annotated[str, typer.Option(metavar="FILE", help="A YAML list of acts.")],
    out: Annotated[
        str,
        typer.Option(metavar="ATTEMPT", help="The attempt file to write; none for an assignment."),
    ] = "",
    seed: Annotated[int, typer.Option(help="Which variant.")] = 0,
    graded: Annotated[
        str, typer.Option(metavar="LOCK", help="Graded: sealed with this lock file.")
    ] = "",
    learner: Annotated[
        str, typer.Option(metavar="NUMBER", help="Who works an assignment file.")
    ] = "",
) -> Outcome:
    """Play a file of moves on a bench and write the attempt."""
    from trainer.cli.grading import mode_of
    from trainer.session.acts import load_moves
    from trainer.session.attempt import start
    from trainer.session.opening import opening

    asked = load_moves(Path(moves))
    if is_assignment(scenario):
        return _assigned(scenario, learner, asked.acts)
    practised(seed)
    if not out:
        raise UsageError("where the attempt goes is missing", hint="--out ATTEMPT")
    unit, header, found = opening(scenario, seed, graded=bool(graded))
    mode, found = mode_of(graded, scenario, found)
    running = start(unit, Path(out), {**header, **mode}, found=found)
    lines, refused = _played(running, asked.acts)
    data = {
        "attempt": out, "events": len(running.events), "at_ms": running.bench.at_ms,
        "refused": refused, "hurts": [dict(h) for h in running.bench.hurts],
    }  # fmt: skip
    return Outcome(data, "\n".join(lines))


def _played(running: Running, acts: Iterable[Act]) -> tuple[list[str], int]:
    """(what was told act by act, how many were refused)."""
    from trainer.session.text import clock, tell

    lines, refused = [], 0
    for act in acts:
        events = running.do(act)
        refused += sum(e.kind == "refused" for e in events)
        told = " ".join(tell(events))
        lines.append(f"{clock(running.bench.at_ms)}  {act.act}: {told}".rstrip(": "))
    return lines, refused


def _assigned(name: str, learner: str, acts: Iterable[Act]) -> Outcome:
    """The moves as a graded attempt at an assignment; sealed when the job is over."""
    work = sat_down(name, learner)
    try:
        lines, refused = _played(work.sat.running, acts)
    finally:
        said = work.left()
    running = work.sat.running
    data = {
        "attempt": str(work.sat.path), "no": work.sat.no, "events": len(running.events),
        "refused": refused, "over": bool(running.bench.over),
    }  # fmt: skip
    return Outcome(data, "\n".join([*lines, *said]))
