"""The text bench: type an act, read what you see and hear. Works on any terminal or reader.

Wall time goes to a file of its own beside the attempt. Decides nothing.
"""

from __future__ import annotations

import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from trainer.cli.envelope import Outcome

if TYPE_CHECKING:
    from trainer.session.attempt import Running

CAUTION = (
    "Training aid only. Nothing here shows that a real unit is dead or a real touch safe; local "
    "codes, the maker's instructions and your licence rule real work."
)


def command(
    scenario: Annotated[str, typer.Argument(help="A scenario, or a layout for a free bench.")],
    seed: Annotated[int, typer.Option(help="Which variant.")] = 0,
    out: Annotated[
        str, typer.Option(metavar="ATTEMPT", help="Attempt file; an existing one is gone on with.")
    ] = "",
    accommodation: Annotated[
        float, typer.Option(min=1.0, max=5.0, help="Limits of time are multiplied by this.")
    ] = 1.0,
) -> Outcome:
    """Work at a bench in text: one line, one act; help lists them, quit leaves."""
    running, lost = _opened(scenario, seed, out, accommodation)
    print(CAUTION)
    if lost:
        print(lost)
    print("Type an act; help lists them, where and hold tell how you stand, quit leaves.")
    wall = Path(f"{out}.wall") if out else None
    last = ["Nothing was told yet."]
    for line in sys.stdin:
        if line.strip() in ("quit", "exit"):
            break
        _answer(running, line.strip(), wall, last)
    return Outcome({"events": len(running.events), "at_ms": running.bench.at_ms}, "Left the bench.")


def _opened(scenario: str, seed: int, out: str, accommodation: float) -> tuple[Running, str]:
    from trainer.session.attempt import resume, start
    from trainer.session.opening import opening

    if out and Path(out).exists():
        resumed = resume(Path(out))
        return resumed.running, resumed.lost
    unit, header, found = opening(scenario, seed)
    found = {**found, "accommodation": accommodation}
    return start(unit, Path(out) if out else None, {**header, "mode": "bench"}, found=found), ""


def _answer(running: Running, line: str, wall: Path | None, last: list[str]) -> None:
    """One line: a question, ``again``, or an act. ``last`` keeps what was told."""
    from trainer.base.errors import TrainerError
    from trainer.session.asking import answer
    from trainer.session.text import clock, parse, tell

    if not line:
        return
    said = "\n".join(last) if line == "again" else answer(running.bench, line)
    if said is not None:
        print(said)
        sys.stdout.flush()
        return
    try:
        act = parse(line)
    except TrainerError as error:
        print(error)
        return
    events = running.do(act)
    if wall is not None:
        _note_wall(wall, events[-1].seq)
    last[:] = [clock(running.bench.at_ms), *(f"  {sentence}" for sentence in tell(events))]
    print("\n".join(last))
    sys.stdout.flush()


def _note_wall(path: Path, seq: int) -> None:
    """When an act was done by the clock on the wall; nothing reads it but people."""
    with open(path, "a", encoding="ascii") as target:
        target.write(f"{seq} {datetime.now(UTC).isoformat(timespec='milliseconds')}\n")
