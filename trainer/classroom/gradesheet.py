"""The gradebook as a table of cells: long, wide, or filled into a file from elsewhere.

Knows columns; must know no rule of marking and write no file.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from trainer.base.errors import NotFoundError, TrainerError, quoted
from trainer.base.textfile import shown_name
from trainer.classroom.csvout import Cell, Piece, pieces, replaced
from trainer.classroom.gradebook import GRADED, YES, Entry
from trainer.classroom.stamps import iso

MINUTE_MS = 60_000
FULL = 100
COLUMNS = (
    "learner_id", "external_id", "given_name", "family_name", "email", "section", "assignment",
    "attempt", "status", "score", "max_score", "percent", "verdict", "critical_count",
    "late_minutes", "hints_used", "duration_s", "graded_at", "released", "override",
)  # fmt: skip
#: Columns that tell of a mark: blank for learners until it is shown to them.
OF_MARKS = (
    "score", "percent", "verdict", "critical_count", "hints_used", "graded_at", "override",
)  # fmt: skip
_WHO = 5


def row_of(entry: Entry) -> list[Cell]:
    """The cells of ``COLUMNS``; what is not there is blank, never 0."""
    who = entry.who
    cells: list[Cell] = [
        who.learner_id, who.external_id, who.given_name, who.family_name, who.email,
        "; ".join(who.sections), entry.assignment,
    ]  # fmt: skip
    a, mark = entry.attempt, entry.mark
    cells += [a.no if a else None, entry.status]
    score = Decimal(mark.shown) if mark else None
    cells += [score, FULL if mark else None, score, mark.verdict if mark else ""]
    cells += [len(mark.critical) if mark else None]
    cells += [-(-a.late_ms // MINUTE_MS) if a else None, mark.hints if mark else None]
    cells += [max(0, a.ended_ms - a.started_ms) // 1000 if a else None]
    return [*cells, iso(mark.graded_ms) if mark else "", entry.released, entry.overridden]


@dataclass(frozen=True)
class Wide:
    header: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


def wide(books: Sequence[Sequence[Entry]]) -> Wide:
    """One row for each learner, two columns for each assignment: the score, and what it is."""
    names = [book[0].assignment for book in books if book]
    by_person: dict[str, dict[str, Entry]] = {}
    for entry in (entry for book in books for entry in book):
        by_person.setdefault(entry.who.id, {})[entry.assignment] = entry
    header = list(COLUMNS[: _WHO + 1])
    for name in names:
        header += [name, f"{name} status"]
    rows = []
    for own in by_person.values():
        cells = row_of(next(iter(own.values())))[: _WHO + 1]
        for name in names:
            cells += _two(own.get(name))
        rows.append(tuple(cells))
    rows.sort(key=lambda row: str(row[0]))
    return Wide(tuple(header), tuple(rows))


def _two(entry: Entry | None) -> list[Cell]:
    return [row_of(entry)[COLUMNS.index("score")], _status(entry)] if entry else [None, ""]


def _status(entry: Entry) -> str:
    """The status, and of a mark whether it is shown."""
    if entry.status != GRADED:
        return entry.status
    return GRADED if entry.released == YES else f"{GRADED}, released: {entry.released}"


# --- a gradebook file of another program ----------------------------------------------------------

IDS = ("learner_id", "external_id", "email")


@dataclass(frozen=True)
class Filled:
    """``text`` is the file with its column filled; learner ids of what could not be put in."""

    text: str
    filled: tuple[str, ...]
    absent: tuple[str, ...]
    held_back: tuple[str, ...]
    unknown_rows: int


def fill(
    text: str, name: str, book: Iterable[Entry], id_column: str, column: str, every: bool = False
) -> Filled:
    """Scores into one column of a file, matched by learner id, external id or e-mail.

    A score that is not released is held back unless ``every``: such a file is shown to learners.
    A row without a score keeps its cell. Raises NotFoundError for a column that is not there,
    TrainerError for a file in which nobody or somebody twice can be found.
    """
    rows = pieces(text, shown_name(name))
    header = [piece.value.strip() for piece in rows[0]] if rows else []
    by_id, target = _column(header, id_column, name), _column(header, column, name)
    found, everyone = _rows(rows[1:], by_id, name), list(book)
    kind = max(IDS, key=lambda k: sum(_key(getattr(e.who, k)) in found for e in everyone))
    keys = {entry.who.id: _key(getattr(entry.who, kind)) for entry in everyone}
    if not found.keys() & keys.values():
        what = f"no learner of this class is found under {quoted(id_column)}"
        raise TrainerError(what, shown_name(name), "the column of learner ids or e-mails")
    changes: dict[Piece, Cell] = {}
    filled, absent, held = [], [], []
    for entry in everyone:
        row, learner = found.get(keys[entry.who.id]), entry.who.learner_id
        if entry.mark is None:
            continue
        if entry.released != YES and not every:
            held.append(learner)
        elif row is None or target >= len(row):
            absent.append(learner)
        else:
            changes[row[target]] = Decimal(entry.mark.shown)
            filled.append(learner)
    others = len(found.keys() - keys.values())
    return Filled(replaced(text, changes), tuple(filled), tuple(absent), tuple(held), others)


def _column(header: Sequence[str], wanted: str, name: str) -> int:
    places = [n for n, heading in enumerate(header) if heading == wanted]
    if len(places) == 1:
        return places[0]
    listed = ", ".join(quoted(h) for h in header[:12] if h)
    what = "is there more than once" if places else "is not there"
    raise NotFoundError(f"the column {quoted(wanted)} {what}", shown_name(name), f"one of {listed}")


def _key(text: str) -> str:
    """An e-mail is the same whatever its capitals; an id is not."""
    bare = text.strip()
    return bare.casefold() if "@" in bare else bare


def _rows(rows: Sequence[list[Piece]], by_id: int, name: str) -> dict[str, list[Piece]]:
    """Rows by what stands in the id column."""
    found: dict[str, list[Piece]] = {}
    for n, row in enumerate(rows, 2):
        key = _key(row[by_id].value) if by_id < len(row) else ""
        if key and key in found:
            where = f"{shown_name(name)}: row {n}"
            raise TrainerError(f"{quoted(key)} stands in two rows", where, "one row for each")
        if key:
            found[key] = row
    return found
