"""Whether a variant may be graded: its starts must not hang on a tenth of a percent of line volts.

Knows proofs; must know no learner and no mark.
"""

from __future__ import annotations

from dataclasses import replace

from trainer.base.errors import TrainerError, quoted
from trainer.parts import Supply
from trainer.scenario.model import Scenario
from trainer.scenario.taking import course_of, energised
from trainer.scenario.variants import Variant, variant
from trainer.unit.circuit import parts_of
from trainer.unit.state import Unit

#: Line volts a little lower, as they are, a little higher; a start must come out the same.
LINE = (0.999, 1.0, 1.001)
#: Seeds tried one after the other for a variant that may be graded.
TRIES = 20


def sensitive(built: Variant) -> bool:
    """Whether the start of the wanted unit, or of the one found, flips between these volts."""
    if not built.scenario.proof.starts:
        return False
    units = [built.target, *([built.unit] if built.faults else [])]
    return any(_flips(unit, built) for unit in units)


def _flips(unit: Unit, built: Variant) -> bool:
    proof = built.scenario.proof
    return len({
        course_of(energised(with_line(unit, ratio), built.layout, proof, proof.after))
        for ratio in LINE
    }) > 1  # fmt: skip


def with_line(unit: Unit, ratio: float) -> Unit:
    """The unit with the volts of every supply times ``ratio``; nothing else is touched."""
    parts = dict(unit.parts)
    for name, part in parts_of(unit.parts).items():
        if isinstance(part, Supply):
            volts = {"volts": f"{part.volts * ratio!r} V"}
            parts[name] = parts[name].model_copy(update={"set": {**parts[name].set, **volts}})
    return replace(unit, parts=parts, settled=False)


def graded_variant(scenario: Scenario, name: str, seed: int) -> Variant:
    """The variant of this seed, or of the next one that may be graded."""
    for tried in range(seed, seed + TRIES):
        built = variant(scenario, name, tried)
        if not sensitive(built):
            return built
    raise TrainerError(
        f"no seed from {seed} to {seed + TRIES - 1} of {quoted(name)} may be graded",
        hint="dials farther from the edge of a start",
    )
