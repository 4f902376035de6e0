"""Looks a store through: its file, its schema, its guards, the bytes it keeps.

Knows what must hold of any store; must know no rule of a class. Changes nothing.
"""

from __future__ import annotations

import hashlib
import os
import stat
import zlib
from collections.abc import Iterator
from dataclasses import dataclass

from sqlalchemy import Connection, MetaData, Table, func, inspect, select

from trainer.store import guards
from trainer.store.database import Store
from trainer.store.schema import VERSION_TABLE, require_current, revision_of
from trainer.store.tables import blob, metadata

#: Findings of one kind that are spelt out.
SHOWN = 20
#: Longest bytes that one blob may unpack to.
UNPACKED_MOST = 1 << 30


@dataclass(frozen=True)
class Checked:
    """``findings`` are sentences; none means that all is well."""

    revision: str
    rows: dict[str, int]
    findings: tuple[str, ...]


def check(store: Store) -> Checked:
    """Everything wrong that can be seen without changing anything."""
    findings = list(_rights(store))
    with store.reading() as connection:
        revision = revision_of(connection, store.shown)
        require_current(revision, store.shown)
        if store.is_sqlite:
            findings += _file(connection)
        findings += differences(connection, metadata)
        findings += _guards(connection)
        if not findings:
            findings += _blobs(connection)
        rows = {} if findings else {t.name: _count(connection, t) for t in metadata.sorted_tables}
    return Checked(revision, rows, tuple(findings))


def differences(connection: Connection, wanted: MetaData) -> list[str]:
    """What the database's tables are and ``wanted`` is not, or the other way."""
    inspector = inspect(connection)
    there = set(inspector.get_table_names()) - {VERSION_TABLE}
    names = {t.name for t in wanted.sorted_tables}
    found = [f"table {name} is missing" for name in sorted(names - there)]
    found += [f"table {name} is not known" for name in sorted(there - names)]
    for table in wanted.sorted_tables:
        if table.name not in there:
            continue
        columns = {c["name"]: bool(c["nullable"]) for c in inspector.get_columns(table.name)}
        meant = {c.name: bool(c.nullable) for c in table.columns}
        if columns != meant:
            found.append(f"the columns of {table.name} are not those of this program")
        missing = {str(c.name) for c in table.constraints if c.name} - _constraints(
            inspector, table.name
        )
        found += [f"{table.name} lacks its constraint {name}" for name in sorted(missing)]
    return found


def _constraints(inspector: object, table: str) -> set[str]:
    asked = ("get_unique_constraints", "get_foreign_keys", "get_check_constraints")
    rows = [row for ask in asked for row in getattr(inspector, ask)(table)]
    rows.append(getattr(inspector, "get_pk_constraint")(table))  # noqa: B009
    return {str(row["name"]) for row in rows}


def _rights(store: Store) -> Iterator[str]:
    if not store.is_sqlite or os.name != "posix":
        return
    mode = stat.S_IMODE(os.stat(store.shown).st_mode) if os.path.exists(store.shown) else 0o600
    if mode & 0o077:
        yield f"others on this machine can read the file (mode {mode:03o}): chmod 600 it"


def _file(connection: Connection) -> list[str]:
    rows = connection.exec_driver_sql(f"pragma integrity_check({SHOWN})").all()
    found = [f"the file is damaged: {row[0]}" for row in rows if row[0] != "ok"]
    loose = connection.exec_driver_sql("pragma foreign_key_check").all()
    found += [f"row {row[1]} of {row[0]} points to no row of {row[2]}" for row in loose[:SHOWN]]
    return found


def _guards(connection: Connection) -> list[str]:
    there, wanted = guards.present(connection), guards.wanted(connection)
    missing = sorted({table for _, table in wanted - there})
    return [f"rows of {table} are not guarded against changes" for table in missing]


def _blobs(connection: Connection) -> list[str]:
    """Kept bytes are what their digest says; emptied ones belonged to an erased person."""
    query = select(blob.c.digest, blob.c.size, blob.c.packed).order_by(blob.c.digest)
    options = {"stream_results": True, "max_row_buffer": 20}
    wrong = []
    for digest, size, packed in connection.execute(query, execution_options=options):
        if not (size == 0 and not packed) and _unpacked_digest(packed, size) != digest:
            wrong.append(digest)
    return [f"the bytes kept as {digest[:16]} are not those bytes" for digest in wrong[:SHOWN]]


def _unpacked_digest(packed: bytes, size: int) -> str:
    """Never unpacks more than was said to be in it."""
    if size > UNPACKED_MOST:
        return ""
    unpacker = zlib.decompressobj()
    try:
        content = unpacker.decompress(packed, size + 1)
    except zlib.error:
        return ""
    return hashlib.sha256(content).hexdigest() if len(content) == size and unpacker.eof else ""


def _count(connection: Connection, table: Table) -> int:
    return int(connection.execute(select(func.count()).select_from(table)).scalar_one())
