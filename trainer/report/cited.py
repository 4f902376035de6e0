"""Text of a page that says where it is from: every number names an event, a row or a formula.

``source`` is written into the page as ``data-from``:

- ``event/12/told``, ``/seq``, ``/at``: event 12 of the attempt, its sentence, number, bench time;
- ``row/grade/ID/total``: a column of a row; a JSON pointer may follow a column that holds JSON;
- ``rubric/sequence/3/weight``: a place in the rubric the mark was made by;
- ``header/seed``: the header of the attempt; ``claim/no``: the first line of the hand-in;
- ``shown/total``: what the learner is shown as the page is made;
- ``full-marks``: the 100 points that a total is of; ``printed/now``, ``printed/who``;
- ``NAME(A; B; ...)``: a formula with its inputs, which are any of these or ``#key``, the exact
  value of the number with that key on the page.

``style`` says how a value became text: see ``STYLES``. Knows no table and no mark.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from string import Formatter
from typing import Any

from trainer.base.tongue import tr

#: How a value is written: as it is; a fraction rounded down to two digits, without its zeros; as
#: marks are shown, followed by the edge; bench time; a moment in the assignment's zone; a public
#: key as it is read aloud; the first twelve digits; minutes begun; a line of the rubric in words.
STYLES = ("text", "down", "trim", "shown", "clock", "moment", "aloud", "short", "minutes", "place")
DIGITS = 2


#: The style of words that are in the language spoken already; they have no source.
TOLD = "told"
#: What people wrote, names and digests: tables and columns that are never translated.
OWN_TABLES = {"person", "course", "key", "opening", "receipt"}
OWN = {
    "printed", "header", "claim", "name", "reason", "made_by", "who", "second", "why",
    "file_digest", "attempt_digest", "digest", "head", "public_key", "scorer", "opening_id",
}  # fmt: skip


@dataclass(frozen=True)
class Said:
    """A piece of text with its source; ``key`` names it for formulas, ``exact`` is its value."""

    text: str
    source: str = ""
    style: str = "text"
    key: str = ""
    exact: str = ""

    @property
    def verbatim(self) -> bool:
        """Whether it is told as it is: somebody wrote it himself, it is a name, or told already."""
        place, table, *rest = (*self.source.split("/"), "", "")
        return (
            self.style == TOLD
            or place in OWN
            or (place == "row" and (table in OWN_TABLES or bool({*rest} & OWN)))
        )

    def as_data(self) -> dict[str, str]:
        told = {"text": self.text, "from": self.source, "as": self.style if self.source else ""}
        return {k: v for k, v in {**told, "key": self.key, "exact": self.exact}.items() if v}


#: A cell is pieces of text in a row.
Cell = tuple[Said, ...]


def plain(text: str) -> Cell:
    """Words of the page itself; they hold no number."""
    return (Said(text),)


def joined(*cells: Cell | str) -> Cell:
    return tuple(p for c in cells for p in (plain(c) if isinstance(c, str) else c))


def phrase(text: str, **cells: Cell | str) -> Cell:
    """A sentence with cells in its places, in the order that the language spoken has them.

    Places are written ``{so!s}``: the sentence stands in no file, and is looked for in none.
    """
    found: list[Said] = []
    for words, name, _, _ in Formatter().parse(tr(text)):
        found += [Said(words, style=TOLD)] if words else []
        found += joined(cells[name]) if name else ()
    return tuple(found)


def listed(cells: Sequence[Cell], between: str = ", ") -> Cell:
    found: list[Said] = []
    for n, one in enumerate(cells):
        found += [Said(between), *one] if n else one
    return tuple(found)


def down(value: Fraction, digits: int = DIGITS) -> str:
    """Rounded down to so many digits, trailing zeros kept."""
    whole = value.numerator * 10**digits // value.denominator
    sign, whole = ("-", -whole) if whole < 0 else ("", whole)
    return f"{sign}{whole // 10**digits}.{whole % 10**digits:0{digits}d}"


def trimmed(value: Fraction) -> str:
    """As ``down`` without zeros at the end: a weight of 2 is written as 2."""
    return down(value).rstrip("0").rstrip(".")


def weight(value: Fraction, source: str, key: str = "") -> Cell:
    """A number that is mostly whole."""
    return (Said(trimmed(value), source, "trim", key, str(value)),)


def figure(value: Fraction, source: str, key: str = "") -> Cell:
    """A number of the arithmetic: two digits in print, exact beneath."""
    return (Said(down(value), source, "down", key, str(value)),)


def again(cell: Cell) -> Cell:
    """A number that stands elsewhere on the page with its key, told once more."""
    return tuple(
        replace(piece, source=f"#{piece.key}", key="") if piece.key else piece for piece in cell
    )


@dataclass(frozen=True)
class Table:
    """``numbers`` are the columns set to the right."""

    caption: Cell
    heads: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    numbers: tuple[int, ...] = ()
    css: str = ""
    foot: tuple[tuple[Cell, ...], ...] = ()


@dataclass(frozen=True)
class Facts:
    rows: tuple[tuple[str, Cell], ...]


@dataclass(frozen=True)
class Lines:
    """Sentences under one another."""

    rows: tuple[Cell, ...]
    css: str = ""


Part = Table | Facts | Lines


@dataclass(frozen=True)
class Section:
    key: str
    title: str
    parts: tuple[Part, ...]
    note: str = ""


@dataclass(frozen=True)
class Paper:
    """A page: what stands on top, then sections in the order in which they are read."""

    kind: str
    title: Cell
    head: Facts
    verdict: Cell
    sections: tuple[Section, ...]
    end: Cell
    footer: str
    status: str = ""
    more: dict[str, Any] = field(default_factory=dict)


def as_data(paper: Paper) -> dict[str, Any]:
    """JSON's ``data``: the page in its order, every piece with its source."""
    return {
        "kind": paper.kind, "title": _data(paper.title), "facts": _part(paper.head),
        "verdict": _data(paper.verdict),
        "sections": [
            {"key": s.key, "title": s.title, "note": s.note, "parts": [_part(p) for p in s.parts]}
            for s in paper.sections
        ],
        "end": _data(paper.end),
    }  # fmt: skip


def _part(part: Part) -> dict[str, Any]:
    if isinstance(part, Facts):
        return {"facts": [{"name": name, "value": _data(cell)} for name, cell in part.rows]}
    if isinstance(part, Lines):
        return {"lines": [_data(cell) for cell in part.rows]}
    rows = [[_data(cell) for cell in row] for row in (*part.rows, *part.foot)]
    return {"caption": _data(part.caption), "heads": list(part.heads), "rows": rows}


def _data(cell: Iterable[Said]) -> list[dict[str, str]]:
    return [piece.as_data() for piece in cell]
