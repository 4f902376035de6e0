"""Connections to the classroom's database: SQLite embedded, PostgreSQL by URL.

SQLite runs with WAL, foreign keys and a busy timeout, and everything that writes begins
IMMEDIATE: a deferred transaction that reads and then writes fails under load whatever the
timeout. PostgreSQL gets the same promise by a lock that each writer takes first, so that a
service proven on one is right on the other. Knows URLs and transactions; must know no table's
meaning.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event

from trainer.store.addresses import shown
from trainer.store.failing import StoreError, telling

BUSY_MS = 60_000
#: Key of the lock among writers on PostgreSQL; invented.
WRITERS = 0x636F6E64
_WRITE = ("immediate", "altering")


@dataclass(frozen=True)
class Store:
    """An open database. ``reading`` and ``writing`` are the only ways to talk to it."""

    engine: Engine
    url: str = field(repr=False)

    @property
    def shown(self) -> str:
        """For messages: no password."""
        return self.engine.url.database or "" if self.is_sqlite else shown(self.url)

    @property
    def is_sqlite(self) -> bool:
        return self.engine.dialect.name == "sqlite"

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """One consistent view; a statement that would change something is refused."""
        options: dict[str, Any] = {"begin": "deferred"}
        if not self.is_sqlite:
            options = {"isolation_level": "REPEATABLE READ", "postgresql_readonly": True}
        engine = self.engine.execution_options(**options)
        with telling(self.shown), engine.connect() as connection:
            yield connection
            connection.rollback()

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """All of it or nothing; one writer at a time."""
        engine = self.engine.execution_options(begin="immediate")
        with telling(self.shown), engine.connect() as connection, connection.begin():
            self._wait_for_turn(connection)
            yield connection

    @contextmanager
    def altering(self) -> Iterator[Connection]:
        """As ``writing``, for changes of the schema: SQLite looks at references at the end only."""
        engine = self.engine.execution_options(begin="altering")
        with telling(self.shown), engine.connect() as connection, connection.begin():
            self._wait_for_turn(connection)
            yield connection
            if self.is_sqlite and connection.exec_driver_sql("pragma foreign_key_check").first():
                raise StoreError("the change would leave rows that point nowhere", self.shown)

    def _wait_for_turn(self, connection: Connection) -> None:
        if not self.is_sqlite:
            connection.exec_driver_sql(f"set local lock_timeout = {BUSY_MS}")
            connection.exec_driver_sql(f"select pg_advisory_xact_lock({WRITERS})")

    def forget(self) -> None:
        """Leave nothing of removed values in the database's files.

        Backups and copies made before are out of reach.
        """
        with telling(self.shown), self.engine.connect() as connection:
            if not self.is_sqlite:
                alone = connection.execution_options(isolation_level="AUTOCOMMIT")
                alone.exec_driver_sql("vacuum (full)")
                return
            driver: Any = connection.connection.driver_connection
            driver.execute("pragma query_only = 0")
            driver.execute("vacuum")
            busy = driver.execute("pragma wal_checkpoint(truncate)").fetchone()[0]
        if busy:
            what = (
                "another program is reading the class store, so removed text may stand in its log"
            )
            raise StoreError(what, self.shown, "close it and run the command again")

    def close(self) -> None:
        self.engine.dispose()


def connect(url: str) -> Store:
    """Open a database by URL; ``sqlite:///FILE`` or ``postgresql+psycopg://...``."""
    try:
        engine = create_engine(
            url, connect_args=_arguments(url), json_serializer=_json, hide_parameters=True
        )
    except ModuleNotFoundError:
        hint = "pip install 'condenser-bench[postgresql]'"
        what = "PostgreSQL needs a driver that is not installed"
        raise StoreError(what, shown(url), hint) from None
    if engine.dialect.name == "sqlite":
        event.listen(engine, "connect", _prepared)
        event.listen(engine, "begin", _begun)
    return Store(engine, url)


def _json(value: Any) -> str:
    """What both databases can hold: no NaN, no NUL, no half of a surrogate pair."""
    text = json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    if "\\u0000" in text and re.search(r"(?<!\\)(?:\\\\)*\\u0000", text):
        raise ValueError("a NUL character has no place in the class store")
    return text


def _arguments(url: str) -> dict[str, Any]:
    if not url.startswith("sqlite"):
        return {"connect_timeout": 20}
    return {"timeout": BUSY_MS / 1000.0, "isolation_level": None}


def _prepared(connection: Any, record: object) -> None:
    cursor = connection.cursor()
    for pragma in (f"busy_timeout = {BUSY_MS}", "foreign_keys = on", "journal_mode = wal",
                   "synchronous = full", "secure_delete = on", "trusted_schema = off"):  # fmt: skip
        cursor.execute(f"pragma {pragma}")
    cursor.close()


def _begun(connection: Connection) -> None:
    begin = connection.get_execution_options().get("begin")
    connection.exec_driver_sql(f"pragma query_only = {int(begin == 'deferred')}")
    connection.exec_driver_sql(f"pragma foreign_keys = {int(begin != 'altering')}")
    connection.exec_driver_sql("begin immediate" if begin in _WRITE else "begin")
