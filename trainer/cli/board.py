"""Where things of a unit lie on paper: boxes of parts, spots of terminals, a strip for the rest.

Millimetres from the enclosure's top left corner, y downwards. Knows layouts and the catalogue;
must draw nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from trainer.unit.catalogue import turned, type_of
from trainer.unit.conductor import part_of, terminal_of
from trainer.unit.layout import Layout, Spot
from trainer.unit.state import Placed, Unit

Point = tuple[float, float]
#: Boxes of what is not in the enclosure: width [share of its longer side, that names find room in a
#: tall one too], and gaps [share of its height].
STRIP, GAP = 0.16, 0.03


@dataclass(frozen=True)
class Box:
    """A part as drawn. ``strip``: it stands outside the enclosure, not to scale."""

    name: str
    kind: str
    corner: Point
    size: Point
    terminals: Mapping[str, Point]
    strip: bool = False

    @property
    def centre(self) -> Point:
        return self.corner[0] + self.size[0] / 2.0, self.corner[1] + self.size[1] / 2.0


def boxes_of(unit: Unit, layout: Layout) -> dict[str, Box]:
    """Every part of a unit; what the layout has no spot for stands in the strip."""
    found: dict[str, Box] = {}
    outside: list[tuple[str, Placed]] = []
    for name, placed in unit.parts.items():
        spot = layout.parts.get(name)
        if spot is None or spot.where != "unit":
            outside.append((name, placed))
        else:
            found[name] = _inside(name, placed, spot)
    return found | _strip(outside, layout.enclosure)


def _inside(name: str, placed: Placed, spot: Spot) -> Box:
    kind = type_of(placed.type)
    size = kind.size if spot.turn in (0, 180) else (kind.size[1], kind.size[0])
    terminals = {}
    for terminal, spec in kind.terminals.items():
        x, y = turned(spec.places[0].at, kind.size, spot.turn)
        terminals[f"{name}.{terminal}"] = (spot.at[0] + x, spot.at[1] + y)
    return Box(name, placed.type, spot.at, size, terminals)


def _strip(parts: list[tuple[str, Placed]], enclosure: Point) -> dict[str, Box]:
    """Boxes one above the other to the left of the enclosure."""
    wide, high = max(enclosure) * STRIP, enclosure[1]
    gap = high * GAP
    each = (high - gap * (len(parts) - 1)) / max(len(parts), 1)
    found = {}
    for n, (name, placed) in enumerate(parts):
        corner = (-wide * 1.9, n * (each + gap))
        names = list(type_of(placed.type).terminals)
        steps = {
            f"{name}.{t}": (corner[0] + wide, corner[1] + each * (k + 1) / (len(names) + 1))
            for k, t in enumerate(names)
        }
        found[name] = Box(name, placed.type, corner, (wide, each), steps, True)
    return found


def spot_of(place: str | None, boxes: Mapping[str, Box]) -> Point | None:
    """Where a conductor's end is, None when it hangs loose."""
    if place is None or part_of(place) not in boxes:
        return None
    return boxes[part_of(place)].terminals.get(terminal_of(place))
