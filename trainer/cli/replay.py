"""Replays an attempt: what was asked and what came of it; with --verify asks everything again.

Knows files and sentences; decides nothing.
"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from trainer.cli.envelope import Outcome

#: Exit code when a verification finds a difference.
DIFFERS = 1


def command(
    attempt: Annotated[str, typer.Argument(help="An attempt file.")],
    verify: Annotated[
        bool, typer.Option("--verify", help="Solve every act again and compare.")
    ] = False,
    key: Annotated[
        str, typer.Option(metavar="FILE", help="The instructor's key of a graded attempt.")
    ] = "",
) -> Outcome:
    """Replay an attempt, and with --verify name the first event that differs."""
    from trainer.session.attempt import verify as verified
    from trainer.session.evolve import fold
    from trainer.session.log import read
    from trainer.session.sealing import open_up

    found = read(Path(attempt))
    open_up(Path(attempt), found.header, Path(key) if key else None)
    warnings = ["the last line is cut short; it was left out"] if found.torn else []
    bench = fold(found.events)
    data: dict[str, Any] = {
        "header": dict(found.header), "events": len(found.events), "at_ms": bench.at_ms,
        "hurts": [dict(h) for h in bench.hurts], "readings": [dict(r) for r in bench.readings],
        "declared": bench.declared, "over": bench.over,
    }  # fmt: skip
    lines, code = _story(found.events), 0
    if verify:
        difference = verified(found)
        data["verified"] = difference is None
        data["differs_at"] = difference._asdict() if difference else None
        code = DIFFERS if difference else 0
        at = f"differs at event {difference.seq}: {difference.what}" if difference else ""
        lines.append(at or "verified: every act gives the same again")
    return Outcome(data, "\n".join(lines), warnings, code)


def _story(events: Any) -> list[str]:
    from trainer.session.text import clock, tell

    lines = []
    for event in events:
        if event.kind == "asked":
            fields = [str(v) for k, v in event.data.items() if k != "act" and v not in ("", [])]
            lines.append(f"{clock(event.at_ms)}  > {' '.join([event.data['act'], *fields])}")
        else:
            lines += [f"         {sentence}" for sentence in tell([event])]
    return lines
