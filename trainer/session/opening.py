"""From a name to a unit at rest and the header of its attempt. Knows layouts; no mark."""

from __future__ import annotations

from difflib import get_close_matches
from typing import Any

from trainer.base.errors import NotFoundError, quoted
from trainer.unit.layout import layout_names, load_layout
from trainer.unit.state import Unit
from trainer.unit.world import at_rest


def opening(name: str, seed: int) -> tuple[Unit, dict[str, Any]]:
    """The unit of a shipped layout. Raises NotFoundError with the nearest name."""
    names = layout_names()
    if name not in names:
        near = get_close_matches(name, names, n=1)
        hint = f"did you mean {near[0]}" if near else f"one of {', '.join(names)}"
        raise NotFoundError(f"there is no bench named {quoted(name)}", hint=hint)
    layout = load_layout(name)
    return at_rest(layout, name), {"scenario": name, "digest": layout.digest, "seed": seed}
