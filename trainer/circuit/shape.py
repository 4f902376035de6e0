"""Whether two circuits differ in numbers only, and where.

Knows elements; must know no analysis.
"""

from __future__ import annotations

from dataclasses import fields
from typing import Any

from trainer.circuit.elements import Elements

#: Every list of a circuit; branches stand in this order in ``network.branches_of``.
KINDS = ("resistors", "switches", "inductives", "capacitives", "machines", "sources", "devices")
#: Fields that are records of numbers.
_NUMBERS = ("params", "load")


#: Kind -> places of the elements that differ.
Changes = dict[str, list[int]]


def changes(old: Elements, new: Elements) -> Changes:
    """Where two circuits of the same shape differ."""
    found: Changes = {}
    for kind in KINDS:
        before, after = getattr(old, kind), getattr(new, kind)
        if before is not after:
            pairs = enumerate(zip(before, after, strict=True))
            found[kind] = [n for n, (a, b) in pairs if a is not b and a != b]
    return {kind: places for kind, places in found.items() if places}


def same_shape(old: Elements, new: Elements) -> bool:
    """Whether the two differ in numbers only: same nodes, elements, ends, senses and moves."""
    if old.nodes != new.nodes:
        return False
    pairs = [(getattr(old, kind), getattr(new, kind)) for kind in KINDS]
    return all(
        len(a) == len(b) and all(_alike(x, y) for x, y in zip(a, b, strict=True)) for a, b in pairs
    )


def _alike(a: Any, b: Any) -> bool:
    """Same kind of element with the same names, ends and switches; numbers may differ."""
    if a is b:
        return True
    if type(a) is not type(b):
        return False
    both = [(f.name, getattr(a, f.name), getattr(b, f.name)) for f in fields(a)]
    return all(
        x == y or name in _NUMBERS or (isinstance(x, float) and isinstance(y, float))
        for name, x, y in both
    )
