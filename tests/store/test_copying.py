"""A store copied between databases, either way: all of it, proven, or nothing."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import func, insert, select, update

from tests.store.places import DATABASES, new_address, remove
from tests.store.rows import fill, row
from trainer.base.errors import ConflictError, NotFoundError, UsageError
from trainer.store import copying, guards
from trainer.store.copying import copy, digests
from trainer.store.database import connect
from trainer.store.failing import StoreError
from trainer.store.schema import EMPTY, state_of
from trainer.store.tables import audit, metadata, person


@pytest.fixture
def elsewhere(store, tmp_path):
    """A database without tables, of the other kind where there are both."""
    yield from bare("postgresql" if store.is_sqlite else "sqlite", tmp_path)


@pytest.fixture
def beside(store, tmp_path):
    """A database without tables, of the same kind."""
    yield from bare("sqlite" if store.is_sqlite else "postgresql", tmp_path)


def bare(kind, tmp_path):
    (tmp_path / "elsewhere").mkdir()
    url = new_address(kind if kind in DATABASES else "sqlite", tmp_path / "elsewhere")
    store = connect(url)
    yield store
    store.close()
    remove(url)


@pytest.fixture
def filled(store):
    with store.writing() as connection:
        fill(connection, "a")
        fill(connection, "b")
    return store


def all_rows(store):
    with store.reading() as connection:
        return [
            sorted(
                (tuple(row) for row in connection.execute(select(table))), key=lambda r: str(r[0])
            )
            for table in metadata.sorted_tables
        ]


def test_every_row_arrives(filled, elsewhere):
    told = copy(filled, elsewhere)
    assert {t.table: t.rows for t in told} == {t.name: 2 for t in metadata.sorted_tables}
    assert all_rows(filled) == all_rows(elsewhere)
    with elsewhere.reading() as connection:
        assert digests(connection) == told
        assert guards.present(connection) == guards.wanted(connection)


def test_every_row_arrives_in_a_database_of_the_same_kind(filled, beside):
    copy(filled, beside)
    assert all_rows(filled) == all_rows(beside)


def test_numbers_go_on_where_they_were(filled, elsewhere):
    copy(filled, elsewhere)
    with elsewhere.writing() as connection:
        connection.execute(insert(audit), [row(audit, "c")])
        assert connection.execute(select(func.max(audit.c.n))).scalar_one() == 3


def test_a_target_that_holds_anything_is_refused(filled, elsewhere):
    copy(filled, elsewhere)
    before = all_rows(elsewhere)
    with pytest.raises(ConflictError, match="already holds rows"):
        copy(filled, elsewhere)
    assert all_rows(elsewhere) == before


def test_a_store_is_not_its_own_copy(filled):
    with pytest.raises(UsageError, match="into itself"):
        copy(filled, filled)


def test_nothing_is_no_store(elsewhere, store):
    with pytest.raises(NotFoundError, match="no class store"):
        copy(elsewhere, store)


def test_a_row_lost_on_the_way_is_seen_and_undone(filled, elsewhere, monkeypatch):
    whole, reads = copying._batches, []

    def losing(connection, table):
        """The first time a kind of row without dependants is read, one is lost."""
        first = table.name == "rating" and not reads
        reads.extend([table.name] if first else [])
        for batch in whole(connection, table):
            yield batch[1:] if first else batch

    monkeypatch.setattr(copying, "_batches", losing)
    with pytest.raises(StoreError, match="rating reads otherwise"):
        copy(filled, elsewhere)
    assert reads == ["rating"]
    assert all(rows == [] for rows in all_rows(elsewhere))


def test_text_that_one_database_cannot_hold_is_told(filled, tmp_path):
    """SQLite keeps NUL in text; PostgreSQL has no such character."""
    if not filled.is_sqlite or "postgresql" not in DATABASES:
        return
    with filled.writing() as connection:
        connection.execute(update(person).values(given_name="N\0L"))
    url = new_address("postgresql", tmp_path)
    there = connect(url)
    with pytest.raises(StoreError) as told:
        copy(filled, there)
    assert "of person do not fit" in told.value.what
    assert told.value.hint == "nothing was copied"
    assert all(rows == [] for rows in all_rows(there))
    there.close()
    remove(url)


def test_a_refused_copy_leaves_the_schema_alone(store, elsewhere):
    with store.writing() as connection:
        connection.exec_driver_sql("update schema_meta set version_num = '9999'")
    with pytest.raises(Exception, match="newer version"):
        copy(store, elsewhere)
    assert state_of(elsewhere) == EMPTY


NUMBERS = st.integers(-(10**30), 10**30) | st.floats(allow_nan=False, allow_infinity=False)


@given(NUMBERS, NUMBERS)
def test_numbers_have_the_same_digits_only_when_they_are_the_same(left, right):
    same = copying._number(left) == copying._number(right)
    if type(left) is type(right):
        assert same == (left == right)


@pytest.mark.parametrize(
    ("left", "right"), [(1e22, 10**22), (100.0, 100), (-0.0, 0), (1e23, 10**23), (0.5, 0.5)]
)
def test_what_json_writes_otherwise_is_the_same_number(left, right):
    assert copying._number(left) == copying._number(right)


def test_digests_see_one_letter(filled):
    with filled.reading() as connection:
        before = digests(connection)
    with filled.writing() as connection:
        connection.execute(update(person).where(person.c.id == "person-a").values(email="x"))
    with filled.reading() as connection:
        after = digests(connection)
    assert [a.table for a, b in zip(after, before) if a != b] == ["person"]
