"""The connection diagram of a sheet: parts with their terminals in two columns, wires between.

Every wire has its own row at either end and a lane of its own in the channel, so that wires may
cross and never lie on one another. Order of parts and lanes is improved by trying exchanges, the
same way every time. Knows sheets and symbols; must know no drawing library.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from trainer.sheet.inside import inside
from trainer.sheet.reading import Sheet
from trainer.sheet.shapes import LETTER, Box, Drawing, Line, Point, Ring, Shape, Symbol, Words
from trainer.sheet.symbols import symbol
from trainer.unit.catalogue import type_of
from trainer.unit.conductor import part_of, terminal_of
from trainer.unit.layout import Layout, LayoutWire

EDGE, PITCH, HEAD, SPACE = 20.0, 15.0, 30.0, 16.0
WIDE, LANE, GUTTER = 168.0, 9.0, 58.0
NAME, SMALL, TAG = 8.5, 7.0, 6.5
#: A wire's number stands so far above its line.
ABOVE = 4.6
NONE = "There is no diagram on the door."
HEADS = {
    "clean": "The connection diagram on the door.",
    "dirty": "The connection diagram on the door, partly under dirt.",
    "older": "The connection diagram on the door, of an older revision than the nameplate.",
}
#: Kinds drawn to the left whatever their place: they hand on what comes from outside.
_LEFT = ("contactor",)


@dataclass(frozen=True)
class _End:
    """One end of a wire at a terminal."""

    wire: int
    side: int
    terminal: str


@dataclass(frozen=True)
class _Block:
    """A part: rows of terminals, each with the ends that land on it."""

    part: str
    rows: tuple[tuple[str, tuple[_End, ...]], ...]

    @property
    def high(self) -> float:
        return HEAD + PITCH * sum(max(len(ends), 1) for _, ends in self.rows) + 4.0


def connection_drawing(sheet: Sheet) -> Drawing:
    """All parts that have terminals, and the wires that can be read."""
    if sheet.state == "missing":
        return Drawing(NONE, (260.0, 60.0))
    columns = _columns(sheet)
    pins = _pins(columns)
    lanes = _lanes(sheet, pins)
    width = GUTTER * 2.0 + LANE * max(len(lanes) - 1, 0)
    shapes: list[Shape] = []
    symbols: list[Symbol] = []
    left = EDGE + WIDE
    right = left + width
    for n, wire in enumerate(sheet.wires):
        lane = left + GUTTER + LANE * lanes.index(n)
        shapes += _wire(sheet, wire, [pins[n, s] for s in (0, 1)], lane, (left, right))
    for side, column in enumerate(columns):
        _column(shapes, symbols, column, sheet.layout, side, (left, right)[side])
    low = EDGE + PITCH + max(sum(_snapped(b.high + SPACE) for b in c) for c in columns)
    for note in _notes(sheet):
        shapes.append(Words((EDGE, low), note, SMALL, "left", "quiet"))
        low += 13.0
    return Drawing(HEADS[sheet.state], (right + WIDE + EDGE, low + 4.0), tuple(shapes),
                   tuple(symbols))  # fmt: skip


def _notes(sheet: Sheet) -> list[str]:
    found = ["Dashed: run by the installer. A crossing is no joint."]
    if sheet.numbered:
        found.append("At each end: number of the wire and letters of its colour.")
    if sheet.state == "dirty":
        found.append(f"{sheet.hidden} conductors cannot be read under the dirt.")
    return found


def _columns(sheet: Sheet) -> tuple[list[_Block], list[_Block]]:
    """What is outside and the contactor to the left, what is fed to the right, in a good order."""
    blocks = _blocks(sheet)
    left = [b for b in blocks if _is_left(sheet.layout, b.part)]
    right = [b for b in blocks if not _is_left(sheet.layout, b.part)]

    def length(columns: Sequence[Sequence[_Block]]) -> float:
        pins = _pins(columns)
        return sum(abs(pins[n, 0][1] - pins[n, 1][1]) for n in range(len(sheet.wires)))

    left = _improved(left, lambda order: length((order, right)))
    right = _improved(right, lambda order: length((left, order)))
    left = _improved(left, lambda order: length((order, right)))
    return left, right


def _is_left(layout: Layout, part: str) -> bool:
    spot = layout.parts[part]
    return spot.where not in ("unit", "tray") or spot.type.startswith(_LEFT)


def _blocks(sheet: Sheet) -> list[_Block]:
    here: dict[str, list[_End]] = {}
    for n, wire in enumerate(sheet.wires):
        for side, place in enumerate((wire.begin, wire.end)):
            here.setdefault(terminal_of(place), []).append(_End(n, side, terminal_of(place)))
    found = []
    for name, spot in sheet.layout.parts.items():
        terminals = [f"{name}.{t}" for t in type_of(spot.type).terminals]
        if terminals:
            found.append(_Block(name, tuple((t, tuple(here.get(t, ()))) for t in terminals)))
    return found


def _improved(order: list[_Block], cost: Callable[[list[_Block]], float]) -> list[_Block]:
    """Exchanges of two, as long as one helps."""
    best = cost(order)
    better = True
    while better:
        better = False
        for a, b in combinations(range(len(order)), 2):
            tried = list(order)
            tried[a], tried[b] = tried[b], tried[a]
            now = cost(tried)
            if now < best - 1e-9:
                order, best, better = tried, now, True
    return order


def _pins(columns: Sequence[Sequence[_Block]]) -> dict[tuple[int, int], tuple[int, float]]:
    """End of a wire -> side of the channel and height; left and right heights never agree."""
    found: dict[tuple[int, int], tuple[int, float]] = {}
    for side, column in enumerate(columns):
        top = EDGE + (PITCH / 2.0 if side else 0.0)
        for block in column:
            y = top + HEAD
            for _, ends in block.rows:
                for k, end in enumerate(ends):
                    found[end.wire, end.side] = side, y + PITCH * (k + 0.5)
                y += PITCH * max(len(ends), 1)
            top += _snapped(block.high + SPACE)
    return found


def _snapped(high: float) -> float:
    """A whole number of rows, so that the two columns stay half a row apart."""
    return PITCH * -(-high // PITCH)


def _lanes(sheet: Sheet, pins: Mapping[tuple[int, int], tuple[int, float]]) -> list[int]:
    """Wires from left to right in the order of their lanes, with few crossings."""
    count = len(sheet.wires)
    both = [[pins[n, s] for s in (0, 1)] for n in range(count)]
    reach = [(min(a[1], b[1]), max(a[1], b[1])) for a, b in both]

    def crossed(i: int, j: int) -> int:
        """Crossings when lane i is to the left of lane j."""
        left = sum(side == 0 and reach[i][0] < y < reach[i][1] for side, y in both[j])
        return left + sum(side == 1 and reach[j][0] < y < reach[j][1] for side, y in both[i])

    table = [[crossed(i, j) for j in range(count)] for i in range(count)]
    order = sorted(range(count), key=lambda n: (sum(s for s, _ in both[n]), reach[n][0]))
    better = True
    while better:
        better = False
        for n in list(order):
            at = order.index(n)
            rest = order[:at] + order[at + 1 :]
            costs = [0]
            for other in rest:
                costs.append(costs[-1] + table[other][n] - table[n][other])
            best = min(range(len(costs)), key=lambda k: (costs[k], abs(k - at)))
            if costs[best] < costs[at]:
                order, better = [*rest[:best], n, *rest[best:]], True
    return order


def _wire(
    sheet: Sheet, wire: LayoutWire, ends: Sequence[tuple[int, float]], lane: float,
    edges: tuple[float, float],
) -> list[Shape]:  # fmt: skip
    points: list[Point] = [(edges[ends[0][0]], ends[0][1]), (lane, ends[0][1]),
                           (lane, ends[1][1]), (edges[ends[1][0]], ends[1][1])]  # fmt: skip
    parts = sheet.layout.parts
    ours = all(parts[p].where in ("unit", "tray") for p in map(part_of, (wire.begin, wire.end))
               if p in parts)  # fmt: skip
    found: list[Shape] = [Line(tuple(points), 1.2, "ink", not ours, wire.colour)]
    if sheet.numbered:
        for side, y in ends:
            x, align = (edges[0] + 8.0, "left") if side == 0 else (edges[1] - 8.0, "right")
            text = f"{wire.tag} {wire.colour}"
            of = f"wire:{wire.tag}"
            found.append(Words((x, y - ABOVE), text, TAG, align, of=of))  # type: ignore[arg-type]
    return found


def _column(
    shapes: list[Shape], symbols: list[Symbol], column: Sequence[_Block], layout: Layout,
    side: int, edge: float,
) -> None:  # fmt: skip
    top = EDGE + (PITCH / 2.0 if side else 0.0)
    corner = edge - WIDE if side == 0 else edge
    for block in column:
        _block(shapes, symbols, block, layout, side, (corner, top))
        top += _snapped(block.high + SPACE)


def _block(
    shapes: list[Shape], symbols: list[Symbol], block: _Block, layout: Layout, side: int, at: Point
) -> None:
    """A box: name and what is printed on it at the head, terminals along the channel."""
    x, y = at
    spot = layout.parts[block.part]
    kind = type_of(spot.type)
    edge = x + WIDE if side == 0 else x
    shapes.append(Box(at, (WIDE, block.high), fill="face"))
    shapes.append(Words((x + 7.0, y + 9.0), block.part, NAME, "left", bold=True))
    printed = kind.printed[: int((WIDE - 14.0) / (LETTER * SMALL))]
    shapes.append(Words((x + 7.0, y + 20.0), printed, SMALL, "left", "quiet"))
    row = y + HEAD
    for terminal, ends in block.rows:
        high = PITCH * max(len(ends), 1)
        _terminal(shapes, terminal, kind.terminals[terminal.partition(".")[2]].marking, ends,
                  side, (edge, row))  # fmt: skip
        row += high
    shown = inside(spot.type, spot.set)
    rows = block.high - HEAD
    fit = int(rows // 34.0)
    names = list(dict.fromkeys(one.symbol for one in shown))[: min(fit, 3)]
    for k, name in enumerate(names):
        middle = x + WIDE * (0.30 if side == 0 else 0.70)
        symbols.append(symbol(name, (middle, y + HEAD + rows * (k + 0.5) / len(names))))


def _terminal(
    shapes: list[Shape], terminal: str, marking: str, ends: Sequence[_End], side: int, at: Point
) -> None:
    """Name of the terminal, and a ring for every wire on it."""
    edge, y = at
    name = terminal.partition(".")[2]
    text = name if marking in ("", name) else f"{name} {marking}"
    inward = -8.0 if side == 0 else 8.0
    align = "right" if side == 0 else "left"
    of = f"terminal:{terminal}"
    shapes.append(Words((edge + inward, y + PITCH / 2.0), text, SMALL, align, of=of))  # type: ignore[arg-type]
    if len(ends) > 1:
        last = y + PITCH * (len(ends) - 0.5)
        shapes.append(Line(((edge, y + PITCH / 2.0), (edge, last)), 3.0))
    for k in range(max(len(ends), 1)):
        shapes.append(Ring((edge, y + PITCH * (k + 0.5)), 2.6, filled=bool(ends)))
