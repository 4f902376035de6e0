"""The JSON Schema of a record as a person writes it: quantities are text with a unit.

Leaves out what a schema cannot say, such as whether a name is there. Knows pydantic's schema;
must know no record in particular.
"""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel


def written(model: type[BaseModel]) -> dict[str, Any]:
    """The schema of a file of this model. Defaults that are numbers inside are left out."""
    found: dict[str, Any] = _tidied(model.model_json_schema(by_alias=True, mode="validation"))
    return found


def _tidied(node: Any) -> Any:
    if isinstance(node, list):
        return [_tidied(item) for item in node]
    if not isinstance(node, dict):
        return node
    kept = {k: _tidied(v) for k, v in node.items() if k != "title" or not isinstance(v, str)}
    if kept.get("type") == "string" and not isinstance(kept.get("default", ""), str):
        del kept["default"]
    return kept
