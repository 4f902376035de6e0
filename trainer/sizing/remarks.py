"""Sentences that go with an answer: whose table was followed, which code, what the proof showed.

Knows what was found out; computes nothing.
"""

from __future__ import annotations

from collections.abc import Sequence

from trainer.sizing.nameplate_file import NameplateFile
from trainer.sizing.sizing import Aid, Proof, RelayKit


def of_makers_table(plate: NameplateFile, kit: RelayKit | None) -> tuple[str, ...]:
    """What comes first, said in every answer."""
    table = plate.maker_table
    if table is None:
        return (
            "The compressor maker's start-parts table comes first. The file gives none, so the "
            "rules here stand in for it.",
        )
    if kit is not None and kit.from_maker:
        return (f"The maker's start-parts table comes first: parts are those of {table.sheet}.",)
    return (
        f"The maker's start-parts table comes first, but {table.sheet} names no capacitor with "
        "its relay, so the rules here stand in for it.",
    )


def of_code(plate: NameplateFile) -> tuple[str, ...]:
    """Whose code the branch figures follow."""
    if plate.hz > 55.0:
        return ()
    return (
        "Conductor, breaker and disconnect follow NEC arithmetic as an exercise; a 50 Hz "
        "installation follows the code of its country.",
    )


def of_proof(plate: NameplateFile, proofs: Sequence[Proof]) -> tuple[str, ...]:
    """What was simulated, and on which supply."""
    if not proofs:
        return ("Not proved by a simulated start: phasors at held speeds decided.",)
    alone = "The starts are those of the compressor alone, without fan or other loads."
    if plate.supply.transformer is None:
        return (alone, "No supply is given: they were simulated on a strong one, invented.")
    return (alone,)


def failures(decision: Aid, proofs: Sequence[Proof]) -> tuple[str, ...]:
    """Every start with what was chosen that did not come out clean."""
    return tuple(
        f"The proof failed: {proof.what}, {proof.supply}: {proof.outcome}."
        for proof in proofs
        if proof.gear == decision.kind and proof.outcome != "clean" and decision.kind != "none"
    )
