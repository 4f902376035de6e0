"""Where parts stand on the drawn board: rows as on the real plate, channels between them.

Parts are drawn large enough to read, so millimetres only say which row a part belongs to and in
what order it stands there. Knows layouts' spots and drawings' sizes; must know no conductor.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from trainer.view.art import Art, Side, art_of
from trainer.view.shapes import Point, Rect

#: Width of the plate that rows are broken for, gaps, and room for flags beside terminals.
PLATE, GAP, FLAGS, LANES = 760.0, 40.0, 32.0, 34.0
#: Height of a level channel between two rows, where most conductors run.
BETWEEN = 62.0
#: Width at the left of the plate where no conductor runs: its bare metal is probed there.
BARE = 46.0
#: Height of a level channel of a column: eight conductors at four pixels and a little more.
LEVEL = 32.0
#: Where things outside the unit stand: far ones, at the panel, in a column left of near ones.
FAR, NEAR = ("panel", "tray"), ("wall", "indoor")
MARGIN, RAIL = 14.0, 64.0
#: Rows of the near column are numbered downwards from here.
NEAR_ROW = 101
TURNS: dict[Side, tuple[Side, Side, Side, Side]] = {
    "up": ("up", "right", "down", "left"), "right": ("right", "down", "left", "up"),
    "down": ("down", "left", "up", "right"), "left": ("left", "up", "right", "down"),
}  # fmt: skip


@dataclass(frozen=True)
class Stand:
    """What is to be placed: a part's type, where it belongs, its spot in mm and its turn."""

    name: str
    type: str
    where: str
    at: Point
    turn: int


@dataclass(frozen=True)
class Spot:
    """One place of a terminal: its centre and the side to which a conductor leaves."""

    place: str
    at: Point
    out: Side
    part: str
    #: Where a conductor crosses the border of the part.
    edge: Point


@dataclass(frozen=True)
class Standing:
    """A part as it stands on the board."""

    name: str
    type: str
    art: Art
    rect: Rect
    turn: int
    row: int
    spots: Mapping[str, Spot]
    marks: Mapping[str, Point]
    printed: tuple[float, float, float] | None


@dataclass(frozen=True)
class Channel:
    """A strip in which conductors run; ``level``: along x."""

    name: str
    level: bool
    middle: float
    low: float
    high: float
    breadth: float


@dataclass(frozen=True)
class Plan:
    """The board: its size, the plate, what stands where, and the channels."""

    size: Point
    plate: Rect
    rail: Rect
    parts: Mapping[str, Standing]
    channels: Mapping[str, Channel]
    spots: Mapping[str, Spot]
    #: How far from the left the near column begins: where a narrow window looks first.
    near_x: float

    def channel_of(self, spot: Spot) -> str:
        """The channel that a place's conductor leaves into."""
        here = self.parts[spot.part]
        if here.row < 0:
            return self._of_column(spot, here)
        if spot.out in ("up", "down"):
            return f"H{here.row + (spot.out == 'down')}"
        beside = [c for c in self.channels.values() if c.name.startswith(f"V{here.row}.")]
        wanted = here.rect.right if spot.out == "right" else here.rect.x
        return min(beside, key=lambda c: abs(c.middle - wanted)).name

    def _of_column(self, spot: Spot, here: Standing) -> str:
        far = here.row > -NEAR_ROW
        if spot.out in ("left", "right"):
            return {(True, "left"): "W", (False, "right"): "M"}.get((far, spot.out), "N")
        n = -here.row - (1 if far else NEAR_ROW)
        return f"{'F' if far else 'G'}{n + (spot.out == 'down')}"


def turned(at: Point, size: Point, turn: int) -> Point:
    """A point of a drawing after a turn clockwise, from the corner of the turned drawing."""
    (x, y), (wide, high) = at, size
    return {0: (x, y), 90: (high - y, x), 180: (wide - x, high - y), 270: (y, wide - x)}[turn]


def size_of(art: Art, turn: int) -> Point:
    return art.size if turn % 180 == 0 else (art.size[1], art.size[0])


def plan(stands: Sequence[Stand]) -> Plan:
    """A board for these parts."""
    inside = [s for s in stands if s.where == "unit"]
    far, near = _column_of(stands, FAR), _column_of(stands, NEAR)
    standing: dict[str, Standing] = {}
    left = MARGIN + 26.0
    far_w, far_y = _column(far, left, 1, standing)
    near_x = left + far_w + (58.0 if far else 0.0)
    near_w, near_y = _column(near, near_x, NEAR_ROW, standing)
    plate_x = near_x + near_w + 62.0
    rows = rows_of(inside)
    bottom, right, tops = _rows(rows, plate_x, standing)
    plate = Rect(plate_x, MARGIN + 16.0, right - plate_x, bottom + RAIL - MARGIN - 16.0)
    rail = Rect(plate.x + 10.0, plate.bottom - RAIL, plate.w - 20.0, RAIL)
    high = max(plate.bottom, far_y, near_y) + MARGIN
    uprights = (left - 16.0, near_x - 30.0, plate.x - 30.0)
    channels = _channels(standing, rows, tops, plate, uprights, high)
    channels |= _of_column("F", far, standing, uprights[0], uprights[1])
    channels |= _of_column("G", near, standing, uprights[1], uprights[2])
    spots = {place: spot for part in standing.values() for place, spot in part.spots.items()}
    begin = near_x - 44.0 if far else 0.0
    return Plan((plate.right + MARGIN, high), plate, rail, standing, channels, spots, begin)


def alone(stand: Stand, at: Point) -> Standing:
    """One part by itself, its corner at a point."""
    art = art_of(stand.type)
    return _standing(stand, art, Rect(*at, *size_of(art, stand.turn)), stand.turn, 0)


def _column_of(stands: Sequence[Stand], wheres: Sequence[str]) -> list[Stand]:
    """Things of some places from the top down; what stands nowhere known is far."""
    known = (*FAR, *NEAR, "unit")
    found = [
        s for s in stands
        if s.where in wheres or (wheres is FAR and s.where not in known)
    ]  # fmt: skip
    return sorted(found, key=lambda s: wheres.index(s.where) if s.where in wheres else 9)


def rows_of(inside: Sequence[Stand]) -> list[list[Stand]]:
    """Parts of the unit in rows from the top, each in order from the left."""
    order = sorted(inside, key=lambda s: (s.at[1], s.at[0], s.name))
    sizes = [size_of(art_of(s.type), s.turn)[0] + GAP for s in order]
    count = max(1, -(-int(sum(sizes)) // int(PLATE)))
    share = sum(sizes) / count
    rows: list[list[Stand]] = [[]]
    filled = 0.0
    for stand, wide in zip(order, sizes, strict=True):
        full = filled + wide > PLATE or (filled + wide / 2.0 > share and len(rows) < count)
        if rows[-1] and full:
            rows.append([])
            filled = 0.0
        rows[-1].append(stand)
        filled += wide
    return [sorted(row, key=lambda s: (s.at[0], s.name)) for row in rows]


def _column(
    column: Sequence[Stand], left: float, first: int, standing: dict[str, Standing]
) -> tuple[float, float]:
    """Sets one column; returns its width and its bottom."""
    wide = max((art_of(s.type).size[0] for s in column), default=0.0)
    y = MARGIN + LEVEL + FLAGS
    for n, stand in enumerate(column):
        art = art_of(stand.type)
        rect = Rect(left + (wide - art.size[0]) / 2.0, y, *art.size)
        standing[stand.name] = _standing(stand, art, rect, 0, -n - first)
        y = rect.bottom + FLAGS * 2.0 + LEVEL + 10.0
    return wide, y


def _rows(
    rows: Sequence[Sequence[Stand]], x0: float, standing: dict[str, Standing]
) -> tuple[float, float, list[float]]:
    """Sets every row; returns the bottom, the right edge and the middle of each level channel."""
    y, right, middles = MARGIN + 16.0, x0 + 400.0, []
    for n, row in enumerate(rows):
        arts = [art_of(s.type) for s in row]
        sizes = [size_of(a, s.turn) for a, s in zip(arts, row, strict=True)]
        above = FLAGS if _faces(row, "up") else 8.0
        lanes = BETWEEN if n else LANES
        middles.append(y + lanes / 2.0)
        y += lanes + above
        x, high = x0 + BARE + GAP, max(s[1] for s in sizes)
        for stand, art, size in zip(row, arts, sizes, strict=True):
            x += FLAGS if _faces([stand], "left") else 0.0
            rect = Rect(x, y + (high - size[1]), *size)
            standing[stand.name] = _standing(stand, art, rect, stand.turn, n)
            x = rect.right + GAP + (FLAGS if _faces([stand], "right") else 0.0)
        right = max(right, x + 18.0)
        y += high + (FLAGS if _faces(row, "down") else 8.0) + 12.0
    middles.append(y + LANES / 2.0)
    return y + LANES, right, middles


def _faces(row: Sequence[Stand], side: Side) -> bool:
    return any(
        TURNS[t.out][s.turn // 90] == side for s in row for t in art_of(s.type).terminals.values()
    )


def _standing(stand: Stand, art: Art, rect: Rect, turn: int, row: int) -> Standing:
    spots: dict[str, Spot] = {}
    marks: dict[str, Point] = {}
    for terminal, drawn in art.terminals.items():
        out = TURNS[drawn.out][turn // 90]
        for tab, at in drawn.places.items():
            x, y = turned(at, art.size, turn)
            place = f"{stand.name}.{terminal}" + (f":{tab}" if tab else "")
            here = rect.x + x, rect.y + y
            spots[place] = Spot(place, here, out, stand.name, _edge(here, out, rect))
        mx, my = turned(drawn.mark, art.size, turn)
        marks[f"{stand.name}.{terminal}"] = rect.x + mx, rect.y + my
    printed, print_at = None, art.upright if turn % 180 else art.printed
    if print_at is not None:
        px, py = turned((print_at[0], print_at[1]), art.size, turn)
        printed = (rect.x + px, rect.y + py, print_at[2])
    return Standing(stand.name, stand.type, art, rect, turn, row, spots, marks, printed)


def _edge(at: Point, out: Side, rect: Rect) -> Point:
    return {
        "up": (at[0], rect.y), "down": (at[0], rect.bottom),
        "left": (rect.x, at[1]), "right": (rect.right, at[1]),
    }[out]  # fmt: skip


def _channels(
    standing: Mapping[str, Standing], rows: Sequence[Sequence[Stand]], tops: Sequence[float],
    plate: Rect, uprights: tuple[float, float, float], high: float,
) -> dict[str, Channel]:  # fmt: skip
    """W, N and M run down beside the columns, H level on the plate, V between its parts."""
    west, between, main = uprights
    found = [
        Channel("W", False, west, 0.0, high, 22.0),
        Channel("N", False, between, 0.0, high, 40.0),
        Channel("M", False, main, 0.0, high, 46.0),
    ]
    found += [
        Channel(
            f"H{n}", True, y, main, plate.right - 8.0, LANES if n in (0, len(tops) - 1) else BETWEEN
        )
        for n, y in enumerate(tops)
    ]
    for n, row in enumerate(rows):
        edges = [standing[s.name].rect for s in row]
        lefts = [plate.x + BARE, *(r.right for r in edges)]
        rights = [*(r.x for r in edges), min(plate.right, edges[-1].right + GAP + FLAGS)]
        for k, (a, b) in enumerate(zip(lefts, rights, strict=True)):
            found.append(Channel(f"V{n}.{k}", False, (a + b) / 2.0, tops[n], tops[n + 1], 30.0))
    return {c.name: c for c in found}


def _of_column(
    mark: str, column: Sequence[Stand], standing: Mapping[str, Standing], low: float, high: float
) -> dict[str, Channel]:
    """Level channels between the parts of a column, from the upright on its left to the right."""
    ys = [MARGIN + LEVEL / 2.0]
    ys += [standing[s.name].rect.bottom + FLAGS + LEVEL / 2.0 for s in column]
    wide = LEVEL - 2.0
    return {f"{mark}{n}": Channel(f"{mark}{n}", True, y, low, high, wide) for n, y in enumerate(ys)}
