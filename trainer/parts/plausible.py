"""Refuses values that no unit on this bench can have, whatever key they stand under.

A typing slip such as 35 F for 35 uF, or a number near the end of what a computer can hold,
is named here instead of surfacing in a solver. Knows quantities; must know no part.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Annotated, Any, get_args, get_origin

from pydantic import model_validator
from pydantic.fields import FieldInfo

from trainer.base.errors import FieldFaults, Misfit
from trainer.base.fields import Quantity, Record
from trainer.base.units import show

#: Least and most of anything but zero, by the unit a field gives. Invented: wide enough for
#: every fault and every supply of a house or small shop, narrow enough for the solvers.
BOUNDS: dict[str, tuple[float, float]] = {
    "V": (1e-3, 50e3),
    "A": (1e-3, 50e3),
    "ohm": (1e-6, 1e12),
    "F": (1e-11, 0.1),
    "H": (1e-9, 1e4),
    "W": (1e-3, 50e6),
    "VA": (1e-2, 50e6),
    "s": (1e-6, 1e9),
    "Hz": (15.0, 500.0),
    "m": (1e-4, 50e3),
    "degC": (-100.0, 1000.0),
    "K": (1e-2, 1e4),
    "N.m": (1e-4, 1e3),
    "kg.m2": (1e-6, 10.0),
    "ratio": (1e-6, 1e3),
    "rad": (1e-9, 1e3),
    "A2s": (1e-6, 1e12),
    "Pa": (1.0, 1e8),
    "K/W": (1e-4, 1e6),
    "J/K": (1e-4, 1e6),
}


class Plausible(Record):
    """A record whose quantities, and those of the records in it, are within ``BOUNDS``."""

    @model_validator(mode="after")
    def _within_bounds(self) -> Plausible:
        beyond = list(_beyond(self, ()))
        if beyond:
            raise FieldFaults(beyond)
        return self


def _beyond(record: Record, path: tuple[str, ...]) -> Iterator[Misfit]:
    for name, (key, unit) in _fields(type(record)).items():
        value = getattr(record, name)
        if isinstance(value, Record):
            if not isinstance(value, Plausible):  # that one has looked at itself
                yield from _beyond(value, (*path, key))
        elif isinstance(value, float) and value != 0.0:
            yield from _misfit(value, unit, (*path, key))


@cache
def _fields(kind: type[Record]) -> dict[str, tuple[str, str]]:
    """Field -> its key in a file and its unit."""
    return {name: (i.alias or name, _unit(i)) for name, i in kind.model_fields.items()}


def _misfit(value: float, unit: str, path: tuple[str, ...]) -> Iterator[Misfit]:
    least, most = BOUNDS.get(unit, (0.0, float("inf")))
    size = value if unit == "degC" else abs(value)
    if not least <= size <= most:
        between = f"a value between {show(least, unit)} and {show(most, unit)}"
        yield Misfit(path, f"{show(value, unit)} is beyond anything on this bench", between)


def _unit(info: FieldInfo) -> str:
    """The unit of a field, also of one that may be empty; "" when it is no quantity."""
    return next((q.unit for q in _quantities(info.annotation, info.metadata)), "")


def _quantities(kind: Any, metadata: list[Any]) -> Iterator[Quantity]:
    yield from (item for item in metadata if isinstance(item, Quantity))
    if get_origin(kind) is Annotated:
        inner, *more = get_args(kind)
        yield from _quantities(inner, more)
    else:
        for member in get_args(kind):
            if member is not type(None):
                yield from _quantities(member, [])
