"""Everything the store has of one person: rows by following references, and the files he handed in.

What points at a person, at an attempt of his, or at a grade of those, is his; new tables come along
by themselves. For the learner himself rows that tell a mark, and notes for the instructor, are left
out, since what he may see of them is asked of the gate. Knows references between tables; must know
no meaning of a mark.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, LargeBinary, Row, Table, select

from trainer.base.errors import TrainerError
from trainer.classroom.keeping import fetch
from trainer.classroom.people import Person
from trainer.store import tables as t

#: Tables whose rows belong to whoever they point at; what they point at otherwise is not his.
_OWNED = (t.person, t.attempt, t.grade)
#: Columns that are for the instructor, and may name other learners.
NOTES = {t.attempt.name: ("flags", "checked")}
#: What a learner's own copy may hold of his attempts; anything else that points at them can tell
#: a mark, a table yet to come as well.
_PLAIN_OF_ATTEMPT = (t.attempt.name, t.receipt.name)
#: Bindings of one statement; SQLite's own bound is higher.
_AT_ONCE = 500

Rows = dict[str, list[dict[str, Any]]]


@dataclass(frozen=True)
class Belongings:
    """Rows by table; digests of his files."""

    rows: Rows
    files: tuple[str, ...]


def belongings(connection: Connection, person: Person, for_learner: bool = False) -> Belongings:
    """All that is of this person; ``for_learner`` without what tells marks or is not for him."""
    every = rows_of(connection, person.id)
    mine = _for_learner(every) if for_learner else every
    mine["place"] = _places(connection, person.id)
    mine["audit"] = _trail(connection, [person.id] if for_learner else _ids(every))
    lost = quarantined(connection, person, [row["public"] for row in every.get("key", [])])
    mine["quarantine"] = [dict(row._mapping) for row in lost]
    files = [row["file_digest"] for row in every.get("attempt", [])]
    return Belongings(mine, (*files, *(row.digest for row in lost)))


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


def _for_learner(rows: Rows) -> Rows:
    """Rows that tell no mark, without notes for the instructor."""
    out: Rows = {}
    for name, mine in rows.items():
        table = t.metadata.tables[name]
        targets = {key.column.table for key in table.foreign_keys}
        if name in _PLAIN_OF_ATTEMPT or not targets & {t.attempt, t.grade}:
            hidden = NOTES.get(name, ())
            out[name] = [{k: v for k, v in row.items() if k not in hidden} for row in mine]
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


def _ids(rows: Mapping[str, list[dict[str, Any]]]) -> list[str]:
    found = (row.get("id") for mine in rows.values() for row in mine)
    return [row_id for row_id in found if isinstance(row_id, str)]


def _trail(connection: Connection, subjects: Sequence[str]) -> list[dict[str, Any]]:
    """What was noted of these rows, in order."""
    found: list[dict[str, Any]] = []
    for some in _portions(subjects):
        query = select(t.audit).where(t.audit.c.subject.in_(some))
        found += [dict(row._mapping) for row in connection.execute(query)]
    return sorted(found, key=lambda row: int(row["n"]))


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
        return fetch(connection, digest)
    except TrainerError:
        return b""
