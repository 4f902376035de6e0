"""The drawings of parts: which file stands for a type and where on it its terminals are.

Knows assets/parts.yaml, the names of the files beside it, and pixels of the drawing at 100 %.
Must know no catalogue, no window and nothing of how a file becomes a picture.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, model_validator

from trainer.base.errors import FieldFaults, Misfit, NotFoundError, quoted
from trainer.base.fields import Record
from trainer.base.places import assets_dir
from trainer.base.yamlfile import load

Pixels = Annotated[float, Field(ge=0.0, le=2000.0)]
Shift = Annotated[float, Field(ge=-2000.0, le=2000.0)]
#: A spot on the drawing, from its upper left corner.
Spot = tuple[Pixels, Pixels]
Side = Literal["up", "down", "left", "right"]
#: The name of a file without its ending.
FileName = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9-]{0,60}$")]


class Drawn(Record):
    """A terminal on its drawing. ``at`` is its first place, ``more`` are the others by id."""

    at: Spot
    more: dict[str, Spot] = {}
    #: The side to which a conductor leaves.
    out: Side
    #: Where the middle of its marking is set.
    mark: Spot

    @property
    def places(self) -> dict[str, Spot]:
        """Every place by id; "" is the first, as in the catalogue."""
        return {"": self.at, **self.more}


class Moving(Record):
    """An overlay: its file, where its corner is while open, how far it shifts when closed."""

    svg: FileName
    at: Spot
    by: tuple[Shift, Shift]

    def corner(self, closed: bool) -> tuple[float, float]:
        if not closed:
            return self.at
        return self.at[0] + self.by[0], self.at[1] + self.by[1]


class Art(Record):
    """One drawing and what the program must know of it. ``name`` is its key in the file."""

    name: str = ""
    types: Annotated[list[str], Field(min_length=1)]
    size: tuple[Annotated[int, Field(ge=20, le=600)], Annotated[int, Field(ge=20, le=600)]]
    called: Annotated[str, Field(min_length=1, max_length=40)]
    face: Literal["dark", "light"]
    #: Centre and width of what is printed.
    printed: tuple[Pixels, Pixels, Pixels] | None = None
    #: The same for a part turned by a quarter, the centre as on the drawing; left out where
    #: nothing has room then, and its print is told beside its name.
    upright: tuple[Pixels, Pixels, Pixels] | None = None
    terminals: dict[str, Drawn] = {}
    moving: list[Moving] = []
    hasp: Spot | None = None

    @model_validator(mode="after")
    def _spots_inside(self) -> Art:
        wide, high = self.size
        out = [
            Misfit(path, f"{x:g}, {y:g} is outside the drawing", f"at most {wide}, {high}")
            for path, (x, y) in self._spots()
            if x > wide or y > high
        ]
        if out:
            raise FieldFaults(out)
        return self

    def _spots(self) -> list[tuple[tuple[str | int, ...], Spot]]:
        found: list[tuple[tuple[str | int, ...], Spot]] = []
        for name, terminal in self.terminals.items():
            found += [(("terminals", name, "at"), terminal.at)]
            found += [(("terminals", name, "more", i), at) for i, at in terminal.more.items()]
            found += [(("terminals", name, "mark"), terminal.mark)]
        if self.printed:
            found.append((("printed",), self.printed[:2]))
        if self.upright:
            found.append((("upright",), self.upright[:2]))
        if self.hasp:
            found.append((("hasp",), self.hasp))
        return found

    def stands_for(self, type_name: str) -> int:
        """How well: 0 not at all, else more for a longer match; a whole name beats a beginning."""
        best = 0
        for pattern in self.types:
            stem = pattern.removesuffix("*")
            if pattern == type_name:
                best = max(best, 1000)
            elif stem != pattern and type_name.startswith(stem):
                best = max(best, 1 + len(stem))
        return best


class Drawings(Record):
    """The file assets/parts.yaml."""

    drawings: Literal[1]
    arts: dict[FileName, Art]


@cache
def drawings() -> dict[str, Art]:
    """Every art by name."""
    arts = load(assets_dir() / "parts.yaml", Drawings).arts
    return {name: art.model_copy(update={"name": name}) for name, art in arts.items()}


@cache
def art_of(type_name: str) -> Art:
    """The art of a type of part. Raises NotFoundError when no drawing stands for it."""
    best = max(drawings().values(), key=lambda art: art.stands_for(type_name))
    if not best.stands_for(type_name):
        raise NotFoundError(
            f"no drawing stands for the type {quoted(type_name)}",
            "parts.yaml",
            "add the type to an entry with the same terminals, or an entry and a drawing",
        )
    return best


@cache
def size_of_file(name: str) -> tuple[float, float]:
    """Width and height of a drawing of parts, as its file says."""
    head = part_file(name).read_text(encoding="utf-8")[:2000]
    wide, high = (re.search(rf'<svg[^>]*\b{k}="([0-9.]+)', head) for k in ("width", "height"))
    return (float(wide[1]), float(high[1])) if wide and high else (40.0, 30.0)


def part_file(name: str) -> Path:
    """The drawing or overlay of that name. Raises NotFoundError with where it was sought."""
    return _file("parts", name)


def icon_file(name: str) -> Path:
    """The icon of that name: 24 by 24, white strokes that the program tints."""
    return _file("icons", name)


def _file(folder: str, name: str) -> Path:
    path = assets_dir() / folder / f"{name}.svg"
    if not path.is_file():
        raise NotFoundError(
            f"there is no drawing {quoted(name)}", f"{folder}/{name}.svg", "put the file there"
        )
    return path
