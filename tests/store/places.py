"""Stores for tests: a copied SQLite file, or a PostgreSQL database of the test's own.

A database with the schema is emptied and used by the next test of the process, which takes a
hundredth of the time of making one. The server's user has to be its superuser.
"""

import itertools
import os
import shutil

from sqlalchemy import create_engine, delete, make_url

from trainer.base.errors import TrainerError
from trainer.store import guards
from trainer.store.database import connect
from trainer.store.schema import HEAD, revision_of
from trainer.store.tables import metadata
from trainer.store.upgrading import upgrade

CI = os.environ.get("CONDENSER_BENCH_CI") == "1"
SERVER = os.environ.get("CONDENSER_BENCH_PG", "")
#: CI tries both whether or not a server was named, so that a missing one fails.
DATABASES = ("sqlite", "postgresql") if SERVER or CI else ("sqlite",)

_numbers = itertools.count(1)
_made: list[str] = []
#: Databases with the schema; the last one is used again.
_kept: list[str] = []
_shapes: dict[str, tuple] = {}


def blank_sqlite(folder):
    path = folder / "blank.db"
    store = connect(f"sqlite:///{path}")
    upgrade(store)
    store.close()
    return path


def new_address(kind, folder, blank=None):
    """The URL of a store for one test: blank with the present schema, or without tables."""
    if kind == "postgresql":
        return database_without_tables() if blank is None else blank_database()
    path = folder / "class.db"
    path.touch(0o600)
    if blank is not None:
        shutil.copyfile(blank, path)
    return f"sqlite:///{path}"


def database_without_tables():
    """A database of its own on the server."""
    assert SERVER, "CONDENSER_BENCH_PG names no PostgreSQL server"
    assert make_url(SERVER).host in ("127.0.0.1", "localhost"), "only a server on loopback is tried"
    name = f"bench_{os.getpid()}_{next(_numbers)}"
    _on_server(f"create database {name}")
    _made.append(name)
    return make_url(SERVER).set(database=name).render_as_string(hide_password=False)


def blank_database():
    """The database of this process, emptied; another one when a test changed its schema."""
    if not _kept or not _emptied(_kept[-1]):
        url = database_without_tables()
        store = connect(url)
        upgrade(store)
        with store.reading() as connection:
            _shapes[url] = _shape(connection)
        store.close()
        _kept.append(url)
    return _kept[-1]


def _emptied(url):
    store = connect(url)
    try:
        with store.altering() as connection:
            same = revision_of(connection, url) == HEAD and _shape(connection) == _shapes.get(url)
            if same:
                connection.exec_driver_sql("set local session_replication_role = replica")
                for table in reversed(metadata.sorted_tables):
                    connection.execute(delete(table))
                connection.exec_driver_sql("alter sequence audit_n_seq restart")
            return same
    except TrainerError:
        return False
    finally:
        store.close()


def _shape(connection):
    """Enough to see that a test changed the schema."""
    counts = connection.exec_driver_sql(
        "select (select count(*) from pg_attribute join pg_class on pg_class.oid = attrelid "
        "where relnamespace = current_schema()::regnamespace and not attisdropped), "
        "(select count(*) from pg_constraint where connamespace = current_schema()::regnamespace)"
    ).one()
    return (*counts, *sorted(guards.present(connection)))


def remove(url):
    """Drop a database that is not kept for the next test; a SQLite file goes with its folder."""
    if not url.startswith("sqlite") and url not in _kept[-1:]:
        _dropped(make_url(url).database)


def remove_all():
    """At the end of a process."""
    for name in list(_made):
        _dropped(name)


def _dropped(name):
    _on_server(f"drop database {name} with (force)")
    _made.remove(name)


def _on_server(statement):
    engine = create_engine(SERVER, isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        connection.exec_driver_sql(statement)
    engine.dispose()
