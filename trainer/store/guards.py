"""Triggers that refuse to change or remove rows of append-only tables, on both databases.

They are taken off while the schema is upgraded and put back in the same transaction, so that no
revision has to speak of them. Knows trigger dialects; must know no rule of a class.
"""

from __future__ import annotations

from sqlalchemy import Connection, inspect, text

from trainer.store.tables import APPEND_ONLY

PREFIX = "kept_"
_FUNCTION = f"{PREFIX}rows"
_SQLITE = """
create trigger {name} before {act} on {table}
begin select raise(abort, 'rows of {plain} are never changed or removed'); end
"""
_ACTS = ("update", "delete")


def install(connection: Connection) -> None:
    """Put the triggers on the tables that are there; there must be none yet."""
    if connection.dialect.name != "sqlite":
        connection.execute(text(_POSTGRESQL_FUNCTION))
    for statement in _statements(connection):
        connection.execute(text(statement))


def remove(connection: Connection) -> None:
    """Take every trigger of ours off."""
    for name, table in present(connection):
        on = "" if connection.dialect.name == "sqlite" else f" on {_quoted(connection, table)}"
        connection.execute(text(f"drop trigger {name}{on}"))


def only_ours(connection: Connection) -> None:
    """Of a SQLite file from outside: every trigger and view off, the guards put on anew."""
    query = "select type, name from sqlite_master where type in ('trigger', 'view')"
    for kind, name in connection.exec_driver_sql(query).all():
        connection.exec_driver_sql(f"drop {kind} {_always_quoted(str(name))}")
    install(connection)


def present(connection: Connection) -> set[tuple[str, str]]:
    """Names of our triggers that are there, with their tables."""
    if connection.dialect.name == "sqlite":
        query = "select name, tbl_name from sqlite_master where type = 'trigger'"
    else:
        query = (
            "select tgname, relname from pg_trigger join pg_class on pg_class.oid = tgrelid "
            "where not tgisinternal and tgenabled <> 'D' "
            "and relnamespace = current_schema()::regnamespace"
        )
    rows = connection.exec_driver_sql(query).all()
    return {(str(name), str(table)) for name, table in rows if str(name).startswith(PREFIX)}


def wanted(connection: Connection) -> set[tuple[str, str]]:
    """What has to be there."""
    acts = _ACTS if connection.dialect.name == "sqlite" else ("rows", "truncate")
    return {(f"{PREFIX}{t.name}_{act}", t.name) for t in APPEND_ONLY for act in acts}


_POSTGRESQL_FUNCTION = f"""
create or replace function {_FUNCTION}() returns trigger language plpgsql as $$
begin
  raise exception 'rows of % are never changed or removed', tg_table_name
  using errcode = 'restrict_violation';
end $$
"""


def _statements(connection: Connection) -> list[str]:
    made = []
    there = set(inspect(connection).get_table_names())
    for table in (t for t in APPEND_ONLY if t.name in there):
        quoted = _quoted(connection, table.name)
        if connection.dialect.name == "sqlite":
            for act in _ACTS:
                name = f"{PREFIX}{table.name}_{act}"
                made.append(_SQLITE.format(name=name, act=act, table=quoted, plain=table.name))
            continue
        for name, act, each in (
            ("rows", "update or delete", "row"), ("truncate", "truncate", "statement"),
        ):  # fmt: skip
            trigger = f"create trigger {PREFIX}{table.name}_{name} before {act} on {quoted}"
            made.append(f"{trigger} for each {each} execute function {_FUNCTION}()")
    return made


def _quoted(connection: Connection, name: str) -> str:
    return connection.dialect.identifier_preparer.quote(name)


def _always_quoted(name: str) -> str:
    return '"' + name.replace('"', '""') + '"'
