"""Copies a whole store into an empty one, SQLite or PostgreSQL either way, and proves it.

Works on tables as they stand in the source, so that a store of any revision can be copied. Every
table's rows are digested on both sides in the order of their keys, inside the transaction that
wrote them. Knows rows and types; must know no table's meaning.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from sqlalchemy import (
    JSON,
    Column,
    Connection,
    Integer,
    MetaData,
    RowMapping,
    Table,
    Text,
    collate,
    func,
    insert,
    select,
)
from sqlalchemy.exc import DBAPIError

from trainer.base.errors import ConflictError, NotFoundError, UsageError
from trainer.store.database import Store
from trainer.store.failing import StoreError
from trainer.store.schema import EMPTY, VERSION_TABLE, require_known, state_of

#: Rows held at once; a hand-in's blob may have megabytes.
BATCH = 50


@dataclass(frozen=True)
class Copied:
    """A table's rows and the SHA-256 over all of them."""

    table: str
    rows: int
    digest: str


def copy(source: Store, target: Store) -> tuple[Copied, ...]:
    """All rows or none; the target must hold none before."""
    if source.url == target.url:
        raise UsageError("a store is not copied into itself", source.shown)
    revision = copyable(source, target)
    if state_of(target) == EMPTY:
        from trainer.store.upgrading import upgrade

        upgrade(target, revision)
    with source.reading() as left, target.writing() as right:
        into = tables_of(right)
        return tuple(_copied(left, right, table, into, target) for table in tables_of(left))


def copyable(source: Store, target: Store) -> str:
    """The revision to copy; refuses a target that holds anything or is of another revision."""
    revision = state_of(source)
    if revision == EMPTY:
        raise NotFoundError("there is no class store to copy", source.shown)
    require_known(revision, source.shown)
    there = state_of(target)
    if there not in (EMPTY, revision):
        what = f"the target has schema {there}, the source {revision}"
        raise ConflictError(what, target.shown, "copy into an empty database")
    with target.reading() as connection:
        full = [t.name for t in tables_of(connection) if _count(connection, t)]
    if full:
        what = f"the target already holds rows (in {', '.join(full[:3])})"
        raise ConflictError(what, target.shown, "copy into an empty database; nothing was changed")
    return revision


def digests(connection: Connection) -> tuple[Copied, ...]:
    """Rows and digest of every table."""
    return tuple(_digested(connection, table) for table in tables_of(connection))


def tables_of(connection: Connection) -> list[Table]:
    """The tables that are there, what is pointed at first; without the schema's own number."""
    found = MetaData()
    found.reflect(connection)
    return [table for table in found.sorted_tables if table.name != VERSION_TABLE]


def _copied(
    left: Connection, right: Connection, table: Table, into: list[Table], target: Store
) -> Copied:
    there = next(t for t in into if t.name == table.name)
    done = 0
    for batch in _batches(left, table):
        try:
            right.execute(insert(there), [dict(row) for row in batch])
        except (DBAPIError, ValueError) as error:
            cause = str(getattr(error, "orig", error)).strip().splitlines()[0][:200]
            what = f"rows {done + 1} to {done + len(batch)} of {table.name} do not fit: {cause}"
            raise StoreError(what, target.shown, "nothing was copied") from None
        done += len(batch)
    _continue_numbers(right, there)
    before, after = _digested(left, table), _digested(right, there)
    if before != after:
        what = f"{table.name} reads otherwise after the copy than before"
        raise StoreError(what, target.shown, "nothing was copied; check the source")
    return after


def _continue_numbers(connection: Connection, table: Table) -> None:
    """PostgreSQL counts numbered rows apart from the rows."""
    keys = list(table.primary_key.columns)
    if (
        connection.dialect.name == "sqlite"
        or len(keys) != 1
        or not isinstance(keys[0].type, Integer)
    ):
        return
    last = connection.execute(select(func.max(keys[0]))).scalar()
    if last is not None:
        sequence = func.pg_get_serial_sequence(table.name, keys[0].name)
        connection.execute(select(func.setval(sequence, last)))


def _numbered(keys: list[Column[Any]]) -> bool:
    return len(keys) == 1 and isinstance(keys[0].type, Integer)


def _count(connection: Connection, table: Table) -> int:
    return int(connection.execute(select(func.count()).select_from(table)).scalar_one())


def _batches(connection: Connection, table: Table) -> Iterator[list[RowMapping]]:
    """Rows in the order of their keys, the same on both databases."""
    byte_order = connection.dialect.name != "sqlite"
    order = [
        collate(c, "C") if byte_order and isinstance(c.type, Text) else c
        for c in table.primary_key.columns
    ]
    options = {"stream_results": True, "max_row_buffer": BATCH}
    result = connection.execute(select(table).order_by(*order), execution_options=options)
    yield from (list(part) for part in result.mappings().partitions(BATCH))


def _digested(connection: Connection, table: Table) -> Copied:
    digest, rows = hashlib.sha256(), 0
    columns = sorted(table.columns, key=lambda c: str(c.name))
    for batch in _batches(connection, table):
        for row in batch:
            rows += 1
            for column in columns:
                kept = _canonical(row[column.name], isinstance(column.type, JSON))
                digest.update(b"%d:%s" % (len(kept), kept))
    return Copied(table.name, rows, digest.hexdigest())


def _canonical(value: Any, is_json: bool) -> bytes:
    """A value as bytes that do not depend on the database."""
    if is_json:
        return b"j" + json.dumps(_ordered(value), sort_keys=True, ensure_ascii=False).encode()
    if value is None:
        return b"n"
    if isinstance(value, (bytes, memoryview)):
        return b"b" + hashlib.sha256(value).digest()
    if isinstance(value, str):
        return b"t" + value.encode("utf-8", "surrogatepass")
    return b"i" + _number(value).encode()


def _ordered(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {str(k): _ordered(v) for k, v in value.items()}
    if isinstance(value, list):
        return [_ordered(v) for v in value]
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return {"number": _number(value)}
    return value


def _number(value: int | float) -> str:
    """JSONB writes 1e+22 as a whole number: the same value must have the same digits."""
    sign, digits, exponent = Decimal(str(value)).as_tuple()
    text = "".join(map(str, digits)).lstrip("0")
    short = text.rstrip("0")
    if not short:
        return "0"
    return f"{'-' if sign else ''}{short}e{int(exponent) + len(text) - len(short)}"
