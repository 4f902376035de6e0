"""Whether a scenario's own file of acts can be done: nothing refused, nobody hurt.

Plays it on the variant it is written for. Knows sessions and checks; must know no mark.
"""

from __future__ import annotations

from pathlib import Path

from trainer.base.errors import TrainerError
from trainer.base.yamlfile import Document
from trainer.scenario.checking import Checked
from trainer.scenario.key import MODEL_SEED
from trainer.scenario.load import load_with_document, model_file
from trainer.scenario.proof import Proved
from trainer.session.acts import load_moves
from trainer.session.attempt import Running, start
from trainer.session.opening import opening

#: Troubles told of one file.
TOLD = 4


def with_model_acts(found: Checked, path: Path, simulate: bool) -> Checked:
    """The check with the proof of its model acts added, if it names any and is in order."""
    if not found.ok:
        return found
    scenario, document = load_with_document(path)
    moves = model_file(scenario, path)
    if moves is None:
        found.notes.append("no model acts are named")
        return found
    trouble = _trouble(path, moves, MODEL_SEED if simulate else None)
    if simulate or trouble:
        told = f"{moves.name}: {trouble}" if trouble else "nothing refused, nobody hurt"
        found.proofs.append(Proved(("model",), "the model acts can be done", not trouble, told))
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
    return "; ".join(_told(running)[:TOLD])


def _told(running: Running) -> list[str]:
    """Refusals with the act's number, and hurts."""
    number, told = 0, []
    for event in running.events:
        number += event.kind == "asked"
        if event.kind == "refused":
            told.append(f"act {number} is refused: {event.data['why']}")
    return [*told, *(f"somebody is hurt at {hurt['place']}" for hurt in running.bench.hurts)]
