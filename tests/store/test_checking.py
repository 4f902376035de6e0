"""Looking a store through: what is wrong is told, and nothing else."""

import zlib

import pytest
from sqlalchemy import update

from tests.store.rows import fill
from trainer.store.checking import check
from trainer.store.tables import blob, metadata


@pytest.fixture
def filled(store):
    with store.writing() as connection:
        fill(connection, "a")
    return store


def findings_after(store, *statements):
    with store.altering() as connection:
        for statement in statements:
            if isinstance(statement, str):
                connection.exec_driver_sql(statement)
            else:
                connection.execute(statement)
    return check(store).findings


def test_a_sound_store(filled):
    found = check(filled)
    assert found.findings == ()
    assert found.rows == {t.name: 1 for t in metadata.sorted_tables}


@pytest.mark.parametrize(
    "values",
    [
        {"packed": zlib.compress(b"other bytes")},
        {"packed": b"no zlib"},
        {"packed": b""},
        {"size": 5},
        {"size": 2**40},
        {"packed": zlib.compress(b"\0" * 50_000_000)},
    ],
    ids=["other", "broken", "gone", "shorter", "huge", "bomb"],
)
def test_bytes_that_are_not_those_of_their_digest(filled, values):
    (told,) = findings_after(filled, update(blob).values(**values))
    assert "are not those bytes" in told


def test_bytes_of_an_erased_person(filled):
    assert findings_after(filled, update(blob).values(packed=b"", size=0)) == ()


def test_a_guard_that_is_missing(filled):
    on = "" if filled.is_sqlite else " on grade"
    name = "kept_grade_update" if filled.is_sqlite else "kept_grade_rows"
    assert findings_after(filled, f"drop trigger {name}{on}") == (
        "rows of grade are not guarded against changes",
    )


def test_a_table_that_is_missing_or_strange(filled):
    found = findings_after(filled, "drop table rating", "create table recipe (name text)")
    assert "table rating is missing" in found
    assert "table recipe is not known" in found


def test_a_column_that_is_strange(filled):
    found = findings_after(filled, "alter table person add column nickname text")
    assert found == ("the columns of person are not those of this program",)


def test_a_constraint_that_is_missing(filled):
    if filled.is_sqlite:
        statements = (
            "create table key2 as select * from key", "drop table key",
            "alter table key2 rename to key",
        )  # fmt: skip
        found = findings_after(filled, *statements)
        assert "key lacks its constraint uq_key_public" in found
    else:
        found = findings_after(filled, "alter table key drop constraint uq_key_public")
        assert found == ("key lacks its constraint uq_key_public",)


def test_a_file_others_can_read(filled, tmp_path):
    if not filled.is_sqlite:
        return
    (tmp_path / "class.db").chmod(0o644)
    (told,) = check(filled).findings
    assert "mode 644" in told
