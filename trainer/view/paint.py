"""Paints frames with pygame. One of the few files that import it.

Letters, drawings, rounded corners and whole layers are kept once painted, so that a frame in which
little changed costs little. Knows shapes and colours; must know no state of the bench.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable, Sequence
from pathlib import Path
from typing import Any

import pygame

from trainer.base.places import assets_dir
from trainer.view import fonts
from trainer.view.damage import Flat, Piece, damaged
from trainer.view.shapes import (
    Area,
    Box,
    Clip,
    Frame,
    Layer,
    Line,
    Picture,
    Rect,
    Ring,
    Shape,
    Veil,
    Words,
)
from trainer.view.strokes import stroke
from trainer.view.theme import SIZES, colour

#: Letters stand this much lower than the middle of their line, so that they look centred.
LOWER = 0.06
#: How many painted things of a kind are kept.
KEPT_WORDS, KEPT_PICTURES, KEPT_LAYERS, KEPT_BOXES = 3000, 600, 24, 400


class Kept:
    """The last things made, by key."""

    def __init__(self, most: int) -> None:
        self.most = most
        self.rows: OrderedDict[Hashable, Any] = OrderedDict()

    def get(self, key: Hashable, make: Callable[[], Any]) -> Any:
        if key in self.rows:
            self.rows.move_to_end(key)
            return self.rows[key]
        made = self.rows[key] = make()
        if len(self.rows) > self.most:
            self.rows.popitem(last=False)
        return made


class Painter:
    """``scale`` is device pixels to a logical one; ``theme`` names the colours."""

    def __init__(self, scale: float = 1.0, theme: str = "paper") -> None:
        self.scale, self.theme = scale, theme
        self._fonts: dict[tuple[int, bool], pygame.font.Font] = {}
        self._words, self._pictures = Kept(KEPT_WORDS), Kept(KEPT_PICTURES)
        self._layers, self._boxes = Kept(KEPT_LAYERS), Kept(KEPT_BOXES)

        #: What was painted last, and on which surface.
        self._last: tuple[pygame.Surface, float, str, Flat] | None = None

    def setup(self, scale: float, theme: str) -> None:
        """Another scale or theme: what was painted for the former one goes."""
        if (scale, theme) != (self.scale, self.theme):
            self.scale, self.theme = scale, theme
            self._words.rows.clear()
            self._layers.rows.clear()
            self._boxes.rows.clear()

    def paint(self, frame: Frame, surface: pygame.Surface) -> list[pygame.Rect] | None:
        """Paints what changed since the last frame on this surface; returns where, None for all."""
        last, window = self._last, Rect(0.0, 0.0, *frame.size)
        same = last is not None and last[0] is surface and last[1:3] == (self.scale, self.theme)
        old = last[3] if last is not None and same else None
        flat = Flat(frame.shapes, old)
        places = damaged(old.pieces, flat.pieces, window) if old is not None else None
        self._last = surface, self.scale, self.theme, flat
        ground = colour(self.theme, frame.ground)
        if places is None:
            surface.fill(ground)
            self._pieces(flat.pieces, surface)
            return None
        if not places:
            return []
        boxes = [p.note or self._box_of(p) for p in flat.pieces]
        return [self._again(flat.pieces, boxes, surface, place, ground) for place in places]

    def _box_of(self, piece: Piece) -> pygame.Rect:
        """The device pixels that a piece may touch; kept with it."""
        s, place = self.scale, piece.place
        x, y = int(place.x * s) - 1, int(place.y * s) - 1
        piece.note = found = pygame.Rect(
            x, y, int(place.right * s) + 2 - x, int(place.bottom * s) + 2 - y
        )
        return found

    def _again(
        self, every: Sequence[Piece], boxes: Sequence[pygame.Rect], surface: pygame.Surface,
        place: Rect, ground: str,
    ) -> pygame.Rect:  # fmt: skip
        """One rectangle painted anew."""
        s = self.scale
        x, y = int(place.x * s), int(place.y * s)
        cut = pygame.Rect(x, y, int(place.right * s) + 2 - x, int(place.bottom * s) + 2 - y)
        surface.set_clip(cut)
        surface.fill(ground)
        self._pieces([every[n] for n in cut.collidelistall(boxes)], surface)
        surface.set_clip(None)
        return cut

    def _pieces(self, every: Sequence[Piece], surface: pygame.Surface) -> None:
        """Pieces in their order, within the surface's clip."""
        whole, last, s = surface.get_clip(), None, self.scale
        for piece in every:
            clip = piece.clip
            if clip is not last:
                last = clip
                surface.set_clip(whole if clip is None else self._cut(clip).clip(whole))
            PAINT[type(piece.shape)](self, piece.shape, surface, 0.0, 0.0, s)
        surface.set_clip(whole)

    def _cut(self, clip: Rect) -> pygame.Rect:
        s = self.scale
        x, y = round(clip.x * s), round(clip.y * s)
        return pygame.Rect(x, y, round(clip.right * s) - x, round(clip.bottom * s) - y)

    def _all(
        self, shapes: Sequence[Shape], surface: pygame.Surface, dx: float, dy: float, s: float
    ) -> None:
        """Shapes whose origin lies at ``dx, dy`` device pixels, ``s`` device pixels to a unit."""
        for shape in shapes:
            PAINT[type(shape)](self, shape, surface, dx, dy, s)

    def ink(self, name: str) -> str:
        return colour(self.theme, name)

    def _box(self, b: Box, surface: pygame.Surface, dx: float, dy: float, s: float) -> None:
        x, y = round(dx + b.rect.x * s), round(dy + b.rect.y * s)
        w, h = round(dx + b.rect.right * s) - x, round(dy + b.rect.bottom * s) - y
        if w <= 0 or h <= 0 or not (b.fill or b.edge):
            return
        if b.radius <= 0.0:
            if b.fill:
                surface.fill(self.ink(b.fill), (x, y, w, h))
            if b.edge:
                pygame.draw.rect(
                    surface, self.ink(b.edge), (x, y, w, h), max(round(b.width * s), 1)
                )
            return
        self._rounded(b, surface, (x, y, w, h), s)

    def _rounded(
        self, b: Box, surface: pygame.Surface, place: tuple[int, int, int, int], s: float
    ) -> None:
        """Four kept corners and straight sides between them."""
        x, y, w, h = place
        r = min(round(b.radius * s), w // 2, h // 2)
        line = max(round(b.width * s), 1) if b.edge else 0
        clip = surface.get_clip()
        if pygame.Rect(x + line, y + r, w - 2 * line, h - 2 * r).contains(clip):
            if b.fill:  # nothing of its rim is to be painted
                surface.fill(self.ink(b.fill), clip)
            return
        corner = self._boxes.get((r, line, b.fill, b.edge), lambda: self._corner(b, r, line))
        for n, (cx, cy) in enumerate(
            ((x, y), (x + w - r, y), (x, y + h - r), (x + w - r, y + h - r))
        ):
            surface.blit(corner[n], (cx, cy))
        if b.fill:
            fill = self.ink(b.fill)
            surface.fill(fill, (x + r, y, w - 2 * r, h))
            surface.fill(fill, (x, y + r, r, h - 2 * r))
            surface.fill(fill, (x + w - r, y + r, r, h - 2 * r))
        if line:
            edge = self.ink(b.edge)
            surface.fill(edge, (x + r, y, w - 2 * r, line))
            surface.fill(edge, (x + r, y + h - line, w - 2 * r, line))
            surface.fill(edge, (x, y + r, line, h - 2 * r))
            surface.fill(edge, (x + w - line, y + r, line, h - 2 * r))

    def _corner(self, b: Box, r: int, line: int) -> list[pygame.Surface]:
        """The four corners, drawn four times as large and brought down."""
        big = 4
        size = max(r, 1) * big
        sheet = pygame.Surface((2 * size, 2 * size), pygame.SRCALPHA)
        ground = pygame.Color(self.ink(b.fill or b.edge))
        ground.a = 0
        sheet.fill(ground)
        middle = (size, size)
        if b.edge:
            pygame.draw.circle(sheet, self.ink(b.edge), middle, size)
            hole = pygame.Color(self.ink(b.fill)) if b.fill else ground
            pygame.draw.circle(sheet, hole, middle, max(size - line * big, 0))
        elif b.fill:
            pygame.draw.circle(sheet, self.ink(b.fill), middle, size)
        small = pygame.transform.smoothscale(sheet, (2 * max(r, 1), 2 * max(r, 1)))
        side = max(r, 1)
        places = ((0, 0), (side, 0), (0, side), (side, side))
        return [small.subsurface((px, py, side, side)) for px, py in places]

    def _ring(self, o: Ring, surface: pygame.Surface, dx: float, dy: float, s: float) -> None:
        at = dx + o.at[0] * s, dy + o.at[1] * s
        radius = o.radius * s
        if o.edge and not o.fill:
            self._open_ring(o, surface, at, radius, s)
            return
        if o.edge:
            pygame.draw.aacircle(surface, self.ink(o.edge), at, radius)
            radius -= max(o.width * s, 1.0)
        if o.fill and radius > 0.0:
            pygame.draw.aacircle(surface, self.ink(o.fill), at, radius)

    def _open_ring(
        self, o: Ring, surface: pygame.Surface, at: tuple[float, float], radius: float, s: float
    ) -> None:
        pygame.draw.aacircle(surface, self.ink(o.edge), at, radius, max(round(o.width * s), 1))

    def _line(self, line: Line, surface: pygame.Surface, dx: float, dy: float, s: float) -> None:
        points = [(dx + x * s, dy + y * s) for x, y in line.points]
        stroke(
            surface, self.ink(line.colour), points, line.width * s, line.round_by * s, line.dashed
        )

    def _area(self, area: Area, surface: pygame.Surface, dx: float, dy: float, s: float) -> None:
        points = [(dx + x * s, dy + y * s) for x, y in area.points]
        pygame.draw.polygon(surface, self.ink(area.fill), points)
        pygame.draw.aalines(surface, self.ink(area.fill), True, points)

    def _text(self, w: Words, surface: pygame.Surface, dx: float, dy: float, s: float) -> None:
        if not w.text:
            return
        size = max(round((w.exact or SIZES[w.size]) * s), 6)
        ink = self.ink(w.colour)
        image = self._words.get((w.text, size, w.bold, ink), lambda: self._written(w, size, ink))
        shift = {"left": 0.0, "middle": image.get_width() / 2.0, "right": image.get_width()}
        x = dx + w.at[0] * s - shift[w.align]
        y = dy + w.at[1] * s - image.get_height() / 2.0 + size * LOWER
        surface.blit(image, (round(x), round(y)))

    def _written(self, w: Words, size: int, ink: str) -> pygame.Surface:
        return self.font(size, w.bold).render(fonts.known(w.text), True, ink)

    def font(self, size: int, bold: bool) -> pygame.font.Font:
        key = size, bold
        if key not in self._fonts:
            path = assets_dir() / "fonts" / fonts.FILES[bold]
            self._fonts[key] = pygame.font.Font(path, size)
        return self._fonts[key]

    def _picture(self, p: Picture, surface: pygame.Surface, dx: float, dy: float, s: float) -> None:
        image = self.drawing(p, s)
        surface.blit(image, (round(dx + p.rect.x * s), round(dy + p.rect.y * s)))

    def _veil(self, v: Veil, surface: pygame.Surface, dx: float, dy: float, s: float) -> None:
        x, y = round(dx + v.rect.x * s), round(dy + v.rect.y * s)
        w, h = round(dx + v.rect.right * s) - x, round(dy + v.rect.bottom * s) - y
        grey = round(255.0 * v.light)
        surface.fill((grey, grey, grey), (x, y, w, h), pygame.BLEND_RGB_MULT)

    def drawing(self, p: Picture, s: float) -> pygame.Surface:
        size = max(round(p.rect.w * s), 1), max(round(p.rect.h * s), 1)
        tint = self.ink(p.tint) if p.tint else ""
        found: pygame.Surface = self._pictures.get(
            (p.name, size, tint, p.turn), lambda: _drawn(p.name, size, tint, p.turn)
        )
        return found

    def _layer(self, a: Layer, surface: pygame.Surface, dx: float, dy: float, s: float) -> None:
        size = max(round(a.rect.w * s), 1), max(round(a.rect.h * s), 1)
        image = self._layers.get((a.key, size), lambda: self._layered(a, size, s))
        at = round(dx + a.rect.x * s), round(dy + a.rect.y * s)
        if a.clip is None:
            surface.blit(image, at)
            return
        cut = a.rect.cut(a.clip)
        part = pygame.Rect(
            round((cut.x - a.rect.x) * s), round((cut.y - a.rect.y) * s),
            round(cut.w * s), round(cut.h * s),
        )  # fmt: skip
        surface.blit(image, (round(dx + cut.x * s), round(dy + cut.y * s)), part)

    def _layered(self, a: Layer, size: tuple[int, int], s: float) -> pygame.Surface:
        image = pygame.Surface(size, pygame.SRCALPHA)
        self._all(a.shapes, image, 0.0, 0.0, s * a.zoom)
        return image

    def _clip(self, c: Clip, surface: pygame.Surface, dx: float, dy: float, s: float) -> None:
        before = surface.get_clip()
        x, y = round(dx + c.rect.x * s), round(dy + c.rect.y * s)
        w, h = round(dx + c.rect.right * s) - x, round(dy + c.rect.bottom * s) - y
        surface.set_clip(pygame.Rect(x, y, max(w, 0), max(h, 0)).clip(before))
        self._all(c.shapes, surface, dx, dy, s)
        surface.set_clip(before)


def _drawn(name: str, size: tuple[int, int], tint: str, turn: int) -> pygame.Surface:
    """An SVG at its final size; a missing or broken file is a plain box and no crash."""
    path = assets_dir() / f"{name}.svg"
    flat = size if turn % 180 == 0 else (size[1], size[0])
    try:
        image = pygame.image.load_sized_svg(path, flat)
    except (OSError, pygame.error):
        image = pygame.Surface(flat, pygame.SRCALPHA)
        pygame.draw.rect(image, "#808080", image.get_rect(), 2)
    exact = pygame.Surface(flat, pygame.SRCALPHA)
    exact.blit(image, ((flat[0] - image.get_width()) // 2, (flat[1] - image.get_height()) // 2))
    if turn:
        exact = pygame.transform.rotate(exact, -turn)
    if tint:
        exact.fill(tint, special_flags=pygame.BLEND_RGB_MULT)
    return exact


PAINT: dict[type, Callable[..., None]] = {
    Box: Painter._box, Ring: Painter._ring, Line: Painter._line, Area: Painter._area,
    Words: Painter._text, Picture: Painter._picture, Veil: Painter._veil,
    Layer: Painter._layer, Clip: Painter._clip,
}  # fmt: skip


def picture_of(frame: Frame, painter: Painter) -> pygame.Surface:
    """A frame on a surface of its own, for files."""
    size = round(frame.size[0] * painter.scale), round(frame.size[1] * painter.scale)
    surface = pygame.Surface(size)
    painter.paint(frame, surface)
    return surface


def write(frame: Frame, painter: Painter, path: Path) -> str:
    """Writes a frame as a picture; returns why it could not be, or ""."""
    pygame.font.init()
    try:
        pygame.image.save(picture_of(frame, painter), path)
    except (OSError, pygame.error) as error:
        return str(error)
    return ""


__all__ = ["Painter", "Rect", "picture_of", "write"]
