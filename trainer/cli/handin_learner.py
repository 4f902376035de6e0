"""Hand-ins on the learner's machine: what is open, sealing an attempt, giving it, the receipt.

Knows files and sentences; decides nothing.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from trainer.cli.envelope import Outcome

if TYPE_CHECKING:
    from trainer.exchange.ledger import Ledger

Who = Annotated[str, typer.Option(metavar="NUMBER", help="The learner's number.")]
File = Annotated[str, typer.Argument(metavar="ASSIGNMENT", help="The assignment file.")]


def card(assignment: File, learner: Who) -> Outcome:
    """Show an assignment: due, attempts left, what counts. Nothing is consumed.

    Example: condenser-bench handin card week-3.assignment --learner L-07
    """
    from trainer.cli.assigned import card_lines, learner_here, start_code
    from trainer.exchange.taking import take

    taken = take(learner_here(), Path(assignment), learner, start_code())
    terms = taken.file.terms
    data = {
        "assignment": terms.name, "id": terms.id, "due_ms": taken.part.due_ms,
        "closes_ms": taken.part.closes_ms, "attempts_left": taken.left,
        "under_way": taken.ledger.under_way(),
    }  # fmt: skip
    return Outcome(data, "\n".join(card_lines(taken)))


def write(
    assignment: File,
    learner: Who,
    no: Annotated[int, typer.Option(help="Which attempt; else the one under way.")] = 0,
) -> Outcome:
    """Seal an attempt as it is into a hand-in file; it cannot be gone on with after that.

    Example: condenser-bench handin write week-3.assignment --learner L-07
    """
    from trainer.base.errors import NotFoundError
    from trainer.cli.assigned import learner_here
    from trainer.exchange.taking import hand_in, load

    here, file = learner_here(), load(Path(assignment))
    ledger = _ledger(assignment, learner)
    chosen = no or ledger.under_way() or ledger.used()
    if not chosen:
        raise NotFoundError("no attempt was begun here", file.terms.name, "condenser-bench bench")
    path = hand_in(here, ledger, chosen, file.terms.id)
    said = f"Attempt {chosen} is sealed: {path}\nGive this file to the instructor."
    return Outcome({"handin": str(path), "no": chosen}, said)


def send(
    assignment: File,
    learner: Who,
    to: Annotated[str, typer.Option(metavar="FOLDER", help="A shared folder or a stick.")],
) -> Outcome:
    """Copy all hand-ins of an assignment into a folder.

    Example: condenser-bench handin send week-3.assignment --learner L-07 --to /media/stick
    """
    from trainer.base.errors import NotFoundError
    from trainer.exchange.taking import send as give

    ledger = _ledger(assignment, learner)
    files = [p for n in range(1, ledger.used() + 1) if (p := ledger.handin_path(n)).is_file()]
    if not files:
        raise NotFoundError("nothing is handed in yet", assignment, "condenser-bench handin write")
    copies = [give(path, Path(to)) for path in files]
    return Outcome({"sent": [str(c) for c in copies]}, "\n".join(f"Wrote {c}." for c in copies))


def receipt(file: Annotated[str, typer.Argument(metavar="RECEIPT", help="A receipt.")]) -> Outcome:
    """Check a receipt against its assignment and keep it.

    Example: condenser-bench handin receipt attempt-1.receipt
    """
    from trainer.cli.assigned import learner_here
    from trainer.exchange.taking import keep_receipt

    kept = keep_receipt(learner_here(), Path(file))
    lines = [f"Attempt {kept.no} of {kept.learner_id} was received; the seal holds."]
    if kept.late_ms:
        lines.append(f"  {kept.late_ms // 60_000} min late")
    data = {
        "no": kept.no, "digest": kept.digest, "received_ms": kept.received_ms,
        "late_ms": kept.late_ms, "counted": kept.counted, "checks": list(kept.checks),
    }  # fmt: skip
    return Outcome(data, "\n".join([*lines, *(f"  {c}" for c in kept.checks)]))


def key() -> Outcome:
    """Show this machine's signing key as it is read aloud.

    Example: condenser-bench handin key
    """
    from trainer.cli.assigned import learner_here
    from trainer.exchange.keys import fingerprint
    from trainer.session.sealing import lock_of

    public = lock_of(learner_here().key())
    data = {"public": public, "fingerprint": fingerprint(public)}
    return Outcome(data, f"This machine signs as {fingerprint(public)}.")


def _ledger(assignment: str, learner: str) -> Ledger:
    from trainer.cli.assigned import learner_here
    from trainer.exchange.ledger import ledger_of
    from trainer.exchange.taking import load

    return ledger_of(learner_here().books(), load(Path(assignment)).terms.id, learner)


VERBS = {"card": card, "write": write, "send": send, "receipt": receipt, "key": key}
