"""What has to be painted anew between two frames: rectangles around shapes that came or went.

Shapes that are the same object, or equal, keep their paint. Pure; knows shapes and how wide words
are.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from trainer.view import fonts
from trainer.view.shapes import (
    Area,
    Box,
    Clip,
    Layer,
    Line,
    Picture,
    Rect,
    Ring,
    Shape,
    Veil,
    Words,
    bounds,
)

#: More than so many rectangles, or so much of the window, and everything is painted anew.
MOST, SHARE = 40, 0.55
#: Soft edges of painted shapes reach this far beyond them [logical px].
SOFT = 2.0


@dataclass(eq=False, slots=True)
class Piece:
    """A shape as it lies in the frame: what can be seen of it, and where it is cut off."""

    shape: Shape
    clip: Rect | None
    place: Rect
    #: For the painter, to keep with it what it worked out.
    note: Any = None


class Flat:
    """A frame's shapes flat, in order; pieces of shapes of ``before`` that are still there are
    taken over, whole blocks of them at once."""

    def __init__(self, shapes: Iterable[Shape], before: Flat | None = None) -> None:
        self.pieces: list[Piece] = []
        self._blocks: dict[int, tuple[Clip, Rect | None, list[Piece]]] = {}
        # an id stands for its object only as long as ``before`` holds that object
        self._known = {id(p.shape): p for p in before.pieces} if before is not None else {}
        self._known_blocks = before._blocks if before is not None else {}
        self._add(shapes, None, self.pieces)
        self._known, self._known_blocks = {}, {}

    def _add(self, shapes: Iterable[Shape], clip: Rect | None, to: list[Piece]) -> None:
        for shape in shapes:
            if type(shape) is Clip:
                to.extend(self._block(shape, clip))
                continue
            kept = self._known.get(id(shape))
            if kept is None or kept.shape is not shape or kept.clip != clip:
                place = place_of(shape)
                kept = Piece(shape, clip, place if clip is None else place.cut(clip))
            to.append(kept)

    def _block(self, block: Clip, clip: Rect | None) -> list[Piece]:
        kept = self._known_blocks.get(id(block))
        if kept is None or kept[0] is not block or kept[1] != clip:
            found: list[Piece] = []
            inner = block.rect if clip is None else block.rect.cut(clip)
            self._add(block.shapes, inner, found)
            kept = block, clip, found
        self._blocks[id(block)] = kept
        return kept[2]


def place_of(shape: Shape) -> Rect:
    """The rectangle a shape paints within."""
    match shape:
        case Box():
            return shape.rect.inset(-SOFT)
        case Ring():
            r = shape.radius + shape.width + SOFT
            return Rect(shape.at[0] - r, shape.at[1] - r, 2.0 * r, 2.0 * r)
        case Line():
            return bounds(shape.points).inset(-shape.width - SOFT)
        case Area():
            return bounds(shape.points).inset(-SOFT)
        case Words():
            return _words(shape)
        case Picture():
            return shape.rect.inset(-SOFT)
        case Veil():
            return shape.rect
        case Layer():
            return shape.rect if shape.clip is None else shape.rect.cut(shape.clip)
        case Clip():
            return shape.rect


def _words(w: Words) -> Rect:
    wide = fonts.width(w.text, w.size, w.bold) * (w.exact / 12.0 if w.exact else 1.0) + 6.0
    high = fonts.height(w.size) * (w.exact / 12.0 if w.exact else 1.0) + 6.0
    x = w.at[0] - {"left": 3.0, "middle": wide / 2.0, "right": wide - 3.0}[w.align]
    return Rect(x, w.at[1] - high / 2.0, wide, high)


def damaged(old: Sequence[Piece], new: Sequence[Piece], window: Rect) -> list[Rect] | None:
    """Rectangles to paint anew, or None for all of the window."""
    here, there = set(map(id, new)), set(map(id, old))
    gone = [p for p in old if id(p) not in here]
    came = [p for p in new if id(p) not in there]
    if not gone and not came:
        return []
    changed = _pairwise(gone, came) if len(gone) == len(came) else _any_order(gone, came)
    return merged([r.cut(window) for r in changed], window)


def _pairwise(gone: Sequence[Piece], came: Sequence[Piece]) -> list[Rect]:
    """Places of those that are not as the one that stood in the same turn before."""
    pairs = zip(gone, came, strict=True)
    unlike = [(a, b) for a, b in pairs if a.clip != b.clip or a.shape != b.shape]
    return [p.place for pair in unlike for p in pair]


def _any_order(gone: Sequence[Piece], came: Sequence[Piece]) -> list[Rect]:
    """Places of those that have no equal on the other side."""
    same = _alike(zip(gone, came, strict=False))
    end = _alike(zip(reversed(gone[same:]), reversed(came[same:]), strict=False))
    gone, came = gone[same : len(gone) - end], came[same : len(came) - end]
    equal: dict[tuple[Shape, Rect | None], int] = {}
    for p in gone:
        equal[p.shape, p.clip] = equal.get((p.shape, p.clip), 0) + 1
    changed = []
    for p in came:
        if equal.get((p.shape, p.clip), 0) > 0:
            equal[p.shape, p.clip] -= 1
        else:
            changed.append(p.place)
    for p in gone:
        if equal.get((p.shape, p.clip), 0) > 0:
            equal[p.shape, p.clip] -= 1
            changed.append(p.place)
    return changed


def _alike(pairs: Iterable[tuple[Piece, Piece]]) -> int:
    """How many pairs are alike before the first that is not."""
    n = 0
    for a, b in pairs:
        if a.clip != b.clip or a.shape != b.shape:
            break
        n += 1
    return n


def merged(rects: Iterable[Rect], window: Rect) -> list[Rect] | None:
    """Rectangles that touch become one; too many or too large ones become the whole window."""
    found: list[Rect] = []
    for rect in rects:
        if rect.w <= 0.0 or rect.h <= 0.0:
            continue
        grown = rect
        while True:
            # Rect.meets written out: it is asked for every pair
            x, y, right, low = grown.x, grown.y, grown.right - 0.01, grown.bottom - 0.01
            touching = [
                r for r in found
                if r[0] < right and r[1] < low and x < r[0] + r[2] - 0.01 and y < r[1] + r[3] - 0.01
            ]  # fmt: skip
            if not touching:
                break
            for r in touching:
                found.remove(r)
                grown = joined(grown, r)
        found.append(grown)
    if len(found) > MOST or sum(r.w * r.h for r in found) > SHARE * window.w * window.h:
        return None
    return found


def joined(a: Rect, b: Rect) -> Rect:
    x, y = min(a.x, b.x), min(a.y, b.y)
    return Rect(x, y, max(a.right, b.right) - x, max(a.bottom, b.bottom) - y)
