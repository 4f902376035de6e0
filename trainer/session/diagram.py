"""The unit's own diagram in words: which terminals a conductor joins, as it left the factory.

Dirt hides every third line; an older revision has neither wire numbers nor colours. Knows the
layout; must know nothing of what was done to the unit since.
"""

from __future__ import annotations

from trainer.sheet.reading import HIDDEN
from trainer.unit.layout import Layout, LayoutWire


def diagram(layout: Layout, state: str) -> str:
    """What can be read of it, a conductor a line."""
    if state == "missing":
        return "There is no diagram on the door."
    older = state == "older"
    lines = [_line(wire, older) for wire in layout.wires]
    if state == "dirty":
        lines = [
            "(under dirt)" if n % HIDDEN == HIDDEN - 1 else line for n, line in enumerate(lines)
        ]
    heads = {
        "dirty": "The diagram on the door, partly under dirt:",
        "older": "The diagram on the door, of an older revision than the nameplate:",
    }
    return "\n".join([heads.get(state, "The diagram on the door:"), *lines])


def _line(wire: LayoutWire, older: bool) -> str:
    joined = f"{wire.begin} - {wire.end}"
    return joined if older else f"{joined}  wire {wire.tag}, {wire.colour}, {wire.gauge}"
