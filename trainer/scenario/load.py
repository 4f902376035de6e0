"""Finds a scenario by name or path and reads it. Knows files; must know no circuit."""

from __future__ import annotations

import re
from difflib import get_close_matches
from pathlib import Path

from trainer.base.errors import Faults, NotFoundError, TrainerError, quoted
from trainer.base.places import scenarios_dir
from trainer.base.yamlfile import Document, read_all, validated
from trainer.scenario.model import VERSION, Scenario
from trainer.scenario.upgrades import UPGRADES, upgraded

_BARE = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,60}")


def jobs_dir() -> Path:
    return scenarios_dir() / "jobs"


def scenario_names() -> list[str]:
    """Bare names of the scenarios that ship, by level and then by name."""
    found = [(_level(file), file.stem) for file in jobs_dir().glob("*.yaml")]
    return [name for _, name in sorted(found)]


def _level(file: Path) -> int:
    for line in file.read_text(encoding="utf-8").splitlines()[:12]:
        if line.startswith("level:") and line[6:].strip().isdigit():
            return int(line[6:])
    return 0


def find_scenario(path_or_name: str | Path) -> Path:
    """The file of a scenario: a path, or the bare name of one that ships."""
    text = str(path_or_name)
    if not _BARE.fullmatch(text):
        return Path(text)
    path = jobs_dir() / f"{text}.yaml"
    if path.is_file():
        return path
    near = get_close_matches(text, scenario_names(), n=3) or scenario_names()
    raise NotFoundError(
        f"there is no scenario called {quoted(text)}",
        hint=f"name one of {', '.join(near)}, or a file",
    )


def load_scenario(path_or_name: str | Path) -> Scenario:
    """The scenario, checked. Raises Faults with everything wrong in it, or NotFoundError."""
    return load_with_document(find_scenario(path_or_name))[0]


def load_with_document(path: Path) -> tuple[Scenario, Document]:
    """The scenario in its present form, and the document that knows its lines."""
    document = read_all(path)
    if isinstance(document.data, dict):
        try:
            document.data = upgraded(document.data, VERSION, UPGRADES)
        except TrainerError as error:
            raise Faults([document.fault(("scenario",), error.what, error.hint)]) from None
    return validated(document, Scenario, path.parent), document


def model_file(scenario: Scenario, path: Path) -> Path | None:
    """The file of acts a scenario names: in ``moves`` beside the scenario's folder, or shipped."""
    if not scenario.model:
        return None
    beside = path.resolve().parent.parent / "moves" / f"{scenario.model}.yaml"
    return beside if beside.is_file() else scenarios_dir() / "moves" / f"{scenario.model}.yaml"
