"""Which revision of the schema a store has, and whether this program may work on it.

Revisions are numbered files of ``migrations``; the store keeps its number in ``schema_meta``.
Knows numbers and sentences; must not load the machinery of migrations, which is slow.
"""

from __future__ import annotations

import re
from pathlib import Path

from sqlalchemy import Connection, inspect

from trainer.base.errors import ConflictError, NotFoundError, PolicyError, quoted
from trainer.store.database import Store
from trainer.store.failing import StoreError

VERSION_TABLE = "schema_meta"
FOLDER = Path(__file__).resolve().parent / "migrations"
REVISIONS = tuple(
    sorted(p.name[:4] for p in FOLDER.iterdir() if re.fullmatch(r"[0-9]{4}_\w+\.py", p.name))
)
HEAD = REVISIONS[-1]
EMPTY = ""


class OlderError(PolicyError):
    """The store has an older schema."""

    code = "older_store"


class NewerError(PolicyError):
    """The store has a schema this program does not know."""

    code = "newer_store"


def revision_of(connection: Connection, where: str) -> str:
    """The number of the store's revision; ``EMPTY`` where there is no table at all."""
    names = inspect(connection).get_table_names()
    if not names:
        return EMPTY
    if VERSION_TABLE not in names:
        hint = "name another place with --store; nothing was changed"
        raise ConflictError("this database holds tables of something else", where, hint)
    rows = connection.exec_driver_sql(f"select version_num from {VERSION_TABLE}").all()
    if len(rows) != 1:
        raise StoreError("the class store does not say what schema it has", where, "restore one")
    return str(rows[0][0])


def state_of(store: Store) -> str:
    """As ``revision_of``, of a store."""
    with store.reading() as connection:
        return revision_of(connection, store.shown)


def require_known(revision: str, where: str) -> None:
    """Refuse a schema of a newer program, or one of nobody's."""
    if revision not in REVISIONS:
        newer = re.fullmatch(r"[0-9]{4}", revision) and revision > HEAD
        what = "made by a newer version of this program" if newer else "not known here"
        hint = "install the newer version and open it with that; nothing was changed"
        told = f"the class store has schema {quoted(revision, 20)}, {what} (this one has {HEAD})"
        raise NewerError(told, where, hint)


def require_current(revision: str, where: str) -> None:
    """Refuse to work on any schema but this program's own."""
    if revision == EMPTY:
        hint = "make a class first: condenser-bench class new NAME"
        raise NotFoundError("there is no class store here yet", where, hint)
    require_known(revision, where)
    if revision != HEAD:
        what = f"the class store has schema {revision}, this program works with {HEAD}"
        hint = "run condenser-bench class db upgrade, which makes a backup first"
        raise OlderError(what, where, hint)
