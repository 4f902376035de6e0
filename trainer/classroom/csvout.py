"""CSV that a spreadsheet opens without running anything in it, and a cell filled in one elsewhere.

RFC 4180 quoting and, as quoting alone stops no formula, an apostrophe before text that begins like
one (CWE-1236, OWASP ASVS 1.2.10). Numbers are numbers by type, so that -3 stays -3. Knows commas
and quotes; must know no column's meaning.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from trainer.base.errors import Fault, Faults

#: What a text begins with that a spreadsheet may take for a formula or pass over to find one.
FORMULA = ("=", "+", "-", "@", "\t", "\r", "\x00")
BOM = "\ufeff"
Cell = str | int | Decimal | None


def cell(value: Cell) -> str:
    """A cell before quoting: text made harmless, a number as it is written, None blank."""
    if value is None:
        return ""
    if isinstance(value, str):
        return f"'{value}" if value.startswith(FORMULA) else value
    return f"{value:f}" if isinstance(value, Decimal) else str(value)


def number(value: Fraction, digits: int) -> Decimal:
    """A fraction as a decimal, rounded down: a score never reads as more than it is."""
    whole = value.numerator * 10**digits // value.denominator
    return Decimal(whole).scaleb(-digits)


def text_of(header: Sequence[str], rows: Iterable[Sequence[Cell]], bom: bool = True) -> str:
    """The file: CRLF, and a byte order mark by which spreadsheets know UTF-8."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([cell(name) for name in header])
    writer.writerows([cell(value) for value in row] for row in rows)
    return (BOM if bom else "") + out.getvalue()


# --- a file of somebody else's, changed in some cells only -------------------------------------


@dataclass(frozen=True)
class Piece:
    """A cell where it stands: ``text[start:end]`` is its writing, ``value`` what it says."""

    start: int
    end: int
    value: str


def pieces(text: str, name: str) -> list[list[Piece]]:
    """Rows of cells with their places. Raises Faults at a quote that is out of order."""
    rows: list[list[Piece]] = []
    row: list[Piece] = []
    at = 1 if text.startswith(BOM) else 0
    while at <= len(text):
        piece = _piece(text, at, name)
        row.append(piece)
        at = piece.end
        if text.startswith(",", at):
            at += 1
            continue
        rows.append(row)
        row = []
        at += 2 if text.startswith("\r\n", at) else 1
        if at >= len(text):
            break
    return rows


def _piece(text: str, start: int, name: str) -> Piece:
    if not text.startswith('"', start):
        end = next((n for n in range(start, len(text)) if text[n] in ",\r\n"), len(text))
        return Piece(start, end, text[start:end])
    at = start + 1
    while True:
        at = text.find('"', at)
        if at < 0:
            raise _fault(text, start, name, "a quote is opened here and never closed")
        if not text.startswith('""', at):
            break
        at += 2
    end = at + 1
    if end < len(text) and text[end] not in ",\r\n":
        raise _fault(text, start, name, "letters follow a closing quote")
    return Piece(start, end, text[start + 1 : at].replace('""', '"'))


def _fault(text: str, at: int, name: str, what: str) -> Faults:
    line = text.count("\n", 0, at) + 1
    return Faults([Fault(f"{name}:{line}", what, "a file as the other program exported it")])


def replaced(text: str, changes: Mapping[Piece, Cell]) -> str:
    """The text with other writing in these cells, every other letter as it was."""
    out, at = [], 0
    for piece in sorted(changes, key=lambda p: p.start):
        out += [text[at : piece.start], _written(cell(changes[piece]))]
        at = piece.end
    return "".join([*out, text[at:]])


def _written(value: str) -> str:
    if any(c in value for c in ',"\r\n'):
        return '"' + value.replace('"', '""') + '"'
    return value
