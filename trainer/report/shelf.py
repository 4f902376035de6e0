"""The scenarios that can be offered as a next exercise, by level. Knows files of scenarios."""

from __future__ import annotations

from functools import cache

from trainer.base.errors import TrainerError
from trainer.base.yamlfile import read
from trainer.report.next_exercise import Offer
from trainer.scenario.load import jobs_dir, scenario_names


@cache
def offers() -> tuple[Offer, ...]:
    """Every scenario that ships: name, title and level; one that cannot be read is left out."""
    found = []
    for name in scenario_names():
        try:
            data = read(jobs_dir() / f"{name}.yaml").data
        except TrainerError:
            continue
        if isinstance(data, dict):
            found.append(Offer(name, str(data.get("title", name)), int(data.get("level", 0))))
    return tuple(found)
