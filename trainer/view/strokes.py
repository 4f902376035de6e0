"""Wide lines with round joints and softened corners, painted with pygame.

Level and upright pieces are filled boxes, corners are filled rings, so that a harness costs
little. Knows points; must know no shape of a screen.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import pygame

Point = tuple[float, float]
#: Straight pieces of one softened corner, and of a dash [device px].
PIECES, DASH = 5, 6.0


def stroke(
    surface: pygame.Surface, ink: str, points: Sequence[Point], width: float, round_by: float,
    dashed: bool,
) -> None:  # fmt: skip
    """A run of straight pieces; one of a single point is a dot."""
    if round_by > 0.0:
        points = softened(points, round_by)
    if dashed:
        for piece in dashes(points):
            stroke(surface, ink, piece, width, 0.0, False)
        return
    if width < 1.6:
        _thin(surface, ink, points, width)
        return
    for a, b in pairwise(points):
        _piece(surface, ink, a, b, width)
    for x, y in points[1:-1]:
        if width > 2.4:
            pygame.draw.aacircle(surface, ink, (x, y), width / 2.0)


def _thin(surface: pygame.Surface, ink: str, points: Sequence[Point], width: float) -> None:
    for a, b in pairwise(points):
        if _straight(a, b):
            _piece(surface, ink, a, b, max(width, 1.0))
        else:
            _sloped(surface, ink, a, b, 1)


def _straight(a: Point, b: Point) -> bool:
    return abs(a[0] - b[0]) < 0.01 or abs(a[1] - b[1]) < 0.01


def _piece(surface: pygame.Surface, ink: str, a: Point, b: Point, width: float) -> None:
    if not _straight(a, b):
        _sloped(surface, ink, a, b, max(round(width), 1))
        return
    half = width / 2.0
    left, top = min(a[0], b[0]) - half, min(a[1], b[1]) - half
    right, low = max(a[0], b[0]) + half, max(a[1], b[1]) + half
    if abs(a[0] - b[0]) < 0.01:
        top, low = top + half, low - half
    else:
        left, right = left + half, right - half
    x, y = round(left), round(top)
    surface.fill(ink, (x, y, max(round(right) - x, 1), max(round(low) - y, 1)))


def _sloped(surface: pygame.Surface, ink: str, a: Point, b: Point, width: int) -> None:
    """A soft line that the clip only hides: the toolkit would start it anew at the clip's edge."""
    around = _around(a, b, width)
    clip = surface.get_clip()
    if not clip.colliderect(around):
        return
    if clip.contains(around):
        pygame.draw.aaline(surface, ink, a, b, width)
        return
    around = around.clip(surface.get_rect())
    under = _copied(surface, around)
    surface.set_clip(None)
    pygame.draw.aaline(surface, ink, a, b, width)
    drawn = _copied(surface, around)
    surface.blit(under, around)
    surface.set_clip(clip)
    surface.blit(drawn, around)


def _copied(surface: pygame.Surface, place: pygame.Rect) -> pygame.Surface:
    copy = surface.subsurface(place).copy()
    copy.set_alpha(None)  # laid back it replaces, and does not mix
    return copy


def _around(a: Point, b: Point, width: int) -> pygame.Rect:
    x, y = math.floor(min(a[0], b[0])) - width - 2, math.floor(min(a[1], b[1])) - width - 2
    right, low = math.ceil(max(a[0], b[0])) + width + 2, math.ceil(max(a[1], b[1])) + width + 2
    return pygame.Rect(x, y, right - x, low - y)


def softened(points: Sequence[Point], by: float) -> list[Point]:
    """The run with every corner exchanged for a quarter of a circle or less."""
    if len(points) < 3:
        return list(points)
    found = [points[0]]
    for before, here, after in zip(points, points[1:], points[2:], strict=False):
        reach = min(by, math.dist(before, here) / 2.0, math.dist(here, after) / 2.0)
        if reach < 0.5:
            found.append(here)
            continue
        a, b = _towards(here, before, reach), _towards(here, after, reach)
        found += [_bend(a, here, b, k / PIECES) for k in range(PIECES + 1)]
    return [*found, points[-1]]


def _towards(a: Point, b: Point, by: float) -> Point:
    far = math.dist(a, b)
    return a[0] + (b[0] - a[0]) * by / far, a[1] + (b[1] - a[1]) * by / far


def _bend(a: Point, corner: Point, b: Point, s: float) -> Point:
    u = 1.0 - s
    x, y = (u * u * p + 2.0 * u * s * c + s * s * q for p, c, q in zip(a, corner, b, strict=True))
    return x, y


def dashes(points: Sequence[Point]) -> list[tuple[Point, Point]]:
    found, left, drawn = [], DASH, True
    for a, b in pairwise(points):
        far, at = math.dist(a, b), 0.0
        while far - at > 0.01:
            step = min(left, far - at)
            if drawn:
                found.append((_towards(a, b, at) if at else a, _towards(a, b, at + step)))
            at, left = at + step, left - step
            if left <= 0.01:
                left, drawn = DASH, not drawn
    return found
