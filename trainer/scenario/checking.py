"""Everything wrong with a scenario file, with lines: form, fit, units, difficulty, and proofs.

Knows files and the other modules of this package; must print nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from trainer.base.errors import Fault, Faults, Misfit
from trainer.base.yamlfile import Document
from trainer.scenario.building import build_misfits
from trainer.scenario.difficulty import unlike
from trainer.scenario.grading import sensitive
from trainer.scenario.load import load_with_document
from trainer.scenario.model import Scenario
from trainer.scenario.proof import Proved, prove
from trainer.scenario.variants import variant

Say = Callable[[str], None]


@dataclass
class Checked:
    """What was found of one file. ``notes`` are no faults; ``proofs`` what a simulation showed."""

    path: str
    kind: str = "scenario"
    title: str = ""
    faults: list[Fault] = field(default_factory=list)
    proofs: list[Proved] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    @property
    def ok(self) -> bool:
        return not self.faults


def check_scenario(path: Path, simulate: bool, seeds: Sequence[int] = (0,)) -> Checked:
    """Form, fit and units of a scenario, then its proofs unless something is wrong already."""
    found = Checked(str(path))
    try:
        scenario, document = load_with_document(path)
    except Faults as error:
        found.faults = error.faults
        return found
    found.title = scenario.title
    misfits = build_misfits(scenario, path.stem) or [*unlike(scenario, path.stem, seeds)]
    found.faults = _as_faults(misfits, document)
    if not found.faults and simulate:
        for seed in seeds:
            found.proofs += prove(scenario, path.stem, seed)
        found.notes += _edges(scenario, path.stem, seeds)
        wrong = [Misfit(p.path, p.says, p.write) for p in found.proofs if not p.ok]
        found.faults = _as_faults(wrong, document)
    return found


def _as_faults(misfits: Sequence[Misfit], document: Document) -> list[Fault]:
    return [document.fault(m.path, m.what, m.write) for m in misfits]


def _edges(scenario: Scenario, name: str, seeds: Sequence[int]) -> list[str]:
    """Seeds whose start hangs on a hair of line volts; they are never graded."""
    on_edge = [str(s) for s in seeds if sensitive(variant(scenario, name, s))]
    return [f"sensitive, so never graded: seed {', '.join(on_edge)}"] if on_edge else []
