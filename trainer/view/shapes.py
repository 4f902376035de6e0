"""What a screen is made of: plain shapes to paint, and nodes that can be pointed at and focused.

Units are logical pixels, x to the right and y downwards; the painter multiplies by the scale.
Colours are names of a theme or ``#rrggbb``. Knows geometry; must know no part, state or toolkit.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal, NamedTuple

Point = tuple[float, float]
Align = Literal["left", "middle", "right"]
#: The four sizes of type, in logical pixels.
Size = Literal["title", "heading", "body", "tag"]
#: What a click or a key asks for: a name and its arguments.
Message = tuple[Any, ...]


class Rect(NamedTuple):
    x: float
    y: float
    w: float
    h: float

    @property
    def right(self) -> float:
        return self.x + self.w

    @property
    def bottom(self) -> float:
        return self.y + self.h

    @property
    def centre(self) -> Point:
        return self.x + self.w / 2.0, self.y + self.h / 2.0

    def has(self, at: Point) -> bool:
        return self.x <= at[0] < self.right and self.y <= at[1] < self.bottom

    def inset(self, by: float, down: float | None = None) -> Rect:
        dy = by if down is None else down
        return Rect(self.x + by, self.y + dy, self.w - 2 * by, self.h - 2 * dy)

    def moved(self, dx: float, dy: float) -> Rect:
        return Rect(self.x + dx, self.y + dy, self.w, self.h)

    def meets(self, other: Rect) -> bool:
        return (
            self.x < other.right - 0.01 and other.x < self.right - 0.01
            and self.y < other.bottom - 0.01 and other.y < self.bottom - 0.01
        )  # fmt: skip

    def within(self, other: Rect, slack: float = 0.5) -> bool:
        return (
            self.x >= other.x - slack and self.y >= other.y - slack
            and self.right <= other.right + slack and self.bottom <= other.bottom + slack
        )  # fmt: skip

    def cut(self, other: Rect) -> Rect:
        """What both share; of no width or height when they share nothing."""
        x, y = max(self.x, other.x), max(self.y, other.y)
        right, bottom = min(self.right, other.right), min(self.bottom, other.bottom)
        return Rect(x, y, max(right - x, 0.0), max(bottom - y, 0.0))


@dataclass(frozen=True)
class Box:
    rect: Rect
    fill: str = ""
    edge: str = ""
    width: float = 1.0
    radius: float = 0.0


@dataclass(frozen=True)
class Ring:
    at: Point
    radius: float
    fill: str = ""
    edge: str = ""
    width: float = 1.0


@dataclass(frozen=True)
class Line:
    """A run of straight pieces with round joints; ``round_by`` softens its corners."""

    points: tuple[Point, ...]
    colour: str
    width: float = 1.0
    round_by: float = 0.0
    dashed: bool = False


@dataclass(frozen=True)
class Area:
    points: tuple[Point, ...]
    fill: str


@dataclass(frozen=True)
class Words:
    """One line of text; ``at`` is the left, middle or right of its vertical centre.

    ``room`` is how wide it may be: a test sees to it that it is not wider. ``on`` is the colour it
    stands on, for contrast.
    """

    at: Point
    text: str
    size: Size = "body"
    bold: bool = False
    colour: str = "ink"
    align: Align = "left"
    room: float = 0.0
    on: str = "paper"
    #: A size of its own, in a drawing that is enlarged as a whole.
    exact: float = 0.0


@dataclass(frozen=True)
class Picture:
    """A drawing of the assets folder at a rectangle, tinted if ``tint`` is a colour."""

    name: str
    rect: Rect
    tint: str = ""
    turn: int = 0


@dataclass(frozen=True)
class Veil:
    """Everything painted before it is dimmed within ``rect`` to a share of its light."""

    rect: Rect
    light: float = 0.55


@dataclass(frozen=True)
class Layer:
    """Shapes that seldom change, painted once on a surface of their own and kept under ``key``.

    ``rect`` is where the surface lies; the shapes are in its own units from its corner, enlarged
    by ``zoom``. ``clip`` is what of it may be seen.
    """

    key: Any
    rect: Rect
    shapes: tuple[Shape, ...] = field(default=(), compare=False)
    zoom: float = 1.0
    clip: Rect | None = None


@dataclass(frozen=True)
class Clip:
    """Everything in ``shapes`` is cut off outside ``rect``."""

    rect: Rect
    shapes: tuple[Shape, ...]


Shape = Box | Ring | Line | Area | Words | Picture | Veil | Layer | Clip


@dataclass(frozen=True)
class Node:
    """Something with a name and a place: what a pointer hits, focus visits and a reader reads.

    ``grab`` acts when it is pressed, so that it can be dragged; ``accept`` takes what is dropped.
    ``clip`` is the part of the window through which it is seen.
    """

    name: str
    role: str
    rect: Rect
    label: str
    on: Message = ()
    focus: bool = True
    enabled: bool = True
    chosen: bool = False
    #: The one that stands out on its screen: where keys begin.
    main: bool = False
    grab: bool = False
    accept: bool = False
    value: str = ""
    clip: Rect | None = None
    #: Messages for keys while it has focus: key name -> message.
    keys: dict[str, Message] = field(default_factory=dict)

    @property
    def seen(self) -> Rect:
        return self.rect if self.clip is None else self.rect.cut(self.clip)


@dataclass(frozen=True)
class Frame:
    """One picture of the window and everything in it that answers."""

    size: Point
    shapes: tuple[Shape, ...]
    nodes: tuple[Node, ...]
    ground: str = "bench"
    #: Where keys were on the board when they left it.
    spot: str = ""

    def node(self, name: str) -> Node | None:
        return next((n for n in self.nodes if n.name == name), None)

    def at(self, point: Point) -> Node | None:
        """The topmost node under a point."""
        return next((n for n in reversed(self.nodes) if n.seen.has(point) and n.on), None)


def every(shapes: Iterable[Shape]) -> Iterable[Shape]:
    """All shapes, also those within clips and layers (in the units of their layer)."""
    for shape in shapes:
        yield shape
        if isinstance(shape, Clip | Layer):
            yield from every(shape.shapes)


def bounds(points: Sequence[Point]) -> Rect:
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return Rect(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))
