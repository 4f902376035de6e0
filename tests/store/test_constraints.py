"""Every constraint refuses a row, by its name, on both databases."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import (
    BigInteger,
    CheckConstraint,
    UniqueConstraint,
    delete,
    insert,
    select,
    update,
)
from sqlalchemy.exc import IntegrityError, StatementError

from tests.outside import examples
from tests.store.rows import fill, row
from trainer.store.tables import APPEND_ONLY, metadata

TABLES = metadata.sorted_tables
#: For every constraint by expression, values it refuses.
BREAKS = {
    "ck_person_accommodation": [{"accommodation_milli": 999}, {"accommodation_milli": 4001}],
    "ck_key_role": [{"role": "examiner"}, {"role": ""}],
    "ck_assignment_times": [{"opens_ms": 2**62}, {"closes_ms": 0}],
    "ck_assignment_attempts": [{"attempts": 0}, {"attempts": 100}],
    "ck_assignment_counting": [{"counting": "mean"}],
    "ck_assignment_seeds": [{"seeds": "none"}],
    "ck_assignment_late_rule": [{"late_rule": "never"}],
    "ck_assignment_feedback": [{"feedback": "all"}],
    "ck_assignment_releases": [{"releases": "at-noon"}],
    "ck_attempt_state": [{"state": "lost"}],
    "ck_attempt_no": [{"no": 0}, {"no": 100}],
    "ck_grade_total": [{"total_micro": -1}, {"total_micro": 100_000_001}],
    "ck_grade_verdict": [{"verdict": "PASS"}, {"verdict": ""}],
    "ck_override_reason": [{"reason": "too short"}],
    "ck_override_field": [{"field": "name"}],
    "ck_rating_rating": [{"rating": 0}, {"rating": 6}],
    "ck_release_level": [{"level": "some"}],
}  # fmt: skip


@pytest.fixture
def filled(store):
    """Rows "a" and "b" everywhere."""
    with store.writing() as connection:
        fill(connection, "a")
        fill(connection, "b")
    return store


def refusal(store, statement):
    """What the database says when it refuses; nothing is kept."""
    with pytest.raises(IntegrityError) as told, store.writing() as connection:
        connection.execute(statement)
    return told.value


def refused_row(store, table, values):
    """As ``refusal``, of a row that would be right but for ``values``."""
    above = [t for t in TABLES if t in ancestors(table)]
    with pytest.raises(IntegrityError) as told, store.writing() as connection:
        fill(connection, "c", above)
        connection.execute(insert(table).values({**row(table, "c"), **values}))
    return told.value


def ancestors(table):
    """The tables that a row of this one hangs on."""
    direct = {key.column.table for key in table.foreign_keys}
    return direct.union(*(ancestors(t) for t in direct))


def named(error, constraint, sqlite):
    """PostgreSQL names the constraint; SQLite its columns, but for an expression."""
    diagnosis = getattr(error.orig, "diag", None)
    if diagnosis is not None:
        return diagnosis.constraint_name == constraint
    return sqlite in str(error.orig)


def checks():
    return {c.name: t for t in TABLES for c in t.constraints if isinstance(c, CheckConstraint)}


def test_every_expression_has_a_row_it_refuses():
    assert set(checks()) == set(BREAKS)


def test_every_constraint_has_a_name():
    assert all(c.name for t in TABLES for c in (*t.constraints, *t.indexes))


def test_expressions_refuse(filled):
    for name, table in checks().items():
        for values in BREAKS[name]:
            error = refused_row(filled, table, values)
            assert named(error, name, f"CHECK constraint failed: {name}"), (name, values)


def test_unique_columns_refuse_a_second(filled):
    tried = 0
    for table in TABLES:
        for constraint in (c for c in table.constraints if isinstance(c, UniqueConstraint)):
            names = [c.name for c in constraint.columns]
            old = row(table, "a")
            error = refused_row(filled, table, {n: old[n] for n in names})
            where = ", ".join(f"{table.name}.{n}" for n in names)
            assert named(error, constraint.name, f"UNIQUE constraint failed: {where}")
            tried += 1
    assert tried >= 15


def test_keys_refuse_a_second(filled):
    for table in TABLES:
        keys = [c.name for c in table.primary_key.columns]
        old = {**row(table, "a"), **({"n": 1} if keys == ["n"] else {})}
        error = refused_row(filled, table, {k: old[k] for k in keys})
        assert named(error, f"pk_{table.name}", f"UNIQUE constraint failed: {table.name}.{keys[0]}")


def test_references_refuse_what_is_not_there(filled):
    tried = 0
    for table in TABLES:
        for key in table.foreign_keys:
            error = refused_row(filled, table, {key.parent.name: "nobody"})
            assert named(error, key.constraint.name, "FOREIGN KEY constraint failed")
            tried += 1
    assert tried >= 20


def test_what_is_pointed_at_stays(filled):
    pointed = {key.column.table for table in TABLES for key in table.foreign_keys}
    for table in pointed:
        refusal(filled, delete(table).where(key_of(table) == first_key(table, "a")))
    with filled.reading() as connection:
        assert all(len(connection.execute(select(t)).all()) == 2 for t in TABLES)


def key_of(table):
    return next(iter(table.primary_key.columns))


def first_key(table, tag):
    return row(table, tag)[key_of(table).name]


def test_no_value_is_left_out(filled):
    for table in TABLES:
        for column in (c for c in table.columns if not c.nullable and c.name != "n"):
            if column.type.__class__.__name__ == "JSON":
                continue  # None is JSON's null there
            error = refused_row(filled, table, {column.name: None})
            diagnosis = getattr(error.orig, "diag", None)
            if diagnosis is not None:
                assert diagnosis.column_name == column.name
            else:
                assert f"NOT NULL constraint failed: {table.name}.{column.name}" in str(error.orig)


def test_kept_rows_are_never_changed_or_removed(filled):
    for table in APPEND_ONLY:
        first = next(c for c in table.columns if not c.primary_key)
        for statement in (update(table).values({first.name: first}), delete(table)):
            error = refusal(filled, statement)
            assert f"rows of {table.name} are never changed or removed" in str(error.orig)


def test_kept_rows_are_not_swept_away(filled):
    if filled.is_sqlite:
        return  # has no statement of that kind
    for table in APPEND_ONLY:
        with pytest.raises(IntegrityError), filled.writing() as connection:
            connection.exec_driver_sql(f'truncate table "{table.name}" cascade')


def test_other_rows_may_change(filled):
    person = metadata.tables["person"]
    with filled.writing() as connection:
        assert connection.execute(update(person).values(given_name="")).rowcount == 2


def test_reading_changes_nothing(filled):
    person = metadata.tables["person"]
    with pytest.raises(Exception) as told, filled.reading() as connection:
        connection.execute(update(person).values(given_name="changed"))
    assert "may not be written" in str(told.value) or "read-only" in str(told.value)
    with filled.writing() as connection:
        connection.execute(update(person).values(family_name="changed"))
    with filled.reading() as connection:
        assert set(connection.execute(select(person.c.given_name)).scalars()) != {"changed"}


@pytest.mark.parametrize("value", [float("nan"), float("inf"), "NUL \0 in it"])
def test_json_that_one_database_cannot_hold_is_refused_by_both(store, value):
    audit = metadata.tables["audit"]
    with pytest.raises((ValueError, StatementError)), store.writing() as connection:
        connection.execute(insert(audit).values({**row(audit, "a"), "body": {"x": value}}))
    with store.reading() as connection:
        assert connection.execute(select(audit)).all() == []


def test_a_backslash_is_no_nul(store):
    audit = metadata.tables["audit"]
    body = {"x": "\\u0000", "y": "\\\\u0000"}
    with store.writing() as connection:
        connection.execute(insert(audit).values({**row(audit, "a"), "body": body}))
    with store.reading() as connection:
        assert connection.execute(select(audit.c.body)).scalar_one() == body


def test_values_come_back_as_they_went(filled):
    with filled.reading() as connection:
        for table in TABLES:
            kept = [dict(r) for r in connection.execute(select(table)).mappings()]
            for kept_row in kept:
                kept_row.pop("n", None) if table.name == "audit" else None
            assert sorted(kept, key=str) == sorted([row(table, "a"), row(table, "b")], key=str)


def test_times_hold_milliseconds():
    times = [c for t in TABLES for c in t.columns if c.name.endswith("_ms")]
    assert len(times) > 20
    assert {type(c.type) for c in times} == {BigInteger}


TEXTS = st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=40)
BODIES = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**80), 2**80) | TEXTS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(TEXTS, inner, max_size=3),
    max_leaves=6,
)


@settings(max_examples=examples(40), suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(text=TEXTS, ms=st.integers(-(2**63), 2**63 - 1), body=BODIES)
def test_any_text_time_and_body_come_back(store, text, ms, body):
    audit = metadata.tables["audit"]
    new = {"at_ms": ms, "who": text, "what": text, "subject": text, "body": body}
    with store.writing() as connection:
        connection.execute(insert(audit), [new])
    with store.reading() as connection:
        last = (
            connection.execute(select(audit).order_by(audit.c.n.desc()).limit(1)).mappings().one()
        )
    assert {name: last[name] for name in new} == new
