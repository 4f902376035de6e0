"""What a database's own failure means for the person at the desk.

Only failures of the place are told in sentences (busy, full, damaged, unreachable); a statement
that is wrong is a mistake of the program and passes through, and a constraint that refuses a row
is the business of whoever wrote it. Knows drivers' codes; must know no table.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError

from trainer.base.errors import CONFLICT, TrainerError

#: Primary result codes of SQLite (sqlite.org/rescode.html) and what to do about each.
_SQLITE = {
    3: ("the class store may not be opened", "look at the rights of the file and its folder"),
    5: (
        "another program has kept the class store busy for a minute",
        "wait until it is done, then run this again; nothing was changed",
    ),
    8: ("the class store may not be written", "look at the rights of the file and its folder"),
    10: (
        "the disk failed while the class store was read or written",
        "look at the disk, then run condenser-bench class db check",
    ),
    11: ("the class store is damaged", "restore a backup: condenser-bench class db restore FILE"),
    13: ("the disk is full", "make room, then run this again; nothing was changed"),
    14: ("the class store cannot be opened", "look at the path and at the rights of its folder"),
    26: ("this file is not a class store", "name another file, or restore a backup"),
}
_SQLITE[6] = _SQLITE[5]
#: Classes and codes of SQLSTATE (PostgreSQL manual, appendix A) that speak of the server.
_SERVER = ("08", "28", "3D", "53", "57", "58", "55P03")


class StoreError(TrainerError):
    """The database cannot be used as it is."""

    code = "store"


class BusyError(StoreError):
    """Somebody else has it."""

    exit_code = CONFLICT


@contextmanager
def telling(where: str) -> Iterator[None]:
    """Around work with a database: a failure of the place becomes a sentence."""
    try:
        yield
    except (DBAPIError, sqlite3.Error) as error:
        told = _sentence(error, where)
        if told is None:
            raise
        raise told from None


def _sentence(error: Exception, where: str) -> StoreError | None:
    cause = error.orig if isinstance(error, DBAPIError) else error
    if isinstance(cause, sqlite3.Error):
        code = getattr(cause, "sqlite_errorcode", 0) & 0xFF
        if code not in _SQLITE:
            return None
        what, hint = _SQLITE[code]
        return (BusyError if code in (5, 6) else StoreError)(what, where, hint)
    return _of_server(cause, where)


def _of_server(cause: object, where: str) -> StoreError | None:
    """psycopg keeps the code in ``sqlstate``; a connection that never was has none."""
    state = getattr(cause, "sqlstate", None)
    unreachable = state is None and type(cause).__name__ in (
        "OperationalError",
        "ConnectionTimeout",
    )
    if not unreachable and not str(state).startswith(_SERVER):
        return None
    if state == "55P03":
        return BusyError(*_SQLITE[5][:1], where, _SQLITE[5][1])
    lines = str(cause).strip().splitlines() or ["no reason given"]
    hint = "look at host, database and user; a password comes from PGPASSWORD or the password file"
    return StoreError(f"the database server refused: {lines[0][:200]}", where, hint)
