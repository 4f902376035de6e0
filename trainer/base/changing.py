"""A frozen record with some fields changed, at the cost of a copy.

``dataclasses.replace`` calls the constructor, which for a record of thirty fields is most of what
it costs to keep a log. Knows plain frozen dataclasses only: no ``__post_init__``, no slots, no
value kept beside the fields.
"""

from __future__ import annotations

from typing import TypeVar

T = TypeVar("T")


def changed(record: T, **fields: object) -> T:
    """As ``dataclasses.replace``. Raises TypeError for a field it does not have."""
    had = vars(record)
    if not fields.keys() <= had.keys():
        raise TypeError(f"{type(record).__name__} has no {sorted(fields.keys() - had.keys())}")
    other = object.__new__(type(record))
    vars(other).update(had)
    vars(other).update(fields)
    return other
