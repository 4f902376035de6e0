"""Stores for tests: a copied SQLite file, or a PostgreSQL database of its own."""

import itertools
import os
import shutil

from sqlalchemy import create_engine, make_url

from trainer.store.database import connect
from trainer.store.upgrading import upgrade

CI = os.environ.get("CONDENSER_BENCH_CI") == "1"
SERVER = os.environ.get("CONDENSER_BENCH_PG", "")
#: CI tries both whether or not a server was named, so that a missing one fails.
DATABASES = ("sqlite", "postgresql") if SERVER or CI else ("sqlite",)

_numbers = itertools.count(1)
_templates = []


def blank_sqlite(folder):
    path = folder / "blank.db"
    store = connect(f"sqlite:///{path}")
    upgrade(store)
    store.close()
    return path


def new_address(kind, folder, blank=None):
    """The URL of a new store: blank with the present schema, or without tables."""
    if kind == "sqlite":
        path = folder / "class.db"
        if blank is not None:
            shutil.copyfile(blank, path)
            path.chmod(0o600)
        return f"sqlite:///{path}"
    return new_database(with_schema=blank is not None)


def new_database(with_schema):
    """A database of its own on the server, copied from one with the schema."""
    assert SERVER, "CONDENSER_BENCH_PG names no PostgreSQL server"
    assert make_url(SERVER).host in ("127.0.0.1", "localhost"), "only a server on loopback is tried"
    if not with_schema:
        return _created()
    if not _templates:
        url = _created()
        store = connect(url)
        upgrade(store)
        store.close()
        _templates.append(make_url(url).database)
    return _created(f" template {_templates[0]}")


def _created(how=""):
    name = f"bench_{os.getpid()}_{next(_numbers)}"
    _on_server(f"create database {name}{how}")
    return make_url(SERVER).set(database=name).render_as_string(hide_password=False)


def remove(url):
    """Drop a database of ours; a SQLite file goes with its folder."""
    if not url.startswith("sqlite"):
        _on_server(f"drop database {make_url(url).database} with (force)")


def _on_server(statement):
    engine = create_engine(SERVER, isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        connection.exec_driver_sql(statement)
    engine.dispose()
