"""Writes a row of a roster into people, sections and enrolments, and reads how they stand.

Somebody has one active section in a class; an earlier one stays as an inactive row. A person is
active as long as one of his enrolments is. Knows the tables; must not decide what a row means.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from sqlalchemy import Connection, func, insert, select, update

from trainer.classroom.courses import Course, find_course
from trainer.classroom.desk import Desk
from trainer.classroom.entries import ONES_MILLI, TEXTS, Entry
from trainer.classroom.people import Person, everyone
from trainer.store import tables as t


class Place(NamedTuple):
    """Where somebody is in a class: his active section, else the one he was in last."""

    section: str
    active: bool


@dataclass(frozen=True)
class Standing:
    """People of the programme and places in one class, as they are now."""

    by_id: dict[str, Person]
    by_fold: dict[str, str]
    by_external: dict[str, Person]
    places: dict[str, Place]

    def person(self, learner_id: str) -> Person | None:
        return self.by_id.get(learner_id)

    def in_other_capitals(self, learner_id: str) -> str:
        return self.by_fold.get(learner_id.casefold(), "")

    @property
    def members(self) -> list[Person]:
        people = {p.id: p for p in self.by_id.values() if p.id in self.places and not p.erased}
        return list(people.values())


def standing(connection: Connection, course: str) -> Standing:
    people = everyone(connection)
    by_row = {person.id: person for person in people}
    by_id = {person.learner_id: person for person in people}
    aliases = connection.execute(select(t.person_alias.c.alias, t.person_alias.c.person_id))
    by_id |= {alias: by_row[person_id] for alias, person_id in aliases}
    return Standing(
        by_id,
        {learner_id.casefold(): learner_id for learner_id in by_id},
        {p.external_id: p for p in people if p.external_id},
        _places(connection, find_course(connection, course)),
    )


def _places(connection: Connection, course: Course) -> dict[str, Place]:
    query = (
        select(t.enrolment.c.person_id, t.section.c.name, t.enrolment.c.active)
        .select_from(t.enrolment.join(t.section))
        .where(t.section.c.course_id == course.id)
        .order_by(t.enrolment.c.active, t.enrolment.c.added_ms, t.enrolment.c.id)
    )
    rows = connection.execute(query)
    return {person_id: Place(section, bool(active)) for person_id, section, active in rows}


def enrol_new(
    desk: Desk, connection: Connection, course: Course, rows: Sequence[tuple[Entry, str]]
) -> None:
    """People that nobody knows yet, each in his section; all at once, since there may be many."""
    sections = {name: _section(desk, connection, course, name) for name in {n for _, n in rows}}
    people, places = [], []
    for entry, name in rows:
        made = desk.new_id()
        people.append(_new_row(desk, made, entry))
        places.append(_enrolment(desk, sections[name], made))
    for table, found in ((t.person, people), (t.enrolment, places)):
        if found:
            connection.execute(insert(table), found)


def _new_row(desk: Desk, row_id: str, entry: Entry) -> dict[str, Any]:
    return {
        "id": row_id, "learner_id": entry.learner_id, "added_ms": desk.now_ms, "active": 1,
        "accommodation_milli": entry.accommodation_milli or ONES_MILLI,
        **{name: getattr(entry, name) or "" for name in TEXTS},
    }  # fmt: skip


def _enrolment(desk: Desk, section_id: str, person_id: str) -> dict[str, Any]:
    return {"id": desk.new_id(), "section_id": section_id, "person_id": person_id, "active": 1,
            "added_ms": desk.now_ms}  # fmt: skip


def enrol(
    desk: Desk, connection: Connection, course: Course, person: Person, entry: Entry, section: str
) -> None:
    """The person as the row has him, in this section, or out of the class."""
    _leave(connection, course, person.id)
    if entry.active:
        _bring_up_to_date(connection, person, entry)
        _enter(desk, connection, _section(desk, connection, course, section), person.id)
    _settle(connection, person.id)


def _bring_up_to_date(connection: Connection, person: Person, entry: Entry) -> None:
    texts = {name: getattr(entry, name) for name in TEXTS}
    values: dict[str, Any] = {name: text for name, text in texts.items() if text is not None}
    if entry.accommodation_milli is not None:
        values["accommodation_milli"] = entry.accommodation_milli
    if values:
        connection.execute(update(t.person).where(t.person.c.id == person.id).values(**values))


def _section(desk: Desk, connection: Connection, course: Course, name: str) -> str:
    query = select(t.section.c.id).where(t.section.c.course_id == course.id)
    found = connection.scalar(query.where(t.section.c.name == name))
    if found is not None:
        return str(found)
    made = desk.new_id()
    connection.execute(insert(t.section).values(id=made, course_id=course.id, name=name))
    return made


def _leave(connection: Connection, course: Course, person_id: str) -> None:
    sections = select(t.section.c.id).where(t.section.c.course_id == course.id)
    his = t.enrolment.c.person_id == person_id
    out = update(t.enrolment).where(his, t.enrolment.c.section_id.in_(sections))
    connection.execute(out.values(active=0))


def _enter(desk: Desk, connection: Connection, section_id: str, person_id: str) -> None:
    mine = (t.enrolment.c.section_id == section_id, t.enrolment.c.person_id == person_id)
    back = connection.execute(update(t.enrolment).where(*mine).values(active=1))
    if back.rowcount == 0:
        row = _enrolment(desk, section_id, person_id)
        connection.execute(insert(t.enrolment).values(**row))


def _settle(connection: Connection, person_id: str) -> None:
    query = select(func.count()).where(t.enrolment.c.person_id == person_id)
    active = connection.scalar(query.where(t.enrolment.c.active == 1)) or 0
    changed = update(t.person).where(t.person.c.id == person_id)
    connection.execute(changed.values(active=int(active > 0)))
