"""Classes of a programme and who is in them. Knows courses, sections, enrolments; no mark."""

from __future__ import annotations

import re
from difflib import get_close_matches
from typing import NamedTuple

from sqlalchemy import Connection, case, func, insert, or_, select

from trainer.base.errors import ConflictError, NotFoundError, TrainerError, quoted
from trainer.classroom.desk import Desk
from trainer.classroom.people import FIELDS, Person, person_of
from trainer.classroom.zones import zone_of
from trainer.store import tables as t

_NAME = re.compile(r"\w[\w.-]{0,39}")
_TITLE_MOST = 120


class Course(NamedTuple):
    """A class: its name in commands, its title on pages, the zone its times are read in."""

    id: str
    name: str
    title: str
    zone: str


class Member(NamedTuple):
    """A person in a section; ``active`` is the enrolment, not the person."""

    person: Person
    section: str
    active: bool

    @property
    def learner_id(self) -> str:
        return self.person.learner_id


class CourseRow(NamedTuple):
    """A class in a list; ``learners`` are the active ones."""

    course: Course
    sections: tuple[str, ...]
    learners: int


def new_course(desk: Desk, name: str, title: str = "", zone: str = "UTC") -> Course:
    """A class that nobody is in yet. Raises ConflictError when there is one of that name."""
    if not _NAME.fullmatch(name):
        hint = "write 1 to 40 letters, digits and . _ - without a space; --title may be longer"
        raise TrainerError(f"{quoted(name)} is no name for a class", "", hint)
    title = " ".join(title.split())
    if len(title) > _TITLE_MOST or not title.isprintable():
        hint = f"write one line of at most {_TITLE_MOST} letters"
        raise TrainerError("the title is too long or holds what cannot be shown", "--title", hint)
    zone_of(zone)
    made = Course(desk.new_id(), name, title, zone)
    with desk.store.writing() as connection:
        taken = select(t.course.c.name).where(func.lower(t.course.c.name) == name.lower())
        there = connection.scalar(taken)
        if there is not None:
            hint = "choose another name, or fill it with class apply"
            raise ConflictError(f"there is a class {quoted(there)} already", "", hint)
        connection.execute(insert(t.course).values(**made._asdict(), added_ms=desk.now_ms))
        desk.note(connection, "class.new", made.id, {"name": name})
    return made


def find_course(connection: Connection, name_or_id: str) -> Course:
    """The class of this name or id. Near names are in the refusal."""
    columns = (t.course.c.id, t.course.c.name, t.course.c.title, t.course.c.zone)
    query = select(*columns).where(or_(t.course.c.name == name_or_id, t.course.c.id == name_or_id))
    row = connection.execute(query).first()
    if row is not None:
        return Course(*row)
    names = sorted(connection.scalars(select(t.course.c.name)))
    near = get_close_matches(name_or_id[:60], names, n=2, cutoff=0.5)
    listed = ", ".join(near or names[:8])
    hint = f"one of {listed}" if listed else "begin one with condenser-bench class new NAME"
    raise NotFoundError(f"there is no class {quoted(name_or_id)}", "", hint)


def courses(connection: Connection) -> tuple[CourseRow, ...]:
    """All classes by name, with how many learners are active in each."""
    rows = connection.execute(
        select(t.course.c.id, t.course.c.name, t.course.c.title, t.course.c.zone)
    ).all()
    found = sorted((Course(*row) for row in rows), key=lambda course: course.name)
    return tuple(_counted(connection, course) for course in found)


def _counted(connection: Connection, course: Course) -> CourseRow:
    joined = t.section.outerjoin(t.enrolment)
    active = func.sum(case((t.enrolment.c.active == 1, 1), else_=0))
    found = connection.execute(
        select(t.section.c.name, active).select_from(joined)
        .where(t.section.c.course_id == course.id)
        .group_by(t.section.c.name)
    ).all()  # fmt: skip
    sections = tuple(sorted(name for name, _ in found))
    return CourseRow(course, sections, sum(n or 0 for _, n in found))


def people_of(
    connection: Connection, course: str, section: str | None = None, inactive: bool = False
) -> tuple[Member, ...]:
    """Who is in a class (name or id), or in one section of it; by section and learner id.

    With ``inactive`` also those who left, each once: where he is, else where he was last.
    """
    found = find_course(connection, course)
    joined = t.person.join(t.enrolment).join(t.section)
    query = (
        select(*FIELDS, t.section.c.name, t.enrolment.c.active)
        .select_from(joined)
        .where(t.section.c.course_id == found.id)
        .order_by(t.enrolment.c.active, t.enrolment.c.added_ms, t.enrolment.c.id)
    )
    if section is not None:
        check_section(connection, found, section)
        query = query.where(t.section.c.name == section)
    if not inactive:
        query = query.where(t.enrolment.c.active == 1)
    rows = connection.execute(query)
    members = {row[0]: Member(person_of(row), row[-2], bool(row[-1])) for row in rows}
    return tuple(sorted(members.values(), key=lambda m: (m.section, m.learner_id)))


def check_section(connection: Connection, course: Course, section: str) -> None:
    """Raises NotFoundError with the sections there are."""
    query = select(t.section.c.name).where(t.section.c.course_id == course.id)
    names = sorted(connection.scalars(query))
    if section not in names:
        hint = f"one of {', '.join(quoted(n) for n in names)}" if names else "it has none yet"
        raise NotFoundError(f"class {course.name} has no section {quoted(section)}", "", hint)
