"""The schema's revisions: what they make, that data outlives them, that a failed one is undone.

``dumps`` holds a filled store of every released revision as SQL text; ``python -m
tests.store.dump`` writes that of the present one.
"""

import shutil
import sqlite3

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import inspect

from tests.store.dump import DUMPS, load
from tests.store.places import DATABASES, new_address, remove
from tests.store.rows import fill
from trainer.store import guards, schema, upgrading
from trainer.store.checking import check, differences
from trainer.store.copying import copy, digests
from trainer.store.database import connect
from trainer.store.failing import StoreError
from trainer.store.schema import HEAD, REVISIONS, VERSION_TABLE, state_of
from trainer.store.tables import metadata

SECOND = '''"""Revision {number}: invented, for the tests."""

import sqlalchemy as sa
from alembic import op

revision = "{number}"
down_revision = "{before}"


def upgrade() -> None:
    with op.batch_alter_table("person") as batch:
        batch.add_column(sa.Column("nickname", sa.Text(), nullable=False, server_default=""))
        batch.create_check_constraint("ck_person_nickname", "length(nickname) < 40")
    with op.batch_alter_table("grade") as batch:
        batch.alter_column("why", new_column_name="reason")
    op.execute("update grade set reason = 'moved ' || reason")
    {then}
'''


@pytest.fixture(params=DATABASES)
def bare(request, tmp_path):
    """A database without tables."""
    url = new_address(request.param, tmp_path)
    store = connect(url)
    yield store
    store.close()
    remove(url)


def structure(connection):
    """Everything of a schema that has a name."""
    inspector = inspect(connection)
    tables = [t for t in inspector.get_table_names() if t != VERSION_TABLE]
    return {table: _table(inspector, table) for table in tables}


def _table(inspector, table):
    columns = inspector.get_columns(table)
    unique = inspector.get_unique_constraints(table)
    checks = inspector.get_check_constraints(table)
    indexes = inspector.get_indexes(table)
    return {
        "columns": {c["name"]: (str(c["type"]), c["nullable"], c["default"]) for c in columns},
        "key": inspector.get_pk_constraint(table),
        "references": sorted(map(str, inspector.get_foreign_keys(table))),
        "unique": sorted((u["name"], u["column_names"]) for u in unique),
        "checks": sorted((c["name"], c["sqltext"]) for c in checks),
        "indexes": sorted((i["name"], i["column_names"], i["unique"]) for i in indexes),
    }


def structure_of(store):
    with store.reading() as connection:
        return structure(connection)


def test_revisions_make_what_the_tables_say(bare):
    metadata.create_all(bare.engine)
    wanted = structure_of(bare)
    metadata.drop_all(bare.engine)
    upgrading.upgrade(bare)
    assert structure_of(bare) == wanted
    assert set(wanted) == {table.name for table in metadata.sorted_tables}


def test_the_machinery_sees_no_difference(store):
    with store.reading() as connection:
        options = {"version_table": VERSION_TABLE, "compare_type": True}
        context = MigrationContext.configure(connection, opts=options)
        assert compare_metadata(context, metadata) == []
        assert differences(connection, metadata) == []


def test_revisions_are_numbered_in_a_row():
    assert [int(revision) for revision in REVISIONS] == list(range(1, len(REVISIONS) + 1))


def test_upgrading_twice_runs_nothing(bare):
    assert upgrading.upgrade(bare) == REVISIONS
    assert upgrading.upgrade(bare) == ()
    assert state_of(bare) == HEAD


def test_guards_are_on(store):
    with store.reading() as connection:
        assert guards.present(connection) == guards.wanted(connection) != set()


@pytest.mark.parametrize("revision", REVISIONS)
def test_every_released_schema_is_upgraded_with_its_data(bare, tmp_path, revision):
    old = connect(f"sqlite:///{load(revision, tmp_path / 'old.db')}")
    assert state_of(old) == revision
    copy(old, bare)
    with old.reading() as connection:
        before = {c.table: c for c in digests(connection)}
    upgrading.upgrade(bare)
    assert check(bare).findings == ()
    with bare.reading() as connection:
        after = {c.table: c for c in digests(connection)}
    assert {t: c.rows for t, c in before.items()}.items() <= {
        t: c.rows for t, c in after.items()
    }.items()
    if revision == HEAD:
        assert before == after
    old.close()


def test_every_released_schema_is_dumped():
    assert sorted(path.stem for path in DUMPS.glob("*.sql")) == list(REVISIONS)


def test_the_newest_dump_has_rows_everywhere(tmp_path):
    with sqlite3.connect(load(HEAD, tmp_path / "old.db")) as connection:
        for table in metadata.sorted_tables:
            assert connection.execute(f'select count(*) from "{table.name}"').fetchone()[0], table


@pytest.fixture
def following(monkeypatch, tmp_path):
    """As if a program with one more revision were installed; gives a function that writes it."""
    folder = tmp_path / "revisions"
    shutil.copytree(schema.FOLDER, folder, ignore=shutil.ignore_patterns("__pycache__"))
    number = f"{len(REVISIONS) + 1:04}"
    monkeypatch.setattr(upgrading, "FOLDER", folder)
    monkeypatch.setattr(schema, "REVISIONS", (*REVISIONS, number))

    def write(then="pass"):
        text = SECOND.format(number=number, before=HEAD, then=then)
        (folder / f"{number}_invented.py").write_text(text)
        return number

    return write


def test_a_following_revision_keeps_data_references_and_guards(store, following):
    with store.writing() as connection:
        fill(connection, "a")
    number = following()
    assert upgrading.upgrade(store, number) == (number,)
    with store.reading() as connection:
        assert guards.present(connection) == guards.wanted(connection)
        reason = connection.exec_driver_sql("select reason from grade").scalar_one()
        assert reason == "moved invented why a"
        assert connection.exec_driver_sql("select nickname from person").scalar_one() == ""
        targets = {f["referred_table"] for f in inspect(connection).get_foreign_keys("grade_item")}
        assert targets == {"grade"}
    with pytest.raises(Exception, match="never changed"), store.writing() as connection:
        connection.exec_driver_sql("update grade set reason = ''")


@pytest.mark.parametrize(
    ("then", "error"),
    [
        ("raise RuntimeError('invented')", RuntimeError),
        ("op.execute('update grade set attempt_id = null')", Exception),
    ],
)
def test_a_revision_that_fails_leaves_no_mark(store, following, then, error):
    with store.writing() as connection:
        fill(connection, "a")
    with store.reading() as connection:
        before, was = structure(connection), digests(connection)
    with pytest.raises(error):
        upgrading.upgrade(store, following(then))
    assert state_of(store) == HEAD
    with store.reading() as connection:
        assert (structure(connection), digests(connection)) == (before, was)
        assert guards.present(connection) == guards.wanted(connection)


def test_a_revision_that_leaves_loose_ends_is_refused(store, following):
    if not store.is_sqlite:
        return  # looks at every statement
    with store.writing() as connection:
        fill(connection, "a")
    with pytest.raises(StoreError, match="point nowhere"):
        upgrading.upgrade(store, following("op.execute(\"update grade set attempt_id = 'gone'\")"))
    assert state_of(store) == HEAD
