"""A small scenario to change in tests, and its variants. Invented."""

from __future__ import annotations

from typing import Any

from trainer.scenario.model import Scenario
from trainer.scenario.variants import Variant, variant

PLAIN: dict[str, Any] = {
    "scenario": 1,
    "title": "A job",
    "level": 3,
    "setting": "A yard",
    "briefing": "Do the job.",
    "layout": "larkspur-row",
    "hints": {"look": "Here.", "think": "So.", "do": "This."},
    "debrief": [{"say": "A word.", "source": "common practice, no source"}],
}


def scenario(**changed: Any) -> Scenario:
    return Scenario.model_validate({**PLAIN, **changed})


def dialled(seed: int = 0, **dials: Any) -> Variant:
    """A variant of the plain scenario with these dials."""
    return variant(scenario(variants={"dials": dials}), "job", seed)
