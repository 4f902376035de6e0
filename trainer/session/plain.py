"""A unit and what it remembers as plain data for events, and back.

Knows the records of a unit; must know no act.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from trainer.unit.conductor import Conductor
from trainer.unit.state import Placed, Unit, electrics_from_plain, electrics_to_plain


def unit_to_plain(unit: Unit) -> dict[str, Any]:
    return {
        "layout": unit.layout,
        "digest": unit.digest,
        "conductors": [c.model_dump(mode="json") for c in unit.conductors.values()],
        "parts": {name: p.model_dump(mode="json") for name, p in unit.parts.items()},
        "hands": dict(unit.hands),
        "covers_off": sorted(unit.covers_off),
        "wiped": sorted(unit.wiped),
        "electrics": electrics_to_plain(unit.electrics),
        "slow": {name: dict(state) for name, state in unit.slow.items()},
        "at_ms": unit.at_ms,
        "settled": unit.settled,
        "joins": [list(join) for join in unit.joins],
    }


def unit_from_plain(data: Mapping[str, Any]) -> Unit:
    conductors = [Conductor.model_validate(row) for row in data["conductors"]]
    return Unit(
        layout=data["layout"],
        digest=data["digest"],
        conductors={c.tag: c for c in conductors},
        parts={name: Placed.model_validate(row) for name, row in data["parts"].items()},
        hands=data["hands"],
        covers_off=frozenset(data["covers_off"]),
        wiped=frozenset(data["wiped"]),
        electrics=electrics_from_plain(data["electrics"]),
        slow=data["slow"],
        at_ms=data["at_ms"],
        settled=data["settled"],
        joins=tuple((a, b, float(ohms)) for a, b, ohms in data["joins"]),
    )
