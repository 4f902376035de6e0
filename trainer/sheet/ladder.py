"""The ladder of a sheet as a drawing: an upright a joint, a level rung for symbols in series.

Every rung has a level of its own and no symbol stands on an upright, so that nothing can lie on
anything else; a dot is a joint, a crossing without a dot is none. Knows rungs and symbols; must
know no drawing library.
"""

from __future__ import annotations

from dataclasses import dataclass

from trainer.sheet.inside import Inner
from trainer.sheet.ladder_text import HEADS, NONE
from trainer.sheet.reading import Sheet
from trainer.sheet.rungs import Ladder, Rung, joint_name, ladders
from trainer.sheet.shapes import LETTER, Drawing, Line, Point, Ring, Shape, Symbol, Words
from trainer.sheet.symbols import REACH, symbol

EDGE, HIGH, HEAD = 24.0, 64.0, 40.0
#: Room left free beside an upright, between symbols, and between uprights at the least.
PAD, APART, GAP = 14.0, 10.0, 64.0
NAME, SMALL = 8.0, 7.0
#: From the middle of a symbol to the names of its terminals.
BESIDE = 21.5


@dataclass(frozen=True)
class _Grid:
    """Where the uprights of one ladder stand, and the free end to the right of them."""

    at: tuple[float, ...]
    free: float


def ladder_drawing(sheet: Sheet) -> Drawing:
    """All circuits of the sheet, one below the other."""
    title = NONE if sheet.state == "missing" else HEADS[sheet.state]
    shapes: list[Shape] = []
    symbols: list[Symbol] = []
    top, wide = EDGE, 0.0
    for ladder in ladders(sheet):
        grid = _grid(ladder, sheet)
        shapes.append(Words((EDGE, top), ladder.title, 10.0, "left", "ink", True))
        _uprights(shapes, ladder, sheet, grid, top + 20.0)
        for n, rung in enumerate(ladder.rungs):
            _rung(shapes, symbols, ladder, rung, grid, top + HEAD + HIGH * (n + 0.5), sheet)
        top += HEAD + HIGH * len(ladder.rungs) + 26.0
        wide = max(wide, grid.free + EDGE)
    for note in _notes(sheet):
        shapes.append(Words((EDGE, top), note, NAME, "left", "quiet"))
        wide = max(wide, shapes[-1].bounds[2] + EDGE)  # type: ignore[union-attr]
        top += 16.0
    return Drawing(title, (max(wide, 240.0), top + EDGE / 2.0), tuple(shapes), tuple(symbols))


def _notes(sheet: Sheet) -> list[str]:
    notes = []
    if sheet.grounds:
        joined = ", ".join(t.replace(".", " ") for t in sheet.grounds)
        notes.append(f"Protective conductor: {joined}")
    if sheet.hidden and sheet.state == "dirty":
        notes.append(f"{sheet.hidden} conductors cannot be read under the dirt")
    return notes


def _room(inner: Inner, part: str) -> float:
    """Width that a symbol with its words takes."""
    name = LETTER * NAME * len(part)
    says = LETTER * SMALL * len(_short(inner))
    return max(2.0 * REACH + LETTER * SMALL * 6.0, name, says) + APART


def _short(inner: Inner) -> str:
    """What is said in the drawing; the shape itself says open or closed at rest."""
    return inner.says.partition(",")[0]


def _span(ladder: Ladder, rung: Rung) -> tuple[int, int]:
    """First and last upright of a rung; the free end counts as one more."""
    last = len(ladder.uprights)
    first = 0 if rung.start is None else ladder.uprights.index(rung.start)
    end = last if rung.end is None or rung.end == rung.start else ladder.uprights.index(rung.end)
    return first, end


def _grid(ladder: Ladder, sheet: Sheet) -> _Grid:
    """Uprights so far apart that every rung finds room between them."""
    names = [joint_name(j, sheet) for j in ladder.uprights]
    count = len(ladder.uprights)
    free = any(_span(ladder, r)[1] == count for r in ladder.rungs)
    words = [LETTER * NAME * len(n) / 2.0 for n in [*names, ""]]
    gaps = [max(GAP, words[k] + words[k + 1] + APART) for k in range(count)]
    if not free:
        gaps[-1] = 0.0
    for rung in sorted(ladder.rungs, key=lambda r: _span(ladder, r)[1] - _span(ladder, r)[0]):
        first, end = _span(ladder, rung)
        while _placed(rung, gaps[first:end]) is None:
            widest = max(range(first, end), key=lambda k: gaps[k])
            gaps[widest] += 10.0
    left = EDGE + words[0]
    at = [left + sum(gaps[:k]) for k in range(count)]
    last = at[-1] + gaps[-1] if free else at[-1] + words[count - 1]
    return _Grid(tuple(at), last)


def _placed(rung: Rung, gaps: list[float]) -> list[float] | None:
    """Middles of the symbols measured from the rung's start, or None when there is no room."""
    rooms = [_room(e.inner, e.part) for e in rung.elements]
    for first in range(len(gaps)):
        shares = _shares(rooms, gaps[first:])
        if shares is not None:
            left = sum(gaps[:first])
            return [left + at for at in shares]
    return None


def _shares(rooms: list[float], gaps: list[float]) -> list[float] | None:
    """Symbols packed into gaps from the left, spread out in each."""
    found: list[float] = []
    rest, left = list(rooms), 0.0
    for gap in gaps:
        taken: list[float] = []
        while rest and sum(taken) + rest[0] <= gap - 2.0 * PAD:
            taken.append(rest.pop(0))
        spare = (gap - sum(taken)) / (len(taken) + 1)
        at = left + spare
        for room in taken:
            found.append(at + room / 2.0)
            at += room + spare
        left += gap
    return None if rest else found


def _uprights(shapes: list[Shape], ladder: Ladder, sheet: Sheet, grid: _Grid, top: float) -> None:
    """Each from its first rung to its last, its name at the head with a faint line down to it."""
    for joint, x in zip(ladder.uprights, grid.at, strict=True):
        levels = [k for k, r in enumerate(ladder.rungs) if joint in (r.start, r.end)]
        if not levels:
            continue
        first, last = (top + 20.0 + HIGH * (k + 0.5) for k in (levels[0], levels[-1]))
        shapes.append(Line(((x, top + 8.0), (x, first)), 0.8, "rule", True))
        shapes.append(Line(((x, first), (x, last)), 1.8))
        shapes.append(Words((x, top), joint_name(joint, sheet), NAME, bold=True))


def _rung(
    shapes: list[Shape], symbols: list[Symbol], ladder: Ladder, rung: Rung, grid: _Grid, y: float,
    sheet: Sheet,
) -> None:  # fmt: skip
    first, end = _span(ladder, rung)
    points = [*grid.at, grid.free]
    x0, x1 = points[first], points[end]
    gaps = [points[k + 1] - points[k] for k in range(first, end)]
    middles = _placed(rung, gaps) or []
    here = x0
    for element, turned, middle in zip(rung.elements, rung.turned, middles, strict=True):
        one = symbol(element.inner.symbol, (x0 + middle, y))
        shapes.append(Line(((here, y), one.anchors["a"])))
        symbols.append(one)
        shapes += _named(element.inner, element.part, turned, one.at)
        here = one.anchors["b"][0]
    shapes.append(Line(((here, y), (x1, y))))
    _ends(shapes, rung, (x0, y), (x1, y), sheet)


def _named(inner: Inner, part: str, turned: bool, at: Point) -> list[Shape]:
    """Part above, what it is below, and the terminals beside the leads."""
    x, y = at
    a, b = (inner.b, inner.a) if turned else (inner.a, inner.b)
    return [
        Words((x, y - 22.0), part, NAME, bold=True),
        Words((x, y + 23.5), _short(inner), SMALL, ink="quiet"),
        Words((x - BESIDE, y - 8.0), a, SMALL, "right", of=f"terminal:{part}.{a}"),
        Words((x + BESIDE, y - 8.0), b, SMALL, "left", of=f"terminal:{part}.{b}"),
    ]


def _ends(shapes: list[Shape], rung: Rung, left: Point, right: Point, sheet: Sheet) -> None:
    """A dot on an upright; an open ring where nothing can be read."""
    for joint, at in ((rung.start, left), (rung.end, right)):
        if joint is not None and not (joint == rung.start == rung.end and at == right):
            shapes.append(Ring(at, 3.0, True))
        else:
            shapes.append(Ring(at, 3.2, ink="quiet"))
            if sheet.state == "dirty":
                shapes.append(Words((at[0], at[1] - 11.0), "?", NAME, ink="quiet", bold=True))
