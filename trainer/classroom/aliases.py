"""An older id made to mean a person, and two rows of one person made one.

The row that has work (attempts, exceptions) is kept, since those are never moved; the other one's
classes, keys and openings come along. Knows ids and references to people; must know no mark.
"""

from __future__ import annotations

from typing import Any, Literal, NamedTuple

from sqlalchemy import Column, Connection, Table, delete, func, insert, select, update

from trainer.base.errors import ConflictError, PolicyError, UsageError, quoted
from trainer.classroom.desk import Desk
from trainer.classroom.entries import ID_HINT
from trainer.classroom.people import Person, find, lookup
from trainer.exchange.handin import is_learner_id
from trainer.store import tables as t

Kind = Literal["same", "added", "renamed", "merged"]


class Aliased(NamedTuple):
    """What became of it: ``learner_id`` is the id from now on, ``old`` also means the person."""

    kind: Kind
    learner_id: str
    old: str


def alias(desk: Desk, new: str, old: str, dry_run: bool = False) -> Aliased:
    """Makes ``old`` mean the learner ``new``; raises when that would mix two people's work."""
    for given in (new, old):
        if not is_learner_id(given):
            raise UsageError(f"{quoted(given)} is no learner id", hint=ID_HINT)
    if dry_run:
        with desk.store.reading() as connection:
            return _kind(connection, new, old)
    with desk.store.writing() as connection:
        told = _kind(connection, new, old)
        if told.kind != "same":
            person_id, gone = _done(desk, connection, told, new, old)
            desk.note(connection, "learner.alias", person_id, {"kind": told.kind, "gone": gone})
    return told


def _kind(connection: Connection, new: str, old: str) -> Aliased:
    keep, other = lookup(connection, new), lookup(connection, old)
    if keep is None and other is None:
        find(connection, old)
    for person in (keep, other):
        if person is not None and person.erased:
            raise PolicyError(f"learner {person.learner_id} was erased", "", "name another id")
    if keep is None:
        return Aliased("renamed", new, old)
    if other is None:
        return Aliased("added", keep.learner_id, old)
    if keep.id != other.id:
        survivor_of(connection, keep, other)
        return Aliased("merged", new, old)
    if keep.learner_id == old != new:
        return Aliased("renamed", new, old)
    return Aliased("same", keep.learner_id, old)


def _done(
    desk: Desk, connection: Connection, told: Aliased, new: str, old: str
) -> tuple[str, str | None]:
    """The person's row id, and the row that is gone."""
    if told.kind == "added":
        person = find(connection, new)
        _also(desk, connection, person.id, old)
        return person.id, None
    if told.kind == "renamed":
        person = find(connection, old)
        connection.execute(delete(t.person_alias).where(t.person_alias.c.alias == new))
        _set(connection, person.id, learner_id=new)
        _also(desk, connection, person.id, person.learner_id)
        return person.id, None
    keep, other = find(connection, new), find(connection, old)
    kept, gone = survivor_of(connection, keep, other)
    newest = _active_sections(connection, keep)
    _merge(connection, kept, gone)
    _one_section(connection, kept, newest)
    values = {name: getattr(keep, name) or getattr(other, name) for name in _TEXTS}
    values["accommodation_milli"] = max(keep.accommodation_milli, other.accommodation_milli)
    connection.execute(delete(t.person).where(t.person.c.id == gone.id))
    _set(
        connection,
        kept.id,
        **values,
        learner_id=keep.learner_id,
        active=_enrolled(connection, kept),
    )
    _also(desk, connection, kept.id, other.learner_id)
    return kept.id, gone.id


_TEXTS = ("given_name", "family_name", "email", "external_id")


def _set(connection: Connection, person_id: str, **values: Any) -> None:
    connection.execute(update(t.person).where(t.person.c.id == person_id).values(**values))


def _also(desk: Desk, connection: Connection, person_id: str, old: str) -> None:
    row = {"alias": old, "person_id": person_id, "added_ms": desk.now_ms}
    connection.execute(insert(t.person_alias).values(**row))


def survivor_of(connection: Connection, keep: Person, other: Person) -> tuple[Person, Person]:
    """(the row that stays, the row that goes); the older id's row when neither has work.

    Raises ConflictError when both have work.
    """
    work = [_fixed(connection, person.id) for person in (keep, other)]
    if all(work):
        what = f"{keep.learner_id} and {other.learner_id} both have {' and '.join(work[0])}"
        hint = "two people's work is never mixed; leave one of them inactive instead"
        raise ConflictError(what, "", hint)
    return (keep, other) if work[0] else (other, keep)


def references(to: Table) -> list[tuple[Table, Column[Any]]]:
    """Every column of the database that points at this table."""
    return [
        (table, column)
        for table in t.metadata.sorted_tables
        for column in table.columns
        if any(key.column.table is to for key in column.foreign_keys)
    ]


def _fixed(connection: Connection, person_id: str) -> list[str]:
    """What a person has that is never moved to another row."""
    found = []
    for table, column in references(t.person):
        if table is t.attempt or table in t.APPEND_ONLY:
            count = select(func.count()).select_from(table).where(column == person_id)
            if connection.scalar(count):
                found.append(table.name.replace("assignment_", "") + "s")
    return found


def _merge(connection: Connection, kept: Person, gone: Person) -> None:
    """Everything that points at ``gone`` points at ``kept``; one enrolment a section."""
    _merge_enrolments(connection, kept, gone)
    for table, column in references(t.person):
        if table is not t.attempt and table not in t.APPEND_ONLY:
            moved = update(table).where(column == gone.id).values({column: kept.id})
            connection.execute(moved)


def _merge_enrolments(connection: Connection, kept: Person, gone: Person) -> None:
    """Where both are in a section the kept row stays, active if either was."""
    e = t.enrolment.c
    mine = {row.section_id: row for row in _enrolments(connection, kept)}
    for row in _enrolments(connection, gone):
        twin = mine.get(row.section_id)
        if twin is not None:
            connection.execute(delete(t.enrolment).where(e.id == row.id))
            both = max(row.active, twin.active)
            connection.execute(update(t.enrolment).where(e.id == twin.id).values(active=both))


def _active_sections(connection: Connection, person: Person) -> dict[str, str]:
    """The person's active section by course."""
    query = (
        select(t.section.c.course_id, t.section.c.id)
        .select_from(t.enrolment.join(t.section))
        .where(t.enrolment.c.person_id == person.id, t.enrolment.c.active == 1)
    )
    return {row.course_id: row.id for row in connection.execute(query)}


def _one_section(connection: Connection, kept: Person, newest: dict[str, str]) -> None:
    """Where the two rows were in different sections of a class, that of the newer id counts."""
    for course_id, section_id in newest.items():
        others = select(t.section.c.id).where(
            t.section.c.course_id == course_id, t.section.c.id != section_id
        )
        mine = t.enrolment.c.person_id == kept.id
        out = update(t.enrolment).where(mine, t.enrolment.c.section_id.in_(others))
        connection.execute(out.values(active=0))


def _enrolments(connection: Connection, person: Person) -> list[Any]:
    return list(connection.execute(select(t.enrolment).where(t.enrolment.c.person_id == person.id)))


def _enrolled(connection: Connection, person: Person) -> int:
    return int(any(row.active for row in _enrolments(connection, person)))
