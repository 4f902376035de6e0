"""Scenarios and jobs read once while their files do not change: a class is marked in one go.

Knows files; must know no event.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

from trainer.assess.job import Job, job_of
from trainer.base.places import data_dir
from trainer.scenario.keeping import stem_of
from trainer.scenario.load import find_scenario, load_scenario
from trainer.scenario.model import Scenario
from trainer.unit.layout import layouts_dir
from trainer.unit.own_layout import is_own

#: Folder beside a learner's attempt with the job it was assigned, once that may be seen.
KEPT = "job"


def named_in(path: Path, header: Mapping[str, Any]) -> str:
    """The name that loads the scenario of an attempt, or the path of its kept copy.

    An assignment's job is kept beside the attempt once its marks were shown, in the learner's own
    book only: a folder that came with a file handed in is not looked into.
    """
    name, digest = str(header.get("scenario")), str(header.get("digest"))
    kept = path.parent / KEPT / digest[:16] / "jobs" / f"{stem_of(name)}.yaml"
    book = data_dir() / "assignments"
    if header.get("assignment") and path.resolve().is_relative_to(book.resolve()):
        return str(kept) if kept.is_file() else name
    return name


def scenario_of(name: str) -> Scenario:
    """The scenario that an attempt names. Raises Faults or NotFoundError."""
    return _scenario(name, _edition(name))


def job_for(name: str, seed: int) -> Job:
    """The job of a scenario and a seed. Raises TrainerError."""
    return _job(name, seed, _edition(name))


def _edition(name: str) -> tuple[int, ...]:
    """When the files last changed that a scenario is read from: its own and its layout's."""
    path = find_scenario(name)
    layout = _scenario(name, (_changed(path),)).layout
    laid = path.parent / layout if is_own(layout) else layouts_dir() / f"{layout}.yaml"
    return _changed(path), _changed(laid)


def _changed(path: Path) -> int:
    return path.stat().st_mtime_ns if path.is_file() else 0


@lru_cache(maxsize=64)
def _scenario(name: str, edition: tuple[int, ...]) -> Scenario:
    return load_scenario(name)


@lru_cache(maxsize=256)
def _job(name: str, seed: int, edition: tuple[int, ...]) -> Job:
    return job_of(_scenario(name, edition), Path(name).stem, seed)
