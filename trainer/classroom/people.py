"""One person of a programme: found by id or by an older id, listed, shown.

Names stand in the table ``person`` alone. Knows who is who; must know no mark.
"""

from __future__ import annotations

from difflib import get_close_matches
from typing import NamedTuple

from sqlalchemy import Connection, Row, Select, func, select

from trainer.base.errors import NotFoundError, quoted
from trainer.store import tables as t


class Person(NamedTuple):
    """A row of ``person``."""

    id: str
    learner_id: str
    given_name: str
    family_name: str
    email: str
    external_id: str
    accommodation_milli: int
    active: bool
    erased: bool

    @property
    def name(self) -> str:
        return " ".join(part for part in (self.given_name, self.family_name) if part)


class Enrolled(NamedTuple):
    """Where a person is enrolled."""

    course: str
    section: str
    active: bool


class Known(NamedTuple):
    """A person with what else is known of him beside his attempts' content."""

    person: Person
    aliases: tuple[str, ...]
    enrolled: tuple[Enrolled, ...]
    attempts: int


FIELDS = (
    t.person.c.id, t.person.c.learner_id, t.person.c.given_name, t.person.c.family_name,
    t.person.c.email, t.person.c.external_id, t.person.c.accommodation_milli, t.person.c.active,
    t.person.c.erased_ms,
)  # fmt: skip


def person_of(row: Row) -> Person:
    """A row that begins with ``FIELDS``."""
    seven: tuple[str, str, str, str, str, str, int] = tuple(row[:7])
    return Person(*seven, bool(row[7]), row[8] is not None)


def find(connection: Connection, id_or_alias: str) -> Person:
    """The person of this learner id, or of this older one. Near ids are in the refusal."""
    found = lookup(connection, id_or_alias)
    if found is None:
        raise _unknown(connection, id_or_alias)
    return found


def lookup(connection: Connection, id_or_alias: str) -> Person | None:
    """As ``find``, or None."""
    for query in (_of_id(id_or_alias), _of_alias(id_or_alias)):
        row = connection.execute(query).first()
        if row is not None:
            return person_of(row)
    return None


def _of_id(learner_id: str) -> Select:
    return select(*FIELDS).where(t.person.c.learner_id == learner_id)


def _of_alias(alias: str) -> Select:
    joined = t.person.join(t.person_alias, t.person_alias.c.person_id == t.person.c.id)
    return select(*FIELDS).select_from(joined).where(t.person_alias.c.alias == alias)


def _unknown(connection: Connection, wanted: str) -> NotFoundError:
    """Names near ids, never names of people."""
    here = select(t.person.c.learner_id).where(t.person.c.erased_ms.is_(None))
    ids = [*connection.scalars(here)]
    by_fold = {known.casefold(): known for known in ids}
    near = get_close_matches(wanted[:64].casefold(), by_fold, n=3, cutoff=0.5)
    hint = (
        f"did you mean {', '.join(by_fold[n] for n in near)}"
        if near
        else "condenser-bench learner list shows the ids"
    )
    return NotFoundError(f"there is no learner {quoted(wanted)}", "", hint)


def everyone(connection: Connection) -> tuple[Person, ...]:
    """All people by learner id."""
    people = [person_of(row) for row in connection.execute(select(*FIELDS))]
    return tuple(sorted(people, key=lambda person: person.learner_id))


def known(connection: Connection, id_or_alias: str) -> Known:
    """One person with his older ids, his classes and how often he handed in."""
    person = find(connection, id_or_alias)
    aliases = select(t.person_alias.c.alias).where(t.person_alias.c.person_id == person.id)
    joined = t.enrolment.join(t.section).join(t.course)
    places = (
        select(t.course.c.name, t.section.c.name, t.enrolment.c.active)
        .select_from(joined)
        .where(t.enrolment.c.person_id == person.id)
    )
    count = select(func.count()).where(t.attempt.c.person_id == person.id)
    return Known(
        person, tuple(sorted(connection.scalars(aliases))),
        tuple(sorted(Enrolled(c, s, bool(a)) for c, s, a in connection.execute(places))),
        connection.scalar(count) or 0,
    )  # fmt: skip
