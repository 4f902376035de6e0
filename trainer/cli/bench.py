"""The text bench: type an act, read what you see and hear. Works on any terminal or reader.

Wall time goes to a file of its own beside the attempt. Decides nothing.
"""

from __future__ import annotations

import sys
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from trainer.base.errors import UsageError
from trainer.cli.assigned import card_lines, is_assignment, practised, sat_down
from trainer.cli.envelope import Outcome

if TYPE_CHECKING:
    from trainer.session.attempt import Running

CAUTION = (
    "Training aid only. Nothing here shows that a real unit is dead or a real touch safe; local "
    "codes, the maker's instructions and your licence rule real work."
)


def command(
    scenario: Annotated[
        str, typer.Argument(help="A scenario, a layout for a free bench, or an assignment file.")
    ],
    seed: Annotated[int, typer.Option(help="Which variant.")] = 0,
    out: Annotated[
        str, typer.Option(metavar="ATTEMPT", help="Attempt file; an existing one is gone on with.")
    ] = "",
    accommodation: Annotated[
        float, typer.Option(min=1.0, max=5.0, help="Limits of time are multiplied by this.")
    ] = 1.0,
    graded: Annotated[
        str, typer.Option(metavar="LOCK", help="Graded: sealed with this lock file; needs --out.")
    ] = "",
    learner: Annotated[
        str, typer.Option(metavar="NUMBER", help="Who works an assignment file.")
    ] = "",
) -> Outcome:
    """Work at a bench in text: one line, one act; help lists them, quit leaves."""
    if is_assignment(scenario):
        return _assigned(scenario, learner)
    practised(seed)
    if graded and not out:
        raise UsageError("a graded attempt needs a file to be handed in", hint="--out ATTEMPT")
    running, header, lost = _opened(scenario, seed, out, accommodation, graded)
    _work(running, lost, out)
    data = {"events": len(running.events), "at_ms": running.bench.at_ms}
    return Outcome(data, "\n".join(["Left the bench.", *_afterwards(running, header, out)]))


def _assigned(name: str, learner: str) -> Outcome:
    """A graded attempt at an assignment, begun or gone on with; sealed once it is over."""
    work = sat_down(name, learner)
    print("\n".join(card_lines(work.taken)))
    print(f"Attempt {work.sat.no}.")
    try:
        _work(work.sat.running, work.sat.lost, str(work.sat.path))
    finally:
        said = work.left()
    running = work.sat.running
    data = {"no": work.sat.no, "events": len(running.events), "over": bool(running.bench.over)}
    return Outcome(data, "\n".join(["Left the bench.", *said]))


def _work(running: Running, lost: str, out: str) -> None:
    """Line by line until the end of input, of the job, or of patience."""
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
        if running.bench.over:
            break


def _afterwards(running: Running, header: Mapping[str, Any], out: str) -> list[str]:
    """The debrief of a job; nothing for a free bench or a graded attempt."""
    from trainer.scenario.load import scenario_names
    from trainer.session.sealing import lock_in

    if lock_in(header):
        return [f"{out} is sealed: hand it in; the debrief comes when it is released."]
    if len(running.events) < 2 or _free(str(header["scenario"]), scenario_names()):
        return []
    from trainer.assess.finding_rubric import rubric_for
    from trainer.assess.loading import job_for
    from trainer.assess.marking import mark_attempt
    from trainer.report.page import debrief
    from trainer.report.shelf import offers
    from trainer.report.text import lines_of
    from trainer.session.log import Attempt

    name = str(header["scenario"])
    job = job_for(name, int(header["seed"]))
    attempt = Attempt(header, tuple(running.events))
    mark = mark_attempt(attempt, job, rubric_for(job.scenario, name)).mark
    return lines_of(debrief(mark, attempt, job.scenario, offers()), every=False)


def _free(name: str, jobs: list[str]) -> bool:
    """A layout without a job."""
    from trainer.unit.layout import layout_names
    from trainer.unit.own_layout import is_layout_file

    return name not in jobs and (name in layout_names() or is_layout_file(Path(name)))


def _opened(
    scenario: str, seed: int, out: str, accommodation: float, graded: str
) -> tuple[Running, Mapping[str, Any], str]:
    from trainer.cli.grading import mode_of
    from trainer.session.attempt import resume, start
    from trainer.session.opening import opening

    if out and Path(out).exists():
        resumed = resume(Path(out))
        return resumed.running, resumed.header, resumed.lost
    unit, header, found = opening(scenario, seed, graded=bool(graded))
    mode, found = mode_of(graded, scenario, found, practice="bench")
    header = {**header, **mode}
    found = {**found, "accommodation": accommodation}
    return start(unit, Path(out) if out else None, header, found=found), header, ""


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
