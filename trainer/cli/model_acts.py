"""Whether a scenario's own file of acts can be done and scores full: nothing refused, nobody hurt.

Plays it on the variant it is written for and, told anew, on others, and marks it by the scenario's
rubric. A variant that asks for other work is told apart: full marks there prove it, less is no
fault of the acts. Knows sessions, marks and checks.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from trainer.assess.finding_rubric import rubric_for
from trainer.assess.loading import job_for
from trainer.assess.marking import mark_attempt
from trainer.base.errors import TrainerError
from trainer.base.yamlfile import Document
from trainer.cli.resolving import Played, other_job, played
from trainer.scenario.checking import Checked
from trainer.scenario.key import MODEL_SEED
from trainer.scenario.load import load_with_document, model_file
from trainer.scenario.model import Scenario
from trainer.scenario.proof import Proved
from trainer.session.acts import Act, load_moves
from trainer.session.attempt import Running
from trainer.session.log import Attempt
from trainer.session.opening import opening

#: Troubles told of one file.
TOLD = 4


def with_model_acts(
    found: Checked, path: Path, simulate: bool, seeds: Iterable[int] = (MODEL_SEED,)
) -> Checked:
    """The check with the proof of its model acts added, if it names any and is in order."""
    if not found.ok:
        return found
    scenario, document = load_with_document(path)
    try:
        rubric_for(scenario, str(path))
    except TrainerError as error:
        what = str(error).splitlines()[0]
        found.faults.append(
            document.fault(("rubric",), what, "a rubric of its own or one that ships")
        )
        return found
    moves = model_file(scenario, path)
    if moves is None:
        found.notes.append("no model acts are named")
        return found
    try:
        acts = load_moves(moves).acts
        if simulate:
            _prove(found, document, Model(scenario, path, moves.name, acts), seeds)
    except TrainerError as error:
        _add(found, document, f"{moves.name}: {str(error).splitlines()[0]}")
    return found


class Model(NamedTuple):
    """A scenario with the acts it names, and where both are."""

    scenario: Scenario
    path: Path
    name: str
    acts: Sequence[Act]


def _prove(found: Checked, document: Document, model: Model, seeds: Iterable[int]) -> None:
    """On its own variant always, then on each of the seeds."""
    written = played(model.acts, opening(str(model.path), MODEL_SEED))
    trouble = _trouble(written, model)
    _keep(found, document, model, "the model acts score full", trouble)
    if trouble:
        return
    unlike: list[str] = []
    for seed in seeds:
        if seed == MODEL_SEED:
            continue
        trouble = _trouble(played(model.acts, opening(str(model.path), seed), written), model)
        other = other_job(model.scenario, model.path.stem, seed, MODEL_SEED)
        if trouble and other:
            unlike.append(f"{seed} ({other})")
            continue
        what = f"seed {seed}: the model acts score full"
        _keep(found, document, model, what, f"seed {seed}: {trouble}" if trouble else "")
    if unlike:
        found.notes.append(f"other work than the model acts do: seed {', '.join(unlike)}")


def _keep(found: Checked, document: Document, model: Model, what: str, trouble: str) -> None:
    told = f"{model.name}: {trouble}" if trouble else "nothing refused, nobody hurt, full marks"
    found.proofs.append(Proved(("model",), what, not trouble, told))
    if trouble:
        _add(found, document, told)


def _add(found: Checked, document: Document, what: str) -> None:
    found.faults.append(document.fault(("model",), what, "a file of acts in the folder moves"))


def _trouble(done: Played, model: Model) -> str:
    """What stands in the way of full marks, or ""."""
    told = [*_told(done.running), *_marked(done.running, done.opened.header, model.path)]
    return "; ".join(told[:TOLD])


def _marked(running: Running, header: Mapping[str, Any], path: Path) -> list[str]:
    """What the acts lose by the scenario's rubric. Raises TrainerError for a missing one."""
    job = job_for(str(path), int(header["seed"]))
    attempt = Attempt(header, tuple(running.events))
    mark = mark_attempt(attempt, job, rubric_for(job.scenario, str(path))).mark
    told = [f"{c.code} {c.sentence}" for c in mark.critical]
    told += [f"{float(f.lost):.2f} points lost by {f.rule}: {f.sentence}" for f in mark.findings]
    return told if told or mark.verdict == "pass" else list(mark.reasons)


def _told(running: Running) -> list[str]:
    """Refusals with the act's number, and hurts."""
    number, told = 0, []
    for event in running.events:
        number += event.kind == "asked"
        if event.kind == "refused":
            told.append(f"act {number} is refused: {event.data['why']}")
    return [*told, *(f"somebody is hurt at {hurt['place']}" for hurt in running.bench.hurts)]
