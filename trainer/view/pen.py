"""Collects the shapes and nodes of one frame. Knows the kit's geometry; must know no state but the
focus and what the pointer is over.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from trainer.view import fonts
from trainer.view.shapes import (
    Align,
    Box,
    Clip,
    Frame,
    Line,
    Message,
    Node,
    Picture,
    Point,
    Rect,
    Ring,
    Shape,
    Size,
    Words,
)

#: Drawn blocks by key, the oldest first.
_KEPT: dict[Hashable, tuple[tuple[Shape, ...], tuple[Node, ...]]] = {}
KEPT_MOST = 400


@dataclass
class Pen:
    """``focus`` and ``hover`` are names of nodes; ``scrolls`` how far each region is scrolled."""

    size: Point
    focus: str = ""
    hover: str = ""
    scrolls: dict[str, float] = field(default_factory=dict)
    texts: dict[str, str] = field(default_factory=dict)
    shapes: list[Shape] = field(default_factory=list)
    nodes: list[Node] = field(default_factory=list)
    #: What everything now drawn stands on, for contrast.
    on: str = "bench"
    _stack: list[tuple[list[Shape], Rect]] = field(default_factory=list)

    @property
    def whole(self) -> Rect:
        return Rect(0.0, 0.0, *self.size)

    @property
    def clip(self) -> Rect | None:
        return self._stack[-1][1] if self._stack else None

    def add(self, shape: Shape) -> None:
        self.shapes.append(shape)

    def extend(self, shapes: Iterable[Shape]) -> None:
        self.shapes.extend(shapes)

    def box(
        self, rect: Rect, fill: str = "", edge: str = "", width: float = 1.0, radius: float = 0.0
    ) -> None:
        self.add(Box(rect, fill, edge, width, radius))

    def ring(
        self, at: Point, radius: float, fill: str = "", edge: str = "", width: float = 1.0
    ) -> None:
        self.add(Ring(at, radius, fill, edge, width))

    def line(
        self, points: Iterable[Point], colour: str = "rule", width: float = 1.0,
        round_by: float = 0.0, dashed: bool = False,
    ) -> None:  # fmt: skip
        self.add(Line(tuple(points), colour, width, round_by, dashed))

    def halos(self, middles: Iterable[Point], radius: float, colour: str) -> None:
        """Rings seen on a light part and on a dark one: each in a rim of the sheet's colour."""
        at = tuple(middles)
        for middle in at:
            self.ring(middle, radius + 1.75, "", "sheet", 6.5)
        for middle in at:
            self.ring(middle, radius, "", colour, 3.0)

    def words(
        self, at: Point, text: str, size: Size = "body", bold: bool = False, colour: str = "ink",
        align: Align = "left", room: float = 0.0,
    ) -> float:  # fmt: skip
        """One line, shortened to ``room``; returns its width."""
        shown = fonts.shorten(text, room, size, bold) if room else text
        self.add(Words(at, shown, size, bold, colour, align, room, self.on))
        return fonts.width(shown, size, bold)

    def paragraph(
        self, rect: Rect, text: str, size: Size = "body", bold: bool = False, colour: str = "ink",
        most: int = 0,
    ) -> float:  # fmt: skip
        """Lines within a rectangle from its top; returns the y below the last of them."""
        lines = fonts.wrap(text, rect.w, size, bold)
        if most and len(lines) > most:
            rest = " ".join(lines[most - 1 :])
            lines = (*lines[: most - 1], fonts.shorten(rest, rect.w, size, bold))
        step = fonts.height(size)
        for n, line in enumerate(lines):
            at = rect.x, rect.y + step * (n + 0.5)
            self.add(Words(at, line, size, bold, colour, "left", rect.w, self.on))
        return rect.y + step * len(lines)

    def picture(self, name: str, rect: Rect, tint: str = "", turn: int = 0) -> None:
        self.add(Picture(name, rect, tint, turn))

    def node(
        self, name: str, role: str, rect: Rect, label: str, on: Message = (), **more: object
    ) -> Node:
        """Something that answers; its focus ring is drawn at the end, over all else."""
        node = Node(name, role, rect, label, on, clip=self.clip, **more)  # type: ignore[arg-type]
        self.nodes.append(node)
        return node

    def kept(self, key: Hashable, draw: Callable[[Pen], None]) -> None:
        """What ``draw`` makes, or what it made when the key was the same: same objects, so that
        they need not be painted anew. The key holds everything that ``draw`` looks at.
        """
        whole = (key, self.on, self.clip)
        found = _KEPT.get(whole)
        if found is None:
            inner = self.alike()
            draw(inner)
            found = tuple(inner.shapes), tuple(inner.nodes)
            if len(_KEPT) >= KEPT_MOST:
                del _KEPT[next(iter(_KEPT))]
            _KEPT[whole] = found
        self.shapes.extend(found[0])
        self.nodes.extend(found[1])

    def alike(self) -> Pen:
        """An empty one in the same place."""
        inner = Pen(self.size, self.focus, self.hover, self.scrolls, self.texts, on=self.on)
        inner._stack = [([], self.clip)] if self.clip is not None else []
        return inner

    def is_focus(self, name: str) -> bool:
        return self.focus == name

    def is_over(self, name: str) -> bool:
        return self.hover == name

    @contextmanager
    def clipped(self, rect: Rect) -> Iterator[None]:
        """Everything drawn within is cut off outside the rectangle."""
        seen = rect if self.clip is None else rect.cut(self.clip)
        self._stack.append((self.shapes, seen))
        self.shapes = []
        try:
            yield
        finally:
            inner = tuple(self.shapes)
            self.shapes, _ = self._stack.pop()
            self.shapes.append(Clip(seen, inner))

    @contextmanager
    def ground(self, colour: str) -> Iterator[None]:
        """Words drawn within stand on this colour."""
        before, self.on = self.on, colour
        try:
            yield
        finally:
            self.on = before

    def frame(self, ground: str = "bench") -> Frame:
        found = next((n for n in self.nodes if n.name == self.focus and n.focus), None)
        if found is not None and found.seen.w > 0.0 and found.seen.h > 0.0:
            # in a rim of the sheet's colour: the part beneath may be as dark as the ring
            self.box(found.seen.inset(-3.5), "", "sheet", 1.5, 6.5)
            self.box(found.seen.inset(-2.0), "", "focus", 3.0, 5.0)
        return Frame(self.size, tuple(self.shapes), tuple(self.nodes), ground)
