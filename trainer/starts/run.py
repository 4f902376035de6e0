"""Energise a study and report its start, with the start of its reference behind it.

Knows studies and reports; must know no finding of its own.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from trainer.parts import Part, Supply
from trainer.parts.capacitors import StartCapacitor
from trainer.starts.later import go_on
from trainer.starts.recording import record
from trainer.starts.report import StartReport, report
from trainer.starts.thresholds import thresholds
from trainer.starts.wear import CanData
from trainer.study.build import build, watched
from trainer.study.load import find_study, load_study
from trainer.study.model import Study


def run_start(
    study: Study,
    *,
    until_s: float | None = None,
    beside: Path | None = None,
    starts_per_hour: float | None = None,
    steps_per_cycle: int | None = None,
) -> StartReport:
    """Energise a study; ``beside`` is the folder in which a reference given as a path lies."""
    until = study.until if until_s is None else until_s
    found = record(study, until, steps_per_cycle)
    goes_on = until > found.end_s + 1.0 / found.roles.hz
    reference = reference_of(study, beside)
    return report(
        study.title,
        found,
        thresholds(),
        can_data(study),
        reference,
        starts_per_hour,
        study.sensitive,
        go_on(study, found, until) if goes_on else None,
    )


def run_file(
    path_or_name: str | Path,
    *,
    until_s: float | None = None,
    starts_per_hour: float | None = None,
) -> StartReport:
    """The start of a study by path or bare name."""
    path = find_study(path_or_name)
    study = load_study(path_or_name)
    return run_start(study, until_s=until_s, beside=path.parent, starts_per_hour=starts_per_hour)


def reference_of(study: Study, beside: Path | None = None) -> StartReport | None:
    """The start of the study's reference, if it names one."""
    if study.reference is None:
        return None
    return _reference_start(find_study(study.reference, beside))


@lru_cache(maxsize=16)
def _reference_start(path: Path) -> StartReport:
    """A reference is itself judged without one."""
    study = load_study(path)
    return run_start(study.model_copy(update={"reference": None}))


def flips(study: Study, beside: Path | None = None) -> tuple[str, ...]:
    """Outcomes at line volts a little lower, as written and a little higher, if they differ."""
    step = thresholds().line_step.value
    found = tuple(
        run_start(with_line(study, 1.0 + change), beside=beside).outcome
        for change in (-step, 0.0, step)
    )
    return found if len(set(found)) > 1 else ()


def with_line(study: Study, ratio: float) -> Study:
    """The study with the volts of every supply times ``ratio``."""
    parts = {name: _scaled(part, ratio) for name, part in study.parts.items()}
    return study.model_copy(update={"parts": parts})


def _scaled(part: Part, ratio: float) -> Part:
    if isinstance(part, Supply):
        return part.model_copy(update={"volts": part.volts * ratio})
    return part


def can_data(study: Study) -> CanData | None:
    """Ratings of the watched start capacitor, if it is a part of its own."""
    name = watched(study.parts, study.watch).get("start_capacitor")
    part = study.parts[name] if name else None
    if not isinstance(part, StartCapacitor):
        return None
    elements, roles = build(study)
    esr = next(c.esr_ohms for c in elements.capacitives if c.name == roles.start_capacitor)
    return CanData(part.rated, part.life, part.rated_at, part.duty, esr)
