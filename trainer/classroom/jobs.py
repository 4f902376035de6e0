"""The job of a stored scenario, and the rubric as stored: what an assignment was made with.

Read from the store, never from a file that an attempt names; an instructor's own layout is laid
into a private folder of this process. Knows rows of scenarios and rubrics; must know no learner.
"""

from __future__ import annotations

import tempfile
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

from pydantic import ValidationError
from sqlalchemy import Connection, select

from trainer.assess.job import Job, job_of
from trainer.assess.rubric import Rubric
from trainer.base.errors import NotFoundError, TrainerError, quoted
from trainer.scenario.keeping import lay_down, stem_of
from trainer.scenario.load import load_with_document
from trainer.scenario.model import Scenario
from trainer.store.tables import rubric as rubrics
from trainer.store.tables import scenario as scenarios


class Stored(NamedTuple):
    """A scenario as the store keeps it: its bare name, digest, and the text of its files."""

    name: str
    digest: str
    body: str
    layout_body: str


def stored_scenario(connection: Connection, scenario_id: str) -> Stored:
    """Raises NotFoundError."""
    t = scenarios.c
    row = connection.execute(
        select(t.name, t.digest, t.body, t.layout_body).where(t.id == scenario_id)
    ).first()
    if row is None:
        raise NotFoundError("there is no such scenario in the class", quoted(scenario_id))
    return Stored(*row)


def stored_rubric(connection: Connection, rubric_id: str) -> Rubric:
    """Raises NotFoundError, or TrainerError for one that this version cannot read."""
    found = connection.execute(select(rubrics.c.body).where(rubrics.c.id == rubric_id)).first()
    if found is None:
        raise NotFoundError("there is no such rubric in the class", quoted(rubric_id))
    return rubric_from(found[0])


def rubric_from(body: object) -> Rubric:
    try:
        return Rubric.model_validate(body)
    except ValidationError as error:
        what = f"the stored rubric is not one this version reads: {error.errors()[0]['msg']}"
        raise TrainerError(what, "table rubric", "mark with --rubric FILE") from None


def job_in(stored: Stored, seed: int) -> Job:
    """The job of a seed. Raises TrainerError for another edition than was stored."""
    return _job(stored, seed)


def scenario_in(stored: Stored) -> Scenario:
    """Raises TrainerError for another edition than was stored."""
    return _read(stored)[0]


@lru_cache(maxsize=256)
def _job(stored: Stored, seed: int) -> Job:
    return job_of(_read(stored)[0], stem_of(stored.name), seed)


@lru_cache(maxsize=64)
def _read(stored: Stored) -> tuple[Scenario, tempfile.TemporaryDirectory[str]]:
    """The scenario with the folder its own layout lies in, kept as long as the scenario is."""
    folder = tempfile.TemporaryDirectory(prefix="condenser-bench-")
    path = lay_down(Path(folder.name), stored.name, stored.body, stored.layout_body)
    scenario = load_with_document(path)[0]
    if scenario.digest != stored.digest:
        what = f"the scenario {quoted(stored.name)} reads otherwise in this version"
        raise TrainerError(what, "table scenario", "keep the version that made the assignment")
    return scenario, folder
