"""The catalogue of part types: what is printed, how large, which terminals, what it is inside.

Every type is invented; its electrical record is exactly a part of a study. Knows one file,
assets/catalogue.yaml, and the kinds of part; must know no layout and no conductor.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from difflib import get_close_matches
from functools import cache, lru_cache
from typing import Annotated, Any, Literal

from pydantic import Field, model_validator

from trainer.base.errors import FieldFaults, Misfit, TrainerError, quoted
from trainer.base.fields import NewtonMetres, Record
from trainer.base.places import assets_dir
from trainer.base.yamlfile import load
from trainer.parts import PARTS, Part
from trainer.parts.conductors import Gauge
from trainer.unit.conductor import part_of, terminal_of

PlaceKind = Literal["screw", "tab_250", "stud", "lug", "pigtail"]
Millimetres = Annotated[float, Field(ge=-2000.0, le=2000.0)]


class Place(Record):
    """One spot of a terminal that takes conductors. ``id`` "" is the terminal's first spot."""

    id: str = ""
    at: tuple[Millimetres, Millimetres] = (0.0, 0.0)
    kind: PlaceKind = "tab_250"
    holds: Annotated[int, Field(ge=1, le=12)] = 1
    #: Thinnest and thickest conductor.
    gauges: tuple[Gauge, Gauge] = ("18 AWG", "10 AWG")
    torque: tuple[NewtonMetres, NewtonMetres] | None = None


class Terminal(Record):
    marking: str
    places: Annotated[list[Place], Field(min_length=1, max_length=12)]

    def place(self, tab: str) -> Place | None:
        return next((p for p in self.places if p.id == tab), None)


class Type(Record):
    """A type of part. ``part`` None: only a place to join conductors; ``earth``: on the chassis."""

    printed: str
    size: tuple[Millimetres, Millimetres]
    part: dict[str, Any] | None = None
    earth: bool = False
    terminals: dict[str, Terminal]

    @model_validator(mode="after")
    def _terminals_fit(self) -> Type:
        if self.part is None:
            return self
        kind = PARTS.get(str(self.part.get("kind")))
        if kind is None:
            near = get_close_matches(str(self.part.get("kind")), list(PARTS), n=1)
            what = f"there is no kind of part {quoted(self.part.get('kind'))}"
            raise FieldFaults([Misfit(("part", "kind"), what, near[0] if near else "a kind")])
        has = kind.model_validate(self.part).terminals()
        odd = [t for t in self.terminals if t not in has] + [
            t for t in has if t not in self.terminals
        ]
        if odd:
            what = f"terminals {', '.join(odd)} do not match the part"
            raise FieldFaults([Misfit(("terminals",), what, ", ".join(has))])
        return self


class Catalogue(Record):
    """The file assets/catalogue.yaml."""

    catalogue: Literal[1]
    types: dict[str, Type]


@cache
def catalogue() -> Catalogue:
    return load(assets_dir() / "catalogue.yaml", Catalogue)


def type_of(name: str) -> Type:
    """A type by name. Raises TrainerError with the nearest names."""
    types = catalogue().types
    if name not in types:
        near = get_close_matches(name, list(types), n=3) or list(types)[:5]
        raise TrainerError(
            f"there is no type {quoted(name)}", "the catalogue", f"one of {', '.join(near)}"
        )
    return types[name]


def electrical(type_name: str, changed: Mapping[str, Any]) -> Part | None:
    """The part inside a type with some fields changed; None for a mere joining place."""
    return _electrical(type_name, json.dumps(changed, sort_keys=True))


@lru_cache(maxsize=1024)
def _electrical(type_name: str, changed: str) -> Part | None:
    spec = type_of(type_name).part
    if spec is None:
        return None
    return PARTS[spec["kind"]].model_validate({**spec, **json.loads(changed)})


def place_in(types: Mapping[str, str], place: str) -> Place | None:
    """The place called ``part.TERMINAL:tab``, given the type name of every part."""
    part, tab = part_of(place), place.partition(":")[2]
    if part not in types:
        return None
    terminal = type_of(types[part]).terminals.get(terminal_of(place)[len(part) + 1 :])
    return None if terminal is None else terminal.place(tab)


def turned(at: tuple[float, float], size: tuple[float, float], turn: int) -> tuple[float, float]:
    """A point of a part after a turn clockwise, from the corner of the turned part [mm]."""
    (x, y), (wide, high) = at, size
    return {0: (x, y), 90: (high - y, x), 180: (wide - x, high - y), 270: (y, wide - x)}[turn]
