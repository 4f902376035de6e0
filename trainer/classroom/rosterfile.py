"""A roster as a CSV file: which column is which, and every row below as text.

Order of columns is free, capitals do not matter, unknown columns are told and passed over. A file
is UTF-8, with or without a byte order mark; Windows-1252 only when asked for, and then told. Knows
commas, headings and encodings; must not judge a cell.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from trainer.base.csvfile import Table, table_of
from trainer.base.errors import Fault, Faults, TrainerError, quoted
from trainer.base.textfile import UTF_8, content_of, shown_name, text_of
from trainer.classroom.entries import ACCOMMODATION, COLUMNS, EXTERNAL, LEARNER_ID, Raw, Refusal

CP1252 = "cp1252"
ENCODINGS = ("utf-8", CP1252)
_PREVIEWED = 20


@dataclass(frozen=True)
class Source:
    """What a file gave: its rows, rows that are none, and what to tell of it."""

    rows: tuple[Raw, ...]
    refusals: tuple[Refusal, ...] = ()
    notices: tuple[str, ...] = ()
    #: Rows with letters beyond ASCII of a file that was not UTF-8, for a person to look at.
    preview: tuple[str, ...] = ()


def read_csv(path: str | Path, encoding: str = "utf-8", id_column: str = LEARNER_ID) -> Source:
    """The rows of a roster file. Raises when it is no CSV file with the columns needed."""
    name = shown_name(path)
    content = content_of(path, "a CSV file")
    table = table_of(decoded(content, name, encoding), name)
    _settle_header(table)
    found = {column: table.column(column) for column in (*COLUMNS, EXTERNAL)}
    found[LEARNER_ID] = table.column(id_column)
    if found[LEARNER_ID] is None:
        what = f"there is no column {id_column}"
        raise Faults([Fault(table.where(table.header_line), what, f"{id_column} in the header")])
    places = {column: n for column, n in found.items() if n is not None}
    headings = {c: f"column {n + 1} ({quoted(table.header[n])})" for c, n in places.items()}
    rows = tuple(
        Raw(table.where(row.line), {c: row.cells[n] for c, n in places.items()}, headings)
        for row in table.rows
    )
    refusals = tuple(Refusal(f.where, f.what, f"write {f.write}") for f in table.faults)
    notices = [*_unknown(table, set(places.values()))]
    if encoding == CP1252:
        return as_cp1252(Source(rows, refusals, tuple(notices)), name)
    return Source(rows, refusals, tuple(notices))


def decoded(content: bytes, name: str, encoding: str) -> str:
    """The bytes as text in the encoding asked for; never guessed."""
    if encoding == CP1252:
        if not content.isascii() and _is_utf8(content):
            what = "the file is UTF-8, and read as Windows-1252 its accents would be spoilt"
            raise TrainerError(what, name, "leave --encoding out")
        return text_of(content, name, CP1252)
    if not _is_utf8(content) and not content.startswith((b"\xff\xfe", b"\xfe\xff")):
        try:
            return text_of(content, name, UTF_8)
        except TrainerError as error:
            hint = "save it as UTF-8, or read it with --encoding cp1252 and look at the names"
            raise TrainerError(error.what, error.where, hint) from None
    return text_of(content, name, UTF_8)


def _is_utf8(content: bytes) -> bool:
    try:
        content.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return True


def _settle_header(table: Table) -> None:
    """Faults of the header are of the whole file; what is left in the table is of rows."""
    head = table.where(table.header_line)
    mine = [f for f in table.faults if f.where == head or f.where.startswith(head + " ")]
    if mine:
        raise Faults(mine)


def _unknown(table: Table, known: set[int]) -> list[str]:
    others = [quoted(h) for n, h in enumerate(table.header) if n not in known]
    return [f"{table.name}: columns passed over: {', '.join(others)}"] if others else []


def as_cp1252(source: Source, name: str) -> Source:
    """The same with a notice, and the rows beyond ASCII to look at but for accommodations."""
    odd = [
        f"{row.place}  {' '.join(t for c, t in row.cells.items() if t and c != ACCOMMODATION)}"
        for row in source.rows
        if not "".join(row.cells.values()).isascii()
    ]
    more = [f"and {len(odd) - _PREVIEWED} more"] if len(odd) > _PREVIEWED else []
    notice = f"{name} was read as Windows-1252, not UTF-8: look at the names"
    preview = (*odd[:_PREVIEWED], *more)
    return replace(source, notices=(*source.notices, notice), preview=preview)
