"""Plain shapes of a drawing: lines, rings, boxes, words, and symbols with named anchors.

Units are sheet points, x to the right and y downwards. A window, a picture and a page paint the
same shapes. Knows geometry; must know no part and no drawing library.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

Point = tuple[float, float]
#: What an ink is for; whoever paints chooses the colour. ``dirt`` is laid over what is hidden.
Ink = Literal["ink", "quiet", "rule", "face", "dirt"]
Align = Literal["left", "middle", "right"]
#: Width of a letter over its height, on the safe side for a plain face.
LETTER = 0.56


@dataclass(frozen=True)
class Line:
    points: tuple[Point, ...]
    width: float = 1.4
    ink: Ink = "ink"
    dashed: bool = False
    #: Colour letters of the conductor it stands for, or "".
    colour: str = ""


@dataclass(frozen=True)
class Ring:
    at: Point
    radius: float
    filled: bool = False
    ink: Ink = "ink"


@dataclass(frozen=True)
class Box:
    corner: Point
    size: Point
    ink: Ink = "ink"
    fill: Ink | None = None


@dataclass(frozen=True)
class Words:
    at: Point
    text: str
    size: float = 9.0
    align: Align = "middle"
    ink: Ink = "ink"
    bold: bool = False
    #: What they stand for: ``wire:TAG``, ``terminal:PART.TERMINAL`` or "".
    of: str = ""

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Left, top, right, bottom; the words stand centred on their height."""
        wide = LETTER * self.size * len(self.text)
        left = self.at[0] - {"left": 0.0, "middle": wide / 2.0, "right": wide}[self.align]
        return left, self.at[1] - self.size * 0.6, left + wide, self.at[1] + self.size * 0.6


Shape = Line | Ring | Box | Words


@dataclass(frozen=True)
class Symbol:
    """A symbol set in a drawing; ``anchors`` are where its conductors meet it."""

    name: str
    at: Point
    shapes: tuple[Shape, ...]
    anchors: Mapping[str, Point]


@dataclass(frozen=True)
class Drawing:
    title: str
    size: Point = (0.0, 0.0)
    shapes: tuple[Shape, ...] = ()
    symbols: tuple[Symbol, ...] = field(default=())

    def everything(self) -> Iterable[Shape]:
        """Every shape in the order in which it is to be painted."""
        yield from self.shapes
        for symbol in self.symbols:
            yield from symbol.shapes


def moved(shape: Shape, by: Point) -> Shape:
    """The same shape elsewhere."""
    dx, dy = by
    match shape:
        case Line():
            return replace(shape, points=tuple((x + dx, y + dy) for x, y in shape.points))
        case Box():
            return replace(shape, corner=(shape.corner[0] + dx, shape.corner[1] + dy))
        case Ring() | Words():
            return replace(shape, at=(shape.at[0] + dx, shape.at[1] + dy))
