"""A built circuit in which single parts have been given other values.

Only the parts that changed write themselves down again, beside the rest of the circuit; so a
value means here what it means to its part, and nothing else is built. Knows parts as a protocol
and elements; must know no analysis and no value by name.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from trainer.circuit.elements import Elements
from trainer.circuit.shape import KINDS, same_shape
from trainer.study.build import build
from trainer.study.model import Study


def rewritten(elements: Elements, old: Study, new: Study) -> Elements:
    """The elements of ``new``, which has the parts of ``old`` with other values.

    ``elements`` are those of ``old``. Built as a whole where more than numbers has changed.
    """
    changed = [name for name, part in new.parts.items() if part is not old.parts[name]]
    found: Elements | None = elements
    for name in changed:
        found = None if found is None else _with_part(found, name, new)
    return build(new)[0] if found is None else found


def _with_part(elements: Elements, name: str, study: Study) -> Elements | None:
    """One part written again; None when it is no longer made of the same elements."""
    places = {kind: _own(elements, kind, name) for kind in KINDS}
    scratch = Elements(
        nodes=list(elements.nodes),
        # a branch refers to its source by number
        sources=elements.sources[: places["sources"][0]] if places["sources"] else [],
        _index=dict(elements._index),
    )
    before = len(scratch.sources)
    study.parts[name].write(name, scratch)
    lists: dict[str, Any] = {}
    for kind, at in places.items():
        written = getattr(scratch, kind)[before if kind == "sources" else 0 :]
        if len(written) != len(at):
            return None
        if at:
            lists[kind] = _placed(getattr(elements, kind), at, written)
    made = replace(elements, nodes=scratch.nodes, **lists)
    return made if same_shape(elements, made) else None


def _own(elements: Elements, kind: str, name: str) -> list[int]:
    """Places of a part's elements: those called like it, or ``part~what``."""
    inside = f"{name}~"
    return [
        n
        for n, item in enumerate(getattr(elements, kind))
        if item.name == name or item.name.startswith(inside)
    ]


def _placed(items: list[Any], places: list[int], written: list[Any]) -> list[Any]:
    """The list with what was written in its places; an equal element stays the same object."""
    out = list(items)
    for n, item in zip(places, written, strict=True):
        if out[n] != item:
            out[n] = item
    return out
