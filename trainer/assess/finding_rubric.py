"""Finds the rubric a scenario names and reads it, with what it takes from another.

Knows files; must know no attempt.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Any

from trainer.assess.rubric import Rubric
from trainer.base.errors import NotFoundError, TrainerError, quoted
from trainer.base.places import scenarios_dir
from trainer.base.yamlfile import Document, read_all, validated
from trainer.scenario.load import find_scenario
from trainer.scenario.model import Scenario

#: Rubrics that may stand one upon another.
DEEPEST = 4


def rubrics_dir() -> Path:
    return scenarios_dir() / "rubrics"


def rubric_names() -> list[str]:
    return sorted(file.stem for file in rubrics_dir().glob("*.yaml"))


def rubric_for(scenario: Scenario, name: str, given: Path | None = None) -> Rubric:
    """The rubric of a scenario, or the one given. Raises Faults or NotFoundError."""
    if given is not None:
        return load_rubric(_named(given))
    beside = find_scenario(name).resolve().parent.parent / "rubrics" / f"{scenario.rubric}.yaml"
    return load_rubric(beside if beside.is_file() else rubrics_dir() / f"{scenario.rubric}.yaml")


def _named(given: Path) -> Path:
    """A path, or the bare name of one that ships."""
    bare = not given.suffix and len(given.parts) == 1
    return rubrics_dir() / f"{given}.yaml" if bare and not given.is_file() else given


def load_rubric(path: Path) -> Rubric:
    """A rubric whole. Raises Faults with everything wrong, NotFoundError."""
    if not path.is_file():
        known = ", ".join(rubric_names())
        raise NotFoundError(f"there is no rubric {quoted(path.name)}", str(path), f"one of {known}")
    stat = path.stat()
    return _loaded(path, stat.st_mtime_ns, stat.st_size)


@lru_cache(maxsize=64)
def _loaded(path: Path, changed: int, size: int) -> Rubric:
    return validated(whole(path), Rubric)


def whole(path: Path, depth: int = 0) -> Document:
    """The document with what it takes over filled in."""
    document = read_all(path)
    if not isinstance(document.data, dict) or "extends" not in document.data:
        return document
    base = document.data.pop("extends")
    if depth >= DEEPEST:
        raise TrainerError("rubrics stand too deep upon one another", str(path), "extend another")
    named = str(base)
    if not named.replace("-", "").isalnum():
        raise TrainerError(f"{quoted(base)} is no name of a rubric", str(path), "a bare name")
    beside = path.parent / f"{named}.yaml"
    under = whole(beside if beside.is_file() else rubrics_dir() / f"{named}.yaml", depth + 1)
    document.data = _laid_over(under.data, document.data)
    return document


def _laid_over(under: Any, over: Any) -> Any:
    """Tables are joined key by key, everything else is replaced; null takes a key away."""
    if not (isinstance(under, dict) and isinstance(over, dict)):
        return over
    joined = {**under, **{k: _laid_over(under.get(k), v) for k, v in over.items()}}
    return {key: value for key, value in joined.items() if value is not None}
