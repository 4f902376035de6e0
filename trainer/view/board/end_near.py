"""One end of a conductor as the loupe shows it: insulation, bare copper, fitting, crimp, its place.

Drawn in millimetres from the mouth of the fitting or clamp, to the right along the conductor. Only
what an eye sees: no torque, no volts. Knows facts of an end; must know no state of the program.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trainer.unit.catalogue import Place
from trainer.unit.conductor import End
from trainer.view.shapes import Area, Box, Line, Point, Rect, Ring, Shape
from trainer.view.theme import wire_colour

#: Grip of a barrel or clamp, how far copper shows beyond it, half the width of each [mm].
GRIP, BEYOND = 5.0, 0.6
INSULATION, COPPER, BARREL = 2.4, 1.5, 2.3
#: A conductor that slipped in its barrel, a strand that stands out; both as the unit has them [mm].
SLIPPED, STRAY = 2.5, 4.0
#: How far the tongue of a fitting reaches beyond its barrel [mm].
TONGUE = 9.0
COPPER_INK, COPPER_EDGE, BRASS_EDGE, CAP = "#D08A4E", "#7A4A22", "#6B5320", "#D97A2A"
#: Strands that can be seen side by side, and those that a notch too small cuts.
STRANDS, CUT = 5, (1, 3)


@dataclass(frozen=True)
class Sight:
    """Millimetres to the pixels of a drawing: where 0, 0 lies and pixels to a millimetre."""

    at: Point
    scale: float
    left: float

    def point(self, x: float, y: float) -> Point:
        return self.at[0] + x * self.scale, self.at[1] + y * self.scale

    def box(self, x: float, y: float, wide: float, high: float) -> Rect:
        return Rect(*self.point(x, y), wide * self.scale, high * self.scale)


def end_near(end: End, colour: str, place: Place | None, see: Sight) -> Iterator[Shape]:
    """The end from the left of the drawing to what it is on; ``place`` None: the chassis or air."""
    if end.on is not None:
        yield from _seat(end, place, see)
    edge = _edge(end)
    yield from _copper(end, edge, see)
    yield from _insulation(colour, edge, see)
    if end.fitting != "none":
        yield from _fitting(end, see)
        yield from _barrel(end, colour, edge, see)
    elif end.on is not None:
        yield from _clamp(see)
    if end.capped:
        yield Box(see.box(-3.0, -3.4, 24.0, 6.8), CAP, "casing", 2.0, 3.0 * see.scale)
        for x in (0.0, 2.5, 5.0):
            yield Line((see.point(x, -2.6), see.point(x, 2.6)), "casing", 1.0)


def _edge(end: End) -> float:
    """Where the insulation ends: the copper's tip shows a little beyond the grip."""
    slipped = SLIPPED if end.tug == "slipped" and end.fitting != "none" else 0.0
    if end.on is None and end.fitting == "none":
        return 0.0
    return GRIP + BEYOND - end.stripped_mm - slipped


def _insulation(colour: str, edge: float, see: Sight) -> Iterator[Shape]:
    ground, stripe = wire_colour(colour)
    wide = edge - see.left
    yield Box(see.box(see.left, -INSULATION, wide, 2.0 * INSULATION), ground, "casing", 2.0, 2.0)
    if stripe:
        middle = (see.point(see.left, 0.0), see.point(edge - 0.3, 0.0))
        yield Line(middle, stripe, see.scale, 0.0, True)


def _copper(end: End, edge: float, see: Sight) -> Iterator[Shape]:
    tip = edge + end.stripped_mm
    if end.stripped_mm <= 0.0:
        return
    pitch = 2.0 * COPPER / STRANDS
    for n in range(STRANDS):
        y = -COPPER + pitch * (n + 0.5)
        last = edge + 0.35 * end.stripped_mm if end.strands == "severed" and n in CUT else tip
        a, b = see.point(edge - 0.5, y), see.point(last, y)
        yield Line((a, b), COPPER_EDGE, pitch * see.scale + 1.0)
        yield Line((a, b), COPPER_INK, pitch * see.scale - 1.0)
    if end.strands == "scraped":
        for n in range(4):
            x = edge + end.stripped_mm * (0.15 + 0.2 * n)
            yield Line((see.point(x, -1.1), see.point(x + 0.9, 0.4)), COPPER_EDGE, 2.0)
    if end.strands == "stray":
        run = (see.point(edge + 0.3, -COPPER), see.point(edge + 1.8, -COPPER - 1.6),
               see.point(tip + STRAY - 2.0, -COPPER - 3.0))  # fmt: skip
        yield Line(run, COPPER_EDGE, 0.5 * see.scale + 1.0, 6.0)
        yield Line(run, COPPER_INK, 0.5 * see.scale - 1.0, 6.0)


def _barrel(end: End, colour: str, edge: float, see: Sight) -> Iterator[Shape]:
    """The barrel and what its tool left on it; through its seam the conductor is seen."""
    half = {"none": BARREL + 0.7, "pliers": BARREL + 0.5}.get(end.crimp, BARREL)
    yield Box(see.box(0.0, -half, GRIP, 2.0 * half), "brass", BRASS_EDGE, 2.0, 2.0)
    seam = see.box(0.5, -0.5, GRIP - 1.0, 1.0)
    yield Box(seam, COPPER_INK, BRASS_EDGE, 1.0)
    if edge > 0.5:  # insulation has gone into the grip
        ground, _ = wire_colour(colour)
        yield Box(_cut_to(seam, (edge - 0.5) * see.scale), ground, BRASS_EDGE, 1.0)
    yield from _dents(end.crimp, half, see)


def _cut_to(rect: Rect, wide: float) -> Rect:
    return Rect(rect.x, rect.y, min(wide, rect.w), rect.h)


def _dents(crimp: str, half: float, see: Sight) -> Iterator[Shape]:
    if crimp in ("full", "light"):
        deep = 0.9 if crimp == "full" else 0.3
        for x in (0.9, 3.0):
            for y in (-half, half - deep):
                yield Box(see.box(x, y, 1.1, deep), BRASS_EDGE, BRASS_EDGE, 1.0, 1.0)
    elif crimp == "pliers":  # flat, with the marks of the jaws
        for n in range(6):
            x = 0.5 + 0.75 * n
            yield Line((see.point(x, -half + 0.4), see.point(x, half - 0.4)), BRASS_EDGE, 1.2)
    elif crimp == "wrong_die":  # pinched off the middle, with fins where the die closed beside it
        yield Box(see.box(3.4, -half, 1.3, 1.3), BRASS_EDGE, BRASS_EDGE, 1.0, 1.0)
        for x in (3.1, 4.7):
            yield Area(
                (see.point(x, -half), see.point(x + 0.4, -half - 1.1), see.point(x + 0.6, -half)),
                BRASS_EDGE,
            )


def _fitting(end: End, see: Sight) -> Iterator[Shape]:
    """What is beyond the barrel."""
    neck = see.box(GRIP - 0.2, -1.3, 2.2, 2.6)
    x = GRIP + 1.6
    if end.fitting == "pin":
        yield Box(see.box(GRIP - 0.2, -0.9, TONGUE, 1.8), "brass", BRASS_EDGE, 1.5, 4.0)
        return
    yield Box(neck, "brass", BRASS_EDGE, 1.5)
    if end.fitting == "female_250":
        yield Box(see.box(x, -3.3, TONGUE - 1.0, 6.6), "brass", BRASS_EDGE, 2.0, 3.0)
        for y in (-3.3, 2.2):  # its rolled edges
            yield Box(see.box(x, y, TONGUE - 1.0, 1.1), "brass", BRASS_EDGE, 1.5, 4.0)
        yield Ring(see.point(x + 4.0, 0.0), 0.7 * see.scale, BRASS_EDGE)
    elif end.fitting == "ring":
        yield Ring(see.point(x + 3.8, 0.0), 3.9 * see.scale, "brass", BRASS_EDGE, 2.0)
        yield Ring(see.point(x + 3.8, 0.0), 2.0 * see.scale, "sheet", BRASS_EDGE, 2.0)
    else:
        for y in (-3.0, 1.2):
            yield Box(see.box(x, y, TONGUE - 1.5, 1.8), "brass", BRASS_EDGE, 1.5, 3.0)
        yield Box(see.box(x - 0.4, -3.0, 1.8, 6.0), "brass", BRASS_EDGE, 1.5, 2.0)


def _seat(end: End, place: Place | None, see: Sight) -> Iterator[Shape]:
    """What the end is on, behind it: a tab that the fitting covers as far as it is pushed on."""
    kind = "screw" if place is None else place.kind
    if kind == "tab_250":
        begin = GRIP + 1.8 + (1.0 - end.seated) * 8.0
        yield Box(see.box(begin, -2.4, 30.0, 4.8), "metal", "casing", 2.0, 2.0)
        return
    yield Box(see.box(-0.4, -5.2, 22.0, 10.4), "metal", "casing", 2.0, 3.0)


def _clamp(see: Sight) -> Iterator[Shape]:
    """The saddle and screw that lie on bare copper."""
    yield Box(see.box(0.0, -3.2, GRIP, 6.4), "metal_edge", "casing", 2.0, 3.0)
    middle = see.point(GRIP / 2.0, 0.0)
    yield Ring(middle, 2.1 * see.scale, "metal", "casing", 2.0)
    (x, y), r = middle, 1.4 * see.scale
    yield Line(((x - r, y), (x + r, y)), "casing", 2.5)


def ruler(end: End, see: Sight, right: float) -> Iterator[Shape]:
    """Millimetres from the edge of the insulation on."""
    edge, y = _edge(end), 6.4
    most = min(int((right - see.at[0]) / see.scale - edge), 200)
    yield Line((see.point(edge, y), see.point(edge + most, y)), "ink", 1.2)
    for mm in range(most + 1):
        long = 1.1 if mm % 5 == 0 else 0.6
        yield Line((see.point(edge + mm, y), see.point(edge + mm, y - long)), "ink", 1.0)


def marks(end: End, see: Sight, right: float) -> list[tuple[Point, str]]:
    """Figures of the ruler and where they stand."""
    edge = _edge(end)
    most = int((right - see.at[0]) / see.scale - edge)
    return [(see.point(edge + mm, 7.5), f"{mm}") for mm in range(0, most + 1, 5)]


__all__ = ["Sight", "end_near", "marks", "ruler"]
