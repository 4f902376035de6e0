"""Rows of the wiring as built beside the wiring as wanted.

Tags differ when somebody cut wires of his own: a wire that joins what another wire should is
told as standing in for it. Knows rows of a comparison; compares no nets.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

NOWHERE = "not there"


@dataclass(frozen=True)
class Joint:
    """One wire: ``status`` is "same", "stands in" or "differs"."""

    wire: str
    colour: str
    built: str
    wanted: str
    status: str


def joints(rows: Iterable[Mapping[str, Any]]) -> list[Joint]:
    """Every wire once, those that differ first."""
    found = list(rows)
    lost = [r for r in found if not r["from"]]
    own = [r for r in found if r["from"] and not r["wanted_from"]]
    taken: set[int] = set()
    made = []
    for row in own:
        match = next((w for w in lost if id(w) not in taken and _ends(row) == _wanted(w)), None)
        if match is not None:
            taken |= {id(match), id(row)}
            name = f"{row['wire']} for {match['wire']}"
            made.append(Joint(name, _colour(row), _built(row), _asked(match), "stands in"))
    for row in found:
        if id(row) not in taken:
            status = "same" if row["same"] else "differs"
            made.append(Joint(str(row["wire"]), _colour(row), _built(row), _asked(row), status))
    order = {"differs": 0, "stands in": 1, "same": 2}
    return sorted(made, key=lambda j: order[j.status])


def _colour(row: Mapping[str, Any]) -> str:
    return str(row.get("colour", ""))


def _ends(row: Mapping[str, Any]) -> set[str]:
    return {row["from"], row["to"]}


def _wanted(row: Mapping[str, Any]) -> set[str]:
    return {row["wanted_from"], row["wanted_to"]}


def _built(row: Mapping[str, Any]) -> str:
    return f"{row['from']} to {row['to'] or 'nothing'}" if row["from"] else NOWHERE


def _asked(row: Mapping[str, Any]) -> str:
    if not row["wanted_from"]:
        return "not wanted"
    return f"{row['wanted_from']} to {row['wanted_to'] or 'nothing'}"
