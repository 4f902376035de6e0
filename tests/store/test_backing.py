"""Backups: of a store in use, read again, never over anything; restored without losing the old."""

import os
import shutil
import sqlite3
import stat

import pytest
from sqlalchemy import insert, select, update

from tests.store.rows import fill, row
from trainer.base.errors import ConflictError, NotFoundError, TrainerError, UsageError
from trainer.store import guards
from trainer.store.addresses import address_of
from trainer.store.backing import backup, examined, restore
from trainer.store.checking import check
from trainer.store.copying import digests
from trainer.store.database import connect
from trainer.store.failing import StoreError
from trainer.store.opening import open_store
from trainer.store.schema import HEAD, NewerError
from trainer.store.tables import audit, person


@pytest.fixture
def filled(store):
    with store.writing() as connection:
        fill(connection, "a")
    return store


@pytest.fixture
def kept(filled, tmp_path):
    """A backup of the filled store."""
    return backup(filled, tmp_path / "kept.db").path


@pytest.fixture
def file(blank, tmp_path):
    """A backup of a filled SQLite store, which is what every backup is."""
    path = tmp_path / "file.db"
    shutil.copyfile(blank, path)
    store = opened(path)
    with store.writing() as connection:
        fill(connection, "a")
    backup(store, tmp_path / "kept.db")
    store.close()
    return tmp_path / "kept.db"


def digests_of(store):
    with store.reading() as connection:
        return digests(connection)


def opened(path):
    return connect(f"sqlite:///{path}")


def test_a_backup_holds_what_the_store_does(filled, kept):
    other = opened(kept)
    assert digests_of(other) == digests_of(filled)
    assert check(other).findings == ()
    other.close()


def test_a_backup_is_one_private_file(kept):
    assert stat.S_IMODE(kept.stat().st_mode) == 0o600
    assert not list(kept.parent.glob("*.new*"))
    with sqlite3.connect(kept) as connection:
        assert connection.execute("pragma journal_mode").fetchone() == ("delete",)


def test_a_backup_shows_no_half_of_an_open_transaction(file, tmp_path):
    store = opened(file)
    with store.writing() as connection:
        connection.execute(insert(audit), [row(audit, "b")])
        done = backup(store, tmp_path / "amid.db")
    store.close()
    other = opened(done.path)
    with other.reading() as connection:
        assert len(connection.execute(select(audit)).all()) == 1
    other.close()


def test_a_backup_never_overwrites(filled, kept):
    before = kept.read_bytes()
    with pytest.raises(ConflictError, match="already"):
        backup(filled, kept)
    assert kept.read_bytes() == before


def test_a_backup_needs_a_folder(filled, tmp_path):
    with pytest.raises(NotFoundError, match="no such folder"):
        backup(filled, tmp_path / "no" / "kept.db")


def test_nothing_is_backed_up_to_nothing(tmp_path):
    store = opened(tmp_path / "empty.db")
    with pytest.raises(NotFoundError):
        backup(store, tmp_path / "kept.db")
    store.close()
    assert not (tmp_path / "kept.db").exists()


def test_restored_where_nothing_was(filled, kept, tmp_path):
    target = tmp_path / "new.db"
    done = restore(address_of(str(target)), kept, None)
    assert (done.aside, done.revision) == (None, HEAD)
    store = open_store(str(target), create=False)
    assert digests_of(store) == digests_of(filled)
    store.close()
    assert stat.S_IMODE(target.stat().st_mode) == 0o600


def test_a_store_is_not_overwritten_unasked(file, tmp_path):
    target = open_store(str(tmp_path / "live.db"))
    with pytest.raises(ConflictError) as told:
        restore(address_of(target.shown), file, None)
    assert "--replace" in told.value.hint
    assert all(t.rows == 0 for t in digests_of(target))
    target.close()


def test_the_old_store_is_kept_aside_and_open_connections_see_the_new(filled, kept, tmp_path):
    live = open_store(str(tmp_path / "live.db"))
    with live.writing() as connection:
        connection.execute(insert(person), [{**row(person, "b"), "given_name": "Old"}])
    done = restore(address_of(live.shown), kept, tmp_path / "aside.db")
    assert digests_of(live) == digests_of(filled)
    old = opened(done.aside)
    with old.reading() as connection:
        assert connection.execute(select(person.c.given_name)).scalars().all() == ["Old"]
    with live.writing() as connection:
        connection.execute(insert(audit), [row(audit, "b")])
    old.close()
    live.close()
    again = open_store(str(tmp_path / "live.db"))
    assert {t.table: t.rows for t in digests_of(again)}["audit"] == 2
    again.close()


def test_a_damaged_store_is_kept_aside_as_it_is(file, tmp_path):
    target = tmp_path / "live.db"
    shutil.copyfile(file, target)
    with open(target, "r+b") as raw:
        raw.seek(4096)
        raw.write(os.urandom(8192))
    broken = target.read_bytes()
    done = restore(address_of(str(target)), file, tmp_path / "aside.db")
    assert done.aside.read_bytes()[4096:] == broken[4096:]
    store = open_store(str(target))
    assert {t.rows for t in digests_of(store)} == {1}
    store.close()


def test_what_a_backup_would_run_by_itself_is_taken_out(file, tmp_path):
    with sqlite3.connect(file) as connection:
        connection.execute("drop trigger kept_grade_update")
        connection.execute(
            "create trigger quiet after insert on audit begin delete from person_alias; end"
        )
        connection.execute("create view names as select given_name from person")
    restore(address_of(str(tmp_path / "new.db")), file, None)
    store = open_store(str(tmp_path / "new.db"))
    with store.reading() as connection:
        assert guards.present(connection) == guards.wanted(connection)
        rows = connection.exec_driver_sql("select name from sqlite_master where type = 'view'")
        assert rows.all() == []
    with store.writing() as connection:
        connection.execute(insert(audit), [row(audit, "b")])
    with store.reading() as connection:
        assert len(connection.exec_driver_sql("select * from person_alias").all()) == 1
    store.close()


def cut(path):
    with open(path, "r+b") as file:
        file.truncate(path.stat().st_size // 2)


def scrambled(path):
    with open(path, "r+b") as file:
        file.seek(4096 * 3)
        file.write(b"\xff" * 4096 * 4)


def foreign(path):
    path.unlink()
    with sqlite3.connect(path) as connection:
        connection.execute("create table recipe (name text)")


def newer(path):
    with sqlite3.connect(path) as connection:
        connection.execute("update schema_meta set version_num = '9999'")


def loose(path):
    with sqlite3.connect(path) as connection:
        connection.execute("delete from blob")


@pytest.mark.parametrize(
    ("spoil", "error"),
    [
        (lambda path: path.unlink(), NotFoundError),
        (lambda path: path.write_bytes(b""), StoreError),
        (lambda path: path.write_bytes(b"PK\3\4" * 999), StoreError),
        (lambda path: path.write_bytes(b"SQLite format 3\0" + b"\0" * 999), StoreError),
        (cut, StoreError),
        (scrambled, StoreError),
        (loose, StoreError),
        (foreign, ConflictError),
        (newer, NewerError),
        (lambda path: path.with_name(path.name + "-wal").touch(), ConflictError),
    ],
    ids=lambda x: getattr(x, "__name__", ""),
)
def test_what_is_no_backup_is_refused_and_nothing_changes(file, blank, tmp_path, spoil, error):
    shutil.copyfile(blank, tmp_path / "live.db")
    live = open_store(str(tmp_path / "live.db"))
    with live.writing() as connection:
        fill(connection, "b")
    before = digests_of(live)
    spoil(file)
    for ask in (
        lambda: examined(file),
        lambda: restore(address_of(live.shown), file, tmp_path / "aside.db"),
    ):
        with pytest.raises(error) as told:
            ask()
        assert isinstance(told.value, TrainerError)
        assert str(file) in told.value.where
    assert digests_of(live) == before
    live.close()
    assert not (tmp_path / "aside.db").exists()
    assert not list(tmp_path.glob(".*"))


def test_a_server_is_not_restored_into(file):
    with pytest.raises(UsageError) as told:
        restore(address_of("postgresql://teacher@127.0.0.1/class"), file, None)
    assert "class db copy" in told.value.hint


def test_a_store_nobody_changed_since_gives_the_same_backup(filled, kept, tmp_path):
    with filled.writing() as connection:
        connection.execute(update(person).values(email="x"))
    second = opened(backup(filled, tmp_path / "second.db").path)
    first = opened(kept)
    changed = [a.table for a, b in zip(digests_of(first), digests_of(second)) if a != b]
    assert changed == ["person"]
    first.close()
    second.close()
