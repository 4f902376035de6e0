"""Everything the store has of one person: rows by following references, and the files he handed in.

What points at a person, at an attempt of his, or at a grade of those, is his; new tables come along
by themselves. Marks that were not released and notes for the instructor are left out unless asked
for. Knows references between tables; must know no meaning of a mark.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, LargeBinary, Row, Table, select

from trainer.base.errors import TrainerError
from trainer.classroom.people import Person
from trainer.store import tables as t

#: Tables whose rows belong to whoever they point at; what they point at otherwise is not his.
_OWNED = (t.person, t.attempt, t.grade)
#: Columns that are for the instructor, and may name other learners.
NOTES = {t.attempt.name: ("flags", "checked")}
#: Bytes of one kept file that are ever inflated.
FILE_MOST = 100_000_000
#: Bindings of one statement; SQLite's own bound is higher.
_AT_ONCE = 500

Rows = dict[str, list[dict[str, Any]]]


@dataclass(frozen=True)
class Belongings:
    """Rows by table; digests of his files; how many attempts have marks that were left out."""

    rows: Rows
    files: tuple[str, ...]
    withheld: int


def belongings(
    connection: Connection, person: Person, may_see: Callable[[str], bool] | None = None
) -> Belongings:
    """All that is of this person; ``may_see`` tells of an attempt's id whether its marks are shown.

    Without it everything is taken, also what the learner must not see yet.
    """
    mine = rows_of(connection, person.id)
    attempts = [row["id"] for row in mine.get("attempt", [])]
    closed = {a for a in attempts if may_see is not None and not may_see(a)}
    if may_see is not None:
        mine = _shown(mine, closed)
    mine["place"] = _places(connection, person.id)
    mine["audit"] = _trail(connection, mine, closed)
    lost = quarantined(connection, person, _keys(mine))
    mine["quarantine"] = [dict(row._mapping) for row in lost]
    files = [row["file_digest"] for row in mine.get("attempt", [])] + [row.digest for row in lost]
    marked = {row["attempt_id"] for row in rows_of(connection, person.id).get("grade", [])}
    return Belongings(mine, tuple(files), len(closed & marked))


def rows_of(connection: Connection, person_id: str) -> Rows:
    """The person's row and every row that is his by reference, by table."""
    owned: dict[Table, list[str]] = {t.person: [person_id]}
    found: Rows = {}
    for table in t.metadata.sorted_tables:
        columns = [
            (column, key.column.table)
            for column in table.columns
            for key in column.foreign_keys
            if key.column.table in _OWNED and key.column.table in owned
        ]
        if table is t.person:
            columns = [(t.person.c.id, t.person)]
        rows: dict[Any, dict[str, Any]] = {}
        for column, target in columns:
            for ids in _portions(owned[target]):
                for row in connection.execute(_plain(table).where(column.in_(ids))):
                    rows[row[0]] = dict(row._mapping)
        if rows:
            found[table.name] = list(rows.values())
            if table in _OWNED:
                owned[table] = [row["id"] for row in rows.values()]
    return found


def _plain(table: Table) -> Any:
    """Columns that JSON can hold; bytes are handed out as files."""
    return select(*(c for c in table.columns if not isinstance(c.type, LargeBinary)))


def _portions(ids: Sequence[str]) -> Iterator[Sequence[str]]:
    for start in range(0, len(ids), _AT_ONCE):
        yield ids[start : start + _AT_ONCE]


def _shown(rows: Rows, closed: set[str]) -> Rows:
    """Rows without marks of closed attempts and without notes for the instructor."""
    grades = {row["id"] for row in rows.get("grade", []) if row["attempt_id"] in closed}
    out: Rows = {}
    for name, mine in rows.items():
        kept = [
            {k: v for k, v in row.items() if k not in NOTES.get(name, ())}
            for row in mine
            if name in ("receipt", "attempt")
            or not (row.get("attempt_id") in closed or row.get("grade_id") in grades)
        ]
        if kept:
            out[name] = kept
    return out


def _places(connection: Connection, person_id: str) -> list[dict[str, Any]]:
    """Classes and sections by name, since an enrolment holds ids."""
    query = (
        select(t.course.c.name.label("class"), t.section.c.name.label("section"),
               t.enrolment.c.active)
        .select_from(t.enrolment.join(t.section).join(t.course))
        .where(t.enrolment.c.person_id == person_id)
    )  # fmt: skip
    return [dict(row._mapping) for row in connection.execute(query)]


def _trail(connection: Connection, rows: Rows, closed: set[str]) -> list[dict[str, Any]]:
    """What was noted of him and of what is his, but for what tells of closed marks."""
    ids = [row["id"] for mine in rows.values() for row in mine if isinstance(row.get("id"), str)]
    subjects = [i for i in ids if i not in closed]
    found: list[dict[str, Any]] = []
    for some in _portions(subjects):
        query = select(t.audit).where(t.audit.c.subject.in_(some))
        found += [dict(row._mapping) for row in connection.execute(query)]
    return sorted(found, key=lambda row: int(row["n"]))


def _keys(rows: Mapping[str, list[dict[str, Any]]]) -> list[str]:
    return [row["public"] for row in rows.get("key", [])]


def quarantined(connection: Connection, person: Person, keys: Sequence[str]) -> list[Row[Any]]:
    """Rows of quarantine whose file says it is his, or carries a key of his.

    One whose id was damaged on the way cannot be told for his.
    """
    aliases = select(t.person_alias.c.alias).where(t.person_alias.c.person_id == person.id)
    ids = [re.escape(i.encode()) for i in (person.learner_id, *connection.scalars(aliases))]
    said = re.compile(rb'"learner(?:_id)?"\s*:\s*"(?:%s)"' % b"|".join(ids))
    found = []
    for row in connection.execute(select(t.quarantine)).all():
        content = _readable(connection, row.digest)
        if said.search(content) or any(key.encode() in content for key in keys):
            found.append(row)
    return found


def _readable(connection: Connection, digest: str) -> bytes:
    try:
        return file_of(connection, digest)
    except TrainerError:
        return b""


def file_of(connection: Connection, digest: str) -> bytes:
    """The bytes of a kept file; empty when they were erased. Raises when they do not inflate."""
    query = select(t.blob.c.size, t.blob.c.packed).where(t.blob.c.digest == digest)
    size, packed = connection.execute(query).one()
    if not packed:
        return b""
    inflating = zlib.decompressobj()
    try:
        content = inflating.decompress(packed, min(size, FILE_MOST) + 1)
    except zlib.error:
        content = b""
    if len(content) != size:
        hint = "restore a backup (condenser-bench class db restore)"
        raise TrainerError("a kept file is damaged in the store", digest, hint)
    return content
