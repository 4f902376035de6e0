"""Older forms of the scenario file brought to the present one, a version at a time.

A change of the form is a new number and one function here, so that a file never has to be
edited because the program is newer. Knows plain data only.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from trainer.base.errors import TrainerError, quoted

Upgrade = Callable[[dict[str, Any]], dict[str, Any]]

#: From version n to n + 1. The first form is still the present one.
UPGRADES: Mapping[int, Upgrade] = {}


def upgraded(data: dict[str, Any], present: int, upgrades: Mapping[int, Upgrade]) -> dict[str, Any]:
    """The data in the present form. Raises TrainerError for a form that is not known."""
    version = data.get("scenario")
    if not isinstance(version, int) or isinstance(version, bool):
        return data
    if version > present:
        hint = f"{present}, or use a newer program"
        raise TrainerError(f"form {quoted(version)} of a scenario is newer than this", hint=hint)
    while version < present:
        if version not in upgrades:
            raise TrainerError(f"form {quoted(version)} of a scenario is not known", hint="1")
        data = {**upgrades[version](data), "scenario": version + 1}
        version += 1
    return data
