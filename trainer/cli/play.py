"""Plays a file of moves on a bench without a screen and writes the attempt.

Knows files and sentences; decides nothing.
"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from trainer.cli.envelope import Outcome


def command(
    scenario: Annotated[str, typer.Argument(help="A scenario, or a layout for a free bench.")],
    moves: Annotated[str, typer.Option(metavar="FILE", help="A YAML list of acts.")],
    out: Annotated[str, typer.Option(metavar="ATTEMPT", help="The attempt file to write.")],
    seed: Annotated[int, typer.Option(help="Which variant.")] = 0,
    graded: Annotated[
        str, typer.Option(metavar="LOCK", help="Graded: sealed with this lock file.")
    ] = "",
) -> Outcome:
    """Play a file of moves on a bench and write the attempt."""
    from trainer.cli.grading import mode_of
    from trainer.session.acts import load_moves
    from trainer.session.attempt import start
    from trainer.session.opening import opening
    from trainer.session.text import clock, tell

    asked = load_moves(Path(moves))
    unit, header, found = opening(scenario, seed, graded=bool(graded))
    mode, found = mode_of(graded, scenario, found)
    running = start(unit, Path(out), {**header, **mode}, found=found)
    lines, refused = [], 0
    for act in asked.acts:
        events = running.do(act)
        refused += sum(e.kind == "refused" for e in events)
        told = " ".join(tell(events))
        lines.append(f"{clock(running.bench.at_ms)}  {act.act}: {told}".rstrip(": "))
    data = {
        "attempt": out, "events": len(running.events), "at_ms": running.bench.at_ms,
        "refused": refused, "hurts": [dict(h) for h in running.bench.hurts],
    }  # fmt: skip
    return Outcome(data, "\n".join(lines))
