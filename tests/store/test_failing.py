"""A database's own failures are told in sentences; mistakes of the program are not dressed up."""

import pytest
from sqlalchemy import insert, select
from sqlalchemy.exc import DBAPIError, IntegrityError

from tests.store.places import DATABASES
from tests.store.rows import row
from trainer.base.errors import CONFLICT
from trainer.store import database
from trainer.store.database import connect
from trainer.store.failing import BusyError, StoreError
from trainer.store.tables import audit, blob


def test_a_store_that_stays_busy_is_told(store, store_url, monkeypatch):
    monkeypatch.setattr(database, "BUSY_MS", 50)
    other = connect(store_url)
    with store.writing() as connection:
        connection.execute(insert(audit), [row(audit, "a")])
        with pytest.raises(BusyError, match="busy") as told, other.writing():
            pass
    assert told.value.exit_code == CONFLICT
    with other.reading() as connection:
        assert len(connection.execute(select(audit)).all()) == 1
    other.close()


def test_a_full_disk_is_told_and_nothing_is_kept(store):
    if not store.is_sqlite:
        return  # the server's disk is not filled for a test
    with pytest.raises(StoreError, match="disk is full"), store.writing() as connection:
        connection.exec_driver_sql("pragma max_page_count = 90")
        connection.execute(insert(audit), [row(audit, "a")])
        connection.execute(insert(blob), [{**row(blob, "a"), "packed": bytes(2_000_000)}])
    with store.reading() as connection:
        assert connection.execute(select(audit)).all() == []


def test_a_damaged_file_is_told(store, store_url, tmp_path):
    if not store.is_sqlite:
        return
    store.close()
    with open(tmp_path / "class.db", "r+b") as file:
        file.seek(4096)
        file.write(b"\xff" * 4096 * 40)
    broken = connect(store_url)
    with pytest.raises(StoreError, match="damaged") as told, broken.reading() as connection:
        for table in (audit, blob):
            connection.execute(select(table)).all()
    assert "restore" in told.value.hint
    broken.close()


def test_a_connection_that_is_cut_is_told(store):
    if store.is_sqlite:
        return  # has none
    with pytest.raises(StoreError, match="database server"), store.writing() as connection:
        connection.execute(insert(audit), [row(audit, "a")])
        connection.exec_driver_sql("select pg_terminate_backend(pg_backend_pid())")
    with store.reading() as connection:
        assert connection.execute(select(audit)).all() == []


def test_mistakes_of_the_program_pass_through(store):
    with pytest.raises(DBAPIError), store.reading() as connection:
        connection.exec_driver_sql("select no_such_column from person")
    with pytest.raises(IntegrityError), store.writing() as connection:
        connection.execute(insert(audit).values(at_ms=None))


def test_no_value_of_a_row_is_in_an_error(store):
    with pytest.raises(IntegrityError) as told, store.writing() as connection:
        body = {"at_ms": None, "who": "an invented name", "what": "x", "body": {}}
        connection.execute(insert(audit).values(**body))
    said = str(told.value).partition("DETAIL")[0]  # the server adds that by itself
    assert "invented" not in said


@pytest.mark.skipif("postgresql" not in DATABASES, reason="no server was named")
def test_a_server_without_that_database_is_told():
    from tests.store.places import SERVER

    absent = connect(SERVER.replace("/postgres", "/no_such_class"))
    with pytest.raises(StoreError, match="does not exist") as told, absent.reading():
        pass
    assert "PGPASSWORD" in told.value.hint
    absent.close()
