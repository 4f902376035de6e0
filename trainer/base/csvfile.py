"""Reads a CSV file somebody wrote: a header of names, then rows as long as the header.

Faults are gathered with line and column, to be told together with those of content. Rows that are
blank from end to end are passed over, as spreadsheets leave them behind. Knows commas and quotes;
must know no column's meaning.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from trainer.base.errors import Fault, Faults, quoted
from trainer.base.textfile import read_text, shown_name

COLUMNS_MOST = 500
ROWS_MOST = 20_000


@dataclass(frozen=True)
class Row:
    """The cells of one row, without spaces around them, and the line it begins on."""

    line: int
    cells: tuple[str, ...]


@dataclass
class Table:
    """The header and the rows that have its length; ``faults`` found so far."""

    name: str
    header: tuple[str, ...]
    header_line: int = 1
    rows: list[Row] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    #: Rows of another length, which are told and left out.
    ragged: int = 0

    def column(self, name: str) -> int | None:
        """The place of the column with this heading, whatever its capitals."""
        wanted = name.casefold()
        found = (n for n, heading in enumerate(self.header) if heading.casefold() == wanted)
        return next(found, None)

    def where(self, line: int, column: int | None = None) -> str:
        """``file:line  column 3 ('torque')``; columns are counted from 1 as in a spreadsheet."""
        place = f"{self.name}:{line}"
        if column is None:
            return place
        return f"{place}  column {column + 1} ({quoted(self.header[column])})"

    def fault(
        self, what: str, write: str, line: int | None = None, column: int | None = None
    ) -> None:
        """Notes a fault; without a line it is one of the header."""
        place = self.where(self.header_line if line is None else line, column)
        self.faults.append(Fault(place, what, write))

    def settle(self) -> None:
        """Raises Faults with everything that was found wrong, by line."""
        if self.faults:
            raise Faults(sorted(self.faults, key=self._line))

    def _line(self, fault: Fault) -> int:
        number = fault.where[len(self.name) + 1 :].split(" ", 1)[0]
        return int(number) if number.isdigit() else 0


def read(path: str | Path) -> Table:
    """The table, with its faults in it. Raises when there is no header to go on with."""
    return table_of(read_text(path, "a CSV file"), shown_name(path))


def table_of(text: str, name: str) -> Table:
    """As ``read``, of a text."""
    rows = _rows(text, name)
    first = next(rows, None)
    if first is None:
        raise Faults([Fault(name, "the file is empty", "a header line of names, then the rows")])
    table = Table(name, first.cells, first.line)
    _check_header(table)
    for row in rows:
        if len(table.rows) == ROWS_MOST:
            table.fault(f"there are more than {ROWS_MOST} rows", "a smaller file", row.line)
            break
        if len(row.cells) == len(table.header):
            table.rows.append(row)
        else:
            _ragged(table, row)
    if not table.rows and not table.faults:
        table.fault("there is a header and no row below it", "a row for each")
    return table


def _rows(text: str, name: str) -> Iterator[Row]:
    """Rows that are not blank. Raises Faults at the first quote that is out of order."""
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    before = 0
    try:
        for cells in reader:
            line, before = before + 1, reader.line_num
            bare = tuple(cell.strip() for cell in cells)
            if any(bare):
                yield Row(line, bare)
    except csv.Error as error:
        raise Faults([_broken(error, f"{name}:{before + 1}")]) from None


def _broken(error: csv.Error, where: str) -> Fault:
    """The parser's complaint in plain words."""
    problem = str(error)
    if "unexpected end of data" in problem:
        return Fault(where, "a quote is opened here and never closed", "the closing quote")
    if "expected after" in problem:
        what = "letters follow a closing quote"
        return Fault(where, what, 'a comma after it, and a quote inside quotes twice ("")')
    if "field larger" in problem:
        return Fault(where, "a cell is far too long", "a shorter cell, or the closing quote")
    return Fault(where, f"the row cannot be read: {problem}", "cells parted by commas")


def _check_header(table: Table) -> None:
    """Every column has a name of its own."""
    header, line = table.header, table.header_line
    if len(header) == 1 and ";" in header[0]:
        what = "the columns are parted by semicolons"
        raise Faults([Fault(table.where(line), what, "commas between the cells")])
    if len(header) > COLUMNS_MOST:
        what = f"there are more than {COLUMNS_MOST} columns"
        raise Faults([Fault(table.where(line), what, "a smaller table")])
    seen: dict[str, int] = {}
    for n, heading in enumerate(header):
        known = seen.setdefault(heading.casefold(), n)
        if not heading:
            table.fault("the column has no name", "a name in the header line", line, n)
        elif known != n:
            what = f"the name stands over column {known + 1} too"
            table.fault(what, "another name", line, n)


def _ragged(table: Table, row: Row) -> None:
    count, wanted = len(row.cells), len(table.header)
    what = f"the row has {count} cells and the header {wanted}"
    write = f"{wanted} cells, with quotes around one that holds a comma"
    table.fault(what, write, row.line)
    table.ragged += 1
