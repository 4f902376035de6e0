"""Connections to the classroom's database: SQLite embedded, PostgreSQL by URL.

SQLite runs with WAL, foreign keys and a busy timeout, and everything that writes begins
IMMEDIATE: a deferred transaction that reads and then writes fails under load whatever the
timeout. Knows URLs and transactions; must know no table's meaning.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event

BUSY_MS = 60_000


@dataclass(frozen=True)
class Store:
    """An open database. ``reading`` and ``writing`` are the only ways to talk to it."""

    engine: Engine
    url: str

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """One consistent view; nothing is changed."""
        with self.engine.connect() as connection:
            yield connection
            connection.rollback()

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """All of it or nothing; one writer at a time on SQLite."""
        engine = self.engine.execution_options(begin="immediate")
        with engine.connect() as connection, connection.begin():
            yield connection

    def close(self) -> None:
        self.engine.dispose()


def connect(url: str) -> Store:
    """Open a database by URL; ``sqlite:///FILE`` or ``postgresql+psycopg://...``."""
    engine = create_engine(url, connect_args=_arguments(url))
    if engine.dialect.name == "sqlite":
        event.listen(engine, "connect", _prepared)
        event.listen(engine, "begin", _begun)
    return Store(engine, url)


def _arguments(url: str) -> dict[str, Any]:
    if not url.startswith("sqlite"):
        return {}
    return {"timeout": BUSY_MS / 1000.0, "isolation_level": None}


def _prepared(connection: Any, record: object) -> None:
    cursor = connection.cursor()
    for pragma in ("foreign_keys = on", "journal_mode = wal", "synchronous = full",
                   f"busy_timeout = {BUSY_MS}"):  # fmt: skip
        cursor.execute(f"pragma {pragma}")
    cursor.close()


def _begun(connection: Connection) -> None:
    immediate = connection.get_execution_options().get("begin") == "immediate"
    connection.exec_driver_sql("begin immediate" if immediate else "begin")
