"""Whether a scenario's own file of acts can be done and scores full: nothing refused, nobody hurt.

Plays it on the variant it is written for and marks it by the scenario's rubric. Knows sessions,
marks and checks.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from trainer.assess.finding_rubric import rubric_for
from trainer.assess.loading import job_for
from trainer.assess.marking import mark_attempt
from trainer.base.errors import TrainerError
from trainer.base.yamlfile import Document
from trainer.scenario.checking import Checked
from trainer.scenario.key import MODEL_SEED
from trainer.scenario.load import load_with_document, model_file
from trainer.scenario.proof import Proved
from trainer.session.acts import load_moves
from trainer.session.attempt import Running, start
from trainer.session.log import Attempt
from trainer.session.opening import opening

#: Troubles told of one file.
TOLD = 4


def with_model_acts(found: Checked, path: Path, simulate: bool) -> Checked:
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
    trouble = _trouble(path, moves, MODEL_SEED if simulate else None)
    if simulate or trouble:
        told = f"{moves.name}: {trouble}" if trouble else "nothing refused, nobody hurt, full marks"
        found.proofs.append(Proved(("model",), "the model acts score full", not trouble, told))
    if trouble:
        _add(found, document, f"{moves.name}: {trouble}")
    return found


def _add(found: Checked, document: Document, what: str) -> None:
    found.faults.append(document.fault(("model",), what, "a file of acts in the folder moves"))


def _trouble(path: Path, moves: Path, seed: int | None) -> str:
    """What stands in the way, or ""; ``seed`` None only reads the file."""
    try:
        acts = load_moves(moves).acts
        if seed is None:
            return ""
        opened = opening(str(path), seed)
        running = start(opened.unit, None, opened.header, found=opened.found)
        for act in acts:
            running.do(act)
    except TrainerError as error:
        return str(error).splitlines()[0]
    return "; ".join([*_told(running), *_marked(running, opened.header, path)][:TOLD])


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
