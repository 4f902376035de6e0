"""Finds the way from a model's complaint to the place in the data it is about.

Walks a pydantic model along the location of an error: union tags are left out of the path a
person sees, and what may be written at the end (keys, example of a quantity) is looked up.
Knows models in general; must know none in particular and write no sentences.
"""

from __future__ import annotations

import types
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel, Discriminator, Tag
from pydantic.fields import FieldInfo

from trainer.base.fields import Quantity

Path = tuple[str | int, ...]


@dataclass(frozen=True)
class Place:
    """Where a walk stands: the path in the data, the type expected there, its metadata."""

    path: Path
    type: Any
    metadata: tuple[Any, ...] = ()

    @property
    def example(self) -> str:
        """A value that could stand here, when the type says so; empty otherwise."""
        for item in self.metadata:
            if isinstance(item, Quantity):
                return item.example
        if get_origin(self.type) is Literal:
            return " or ".join(str(choice) for choice in get_args(self.type))
        return ""

    @property
    def keys(self) -> list[str]:
        """The keys that a record here knows, by the names used in files."""
        if not _is_model(self.type):
            return []
        return [info.alias or name for name, info in self.type.model_fields.items()]

    @property
    def tags(self) -> list[str]:
        """The values of the telling key that a union here knows."""
        if not _is_union(self.type):
            return []
        key = _discriminator(self)
        members = (opened(Place(self.path, member)) for member in get_args(self.type))
        return [tag for member in members for tag in _tags(member, key)]


def walk(model: type[BaseModel], location: Sequence[str | int], data: Any) -> Place:
    """The place a model's error location means, union tags removed."""
    place = Place((), model)
    here = data
    for step in location:
        place = opened(place)
        chosen = _branch(place, step)
        if chosen is not None:
            place = chosen
            continue
        below = _down(place, step, here)
        if len(below.path) > len(place.path):
            here = _inside(here, step)
        place = below
    return opened(place)


def opened(place: Place) -> Place:
    """The place with ``Annotated``, aliases and ``Optional`` taken off its type."""
    kind: Any = place.type
    if hasattr(kind, "__value__"):
        return opened(replace(place, type=kind.__value__))
    if get_origin(kind) is Annotated:
        inner, *metadata = get_args(kind)
        return opened(replace(place, type=inner, metadata=(*place.metadata, *metadata)))
    if _is_union(kind):
        members = [member for member in get_args(kind) if member is not types.NoneType]
        if len(members) == 1:
            return opened(replace(place, type=members[0]))
    return place


def _discriminator(place: Place) -> str:
    """The key that tells the members of a union apart; empty when none does."""
    for item in place.metadata:
        name = getattr(item, "discriminator", None)
        if isinstance(name, Discriminator):
            name = name.discriminator
        if isinstance(name, str):
            return name
    return ""


def _branch(place: Place, step: str | int) -> Place | None:
    """The member of a union that ``step`` names; None when the step is not such a name."""
    if not _is_union(place.type):
        return None
    for member in get_args(place.type):
        inner = opened(Place(place.path, member))
        named = getattr(inner.type, "__name__", str(inner.type))
        if str(step) in [*_tags(inner, _discriminator(place)), named]:
            return inner
    return Place(place.path, Any)


def _tags(member: Place, key: str) -> list[str]:
    """The words that choose this member of a union."""
    tags = [item.tag for item in member.metadata if isinstance(item, Tag)]
    if not tags and _is_model(member.type) and (info := _field(member.type, key)) is not None:
        tags = [str(value) for value in get_args(info.annotation)]
    return tags


def _down(place: Place, step: str | int, here: Any) -> Place:
    """One step into a record, mapping or list; a step that is not in the data is left out."""
    kind, arguments = place.type, get_args(place.type)
    if _is_model(kind) and (info := _field(kind, step)) is not None:
        return Place((*place.path, step), info.annotation, tuple(_with_tag(info)))
    origin = get_origin(kind)
    held = isinstance(here, dict) and step in here
    if held and isinstance(origin, type) and issubclass(origin, Mapping) and arguments:
        return Place((*place.path, step), arguments[1])
    if isinstance(step, int) and isinstance(here, list):
        inner = arguments[min(step, len(arguments) - 1)] if arguments else Any
        inner = arguments[0] if inner is Ellipsis else inner
        return Place((*place.path, step), inner)
    return Place((*place.path, step), Any) if held else place


def _with_tag(info: FieldInfo) -> Iterator[Any]:
    """The metadata of a field; the field itself carries the discriminator of its union."""
    yield from info.metadata
    if info.discriminator is not None:
        yield info


def _inside(data: Any, step: str | int) -> Any:
    if isinstance(data, dict):
        return data.get(step)
    if isinstance(data, list) and isinstance(step, int) and 0 <= step < len(data):
        return data[step]
    return None


def _field(model: Any, key: str | int) -> FieldInfo | None:
    for name, info in model.model_fields.items():
        if key in (info.alias, name):
            found: FieldInfo = info
            return found
    return None


def _is_model(kind: Any) -> bool:
    return isinstance(kind, type) and issubclass(kind, BaseModel)


def _is_union(kind: Any) -> bool:
    return get_origin(kind) in (Union, types.UnionType)
