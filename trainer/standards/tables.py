"""CSV files of instructors to numbers: judges' estimates, ratings with scores, points by item.

Everything wrong in a file is told at once with line and column. Knows columns and ranges; must
know no formula.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from trainer.base.csvfile import Row, Table, read
from trainer.base.errors import quoted
from trainer.standards.angoff import JUDGES_LEAST
from trainer.standards.borderline import LEARNERS_LEAST, RATINGS
from trainer.standards.exact import Number

JUDGES_MOST = 500
#: What stands under the first heading of the row that says what each item can give.
OUT_OF = "out of"
VARIANT = "variant"

_ANY_MOST = 10**9
#: Digits enough for any mark, few enough to stay cheap.
_NUMBER = re.compile(r"[-+]?([0-9]{1,9}(\.[0-9]{0,9})?|\.[0-9]{1,9})")


@dataclass(frozen=True)
class AngoffTable:
    judges: tuple[str, ...]
    items: tuple[str, ...]
    estimates: tuple[tuple[Number, ...], ...]


@dataclass(frozen=True)
class BorderlineTable:
    learners: tuple[str, ...]
    ratings: tuple[Number, ...]
    scores: tuple[Number, ...]
    #: How many raters a column ``rater`` names; None without one.
    raters: int | None


@dataclass(frozen=True)
class ItemTable:
    """Points of learners by item; ``never`` are items with an empty column, left out of both."""

    learners: tuple[str, ...]
    items: tuple[str, ...]
    points: tuple[tuple[Number, ...], ...]
    out_of: tuple[Number, ...]
    never: tuple[str, ...]
    variants: tuple[str, ...]


def angoff_table(path: str | Path) -> AngoffTable:
    """First column the judge, then a column for each item with a chance from 0 to 1."""
    table = read(path)
    if len(table.header) < 2:
        table.fault("there is no column of an item", "the judge first, then a column for each item")
    judges = _names(table, 0, "judge")
    items = range(1, len(table.header))
    estimates = tuple(
        tuple(_bounded(table, row, j, 1, "a chance such as 0.65") for j in items)
        for row in table.rows
    )
    _enough(table, JUDGES_LEAST, "judges")
    if len(judges) > JUDGES_MOST:
        table.fault(f"there are more than {JUDGES_MOST} judges", "fewer rows")
    table.settle()
    return AngoffTable(judges, table.header[1:], estimates)


def borderline_table(path: str | Path) -> BorderlineTable:
    """Columns ``learner``, ``rating`` (1 to 5), ``score`` (0 to 100), perhaps ``rater``."""
    table = read(path)
    found = {name: table.column(name) for name in ("learner", "rating", "score", "rater")}
    for name in ("learner", "rating", "score"):
        if found[name] is None:
            table.fault(f"there is no column {name}", "learner,rating,score in the header line")
    for n, heading in enumerate(table.header):
        if n not in found.values():
            what = f"{quoted(heading)} is no column of this table"
            table.fault(what, "only learner, rating, score and perhaps rater", None, n)
    learners = _names(table, found["learner"], "learner")
    ratings = _values(table, found["rating"], _rating)
    scores = _values(table, found["score"], _score)
    raters = _raters(table, found["rater"])
    _enough(table, LEARNERS_LEAST, "learners")
    if len(ratings) > 1 and len(set(ratings)) == 1 and ratings[0] in RATINGS:
        what = "every learner has one and the same rating, so no line can be drawn"
        table.fault(what, "ratings that tell learners apart", None, found["rating"])
    table.settle()
    return BorderlineTable(learners, ratings, scores, raters)


def items_table(path: str | Path) -> ItemTable:
    """First column the learner, perhaps ``variant``, then a column for each item.

    Cells are 0 or 1, or from 0 to what the item can give where the first row says so: its first
    cell is ``out of``. A column that is empty for everybody is an item that was never triggered.
    """
    table = read(path)
    at = table.column(VARIANT)
    columns = [n for n in range(1, len(table.header)) if n != at]
    if not columns:
        table.fault("there is no column of an item", "the learner first, then a column for each")
    most = _out_of(table, columns)
    learners = _names(table, 0, "learner")
    never = [n for n in columns if table.rows and not any(row.cells[n] for row in table.rows)]
    used = [n for n in columns if n not in never]
    points = tuple(tuple(_points(table, row, n, most) for n in used) for row in table.rows)
    variants = tuple(_word(table, row, at, "variant") for row in table.rows) if at else ()
    if columns and not used:
        table.fault("every item's column is empty", "0 or 1 for what was triggered")
    _enough(table, 2, "learners")
    table.settle()
    return ItemTable(
        learners,
        tuple(table.header[n] for n in used),
        points,
        tuple(most.get(n, 1) for n in used),
        tuple(table.header[n] for n in never),
        variants,
    )


def _out_of(table: Table, columns: list[int]) -> dict[int, Number]:
    """What each item can give, taken off the rows; empty where the file does not say."""
    if not table.rows or table.rows[0].cells[0].casefold() != OUT_OF:
        return {}
    row = table.rows.pop(0)
    return {n: _item_gives(table, row, n) for n in columns}


def _item_gives(table: Table, row: Row, column: int) -> Number:
    """Where this is faulty the cells below are not held against it."""
    value = _number(table, row, column, "the points this item can give")
    if value is not None and value > 0:
        return value
    if value is not None:
        what = f"{quoted(row.cells[column])} is not above 0"
        table.fault(what, "a number above 0", row.line, column)
    return _ANY_MOST


def _points(table: Table, row: Row, column: int, most: dict[int, Number]) -> Number:
    if most:
        limit = most[column]
        return _bounded(table, row, column, limit, f"a number from 0 to {_plain(limit)}")
    text = row.cells[column]
    if text in ("0", "1"):
        return int(text)
    what = f"{quoted(text)} is not 0 or 1" if text else "the cell is empty"
    write = f"0 or 1, or say what each item can give in a first row that begins with {OUT_OF}"
    table.fault(what, write, row.line, column)
    return 0


def _plain(value: Number) -> str:
    return f"{float(value):g}"


def _names(table: Table, column: int | None, kind: str) -> tuple[str, ...]:
    """The names in a column, none of them twice."""
    if column is None:
        return ()
    seen: dict[str, int] = {}
    for row in table.rows:
        name = _word(table, row, column, kind)
        first = seen.setdefault(name, row.line)
        if name and first != row.line:
            what = f"{kind} {quoted(name)} is on line {first} too"
            table.fault(what, "each once", row.line, column)
    return tuple(seen)


def _word(table: Table, row: Row, column: int, kind: str) -> str:
    if not row.cells[column]:
        table.fault(f"the {kind} has no name", "a name or number of theirs", row.line, column)
    return row.cells[column]


def _raters(table: Table, column: int | None) -> int | None:
    if column is None:
        return None
    count = len({_word(table, row, column, "rater") for row in table.rows})
    if count > JUDGES_MOST:
        table.fault(f"there are more than {JUDGES_MOST} raters", "fewer", None, column)
    return count


Reader = Callable[[Table, Row, int], Number]


def _values(table: Table, column: int | None, reader: Reader) -> tuple[Number, ...]:
    return () if column is None else tuple(reader(table, row, column) for row in table.rows)


def _rating(table: Table, row: Row, column: int) -> Number:
    write = "a whole number from 1 (unsafe) to 5 (exemplary)"
    value = _number(table, row, column, write)
    if value is not None and value not in RATINGS:
        table.fault(f"{quoted(row.cells[column])} is no rating", write, row.line, column)
    return value or 0


def _score(table: Table, row: Row, column: int) -> Number:
    return _bounded(table, row, column, 100, "a score from 0 to 100")


def _bounded(table: Table, row: Row, column: int, most: Number, write: str) -> Number:
    value = _number(table, row, column, write)
    if value is not None and not 0 <= value <= most:
        what = f"{quoted(row.cells[column])} is outside 0 to {_plain(most)}"
        table.fault(what, write, row.line, column)
    return value or 0


def _number(table: Table, row: Row, column: int, write: str) -> Number | None:
    """The number in a cell; a fault and None when there is none."""
    text = row.cells[column]
    if not _NUMBER.fullmatch(text):
        what = f"{quoted(text)} is no number" if text else "the cell is empty"
        table.fault(what, write, row.line, column)
        return None
    value = Fraction(text)
    return value.numerator if value.denominator == 1 else value


def _enough(table: Table, least: int, what: str) -> None:
    """Rows that were refused for their length count too: they are told already."""
    rows = len(table.rows) + table.ragged
    if rows < least and (rows or not table.faults):
        table.fault(f"there are fewer than {least} {what}", "a row for each")
