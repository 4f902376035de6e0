"""A roster into a class: planned first, then applied as one transaction or not at all.

A person is recognised by learner id or an older id of his. A row adds, changes or deactivates;
who is in no row is left alone. Knows rows that were judged and the class as it is; must know no
file format.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal, NamedTuple

from sqlalchemy import Connection

from trainer.base.errors import UsageError, quoted
from trainer.classroom.courses import Course, find_course
from trainer.classroom.desk import Desk
from trainer.classroom.enrolling import Place, Standing, enrol, enrol_new, standing
from trainer.classroom.entries import (
    ACCOMMODATION,
    ONES_MILLI,
    SECTION,
    STATUS,
    TEXTS,
    Entry,
    Refusal,
    entry_of,
)
from trainer.classroom.people import Person
from trainer.classroom.rosterfile import Source, read_csv

Kind = Literal["add", "change", "deactivate", "same"]


class Change(NamedTuple):
    """One value before and after, as text."""

    column: str
    old: str
    new: str


@dataclass(frozen=True)
class Step:
    """What a row comes to; ``person`` is None for somebody new."""

    kind: Kind
    entry: Entry
    person: Person | None
    changes: tuple[Change, ...] = ()
    #: Where the learner is once the row is applied; a row that names none leaves him there.
    section: str = ""

    @property
    def learner_id(self) -> str:
        return self.person.learner_id if self.person else self.entry.learner_id


@dataclass(frozen=True)
class Plan:
    """All rows of a roster by what they come to; ``applied`` once it was done."""

    course: Course
    steps: tuple[Step, ...]
    refusals: tuple[Refusal, ...]
    notices: tuple[str, ...]
    preview: tuple[str, ...] = ()
    applied: bool = False

    def of(self, kind: Kind) -> tuple[Step, ...]:
        return tuple(step for step in self.steps if step.kind == kind)


@dataclass(frozen=True)
class Judged:
    """Rows that can be taken and rows that cannot, whatever the class is like."""

    entries: tuple[Entry, ...]
    refusals: tuple[Refusal, ...]
    notices: tuple[str, ...]
    preview: tuple[str, ...] = ()


def read_rosters(
    paths: Sequence[str | Path], encoding: str, id_column: str, section: str | None = None
) -> Source:
    """All files as one; a folder or a zip is read as a OneRoster-shaped export."""
    from trainer.classroom.oneroster import is_export, read_export

    if section is not None and not any(map(is_export, paths)):
        what = "a CSV file has its sections in a column, so there is none to choose"
        raise UsageError(what, "--section", "leave it out; it is for a OneRoster-shaped export")
    read = [
        read_export(path, encoding, section)
        if is_export(path)
        else read_csv(path, encoding, id_column)
        for path in paths
    ]
    return Source(
        tuple(row for source in read for row in source.rows),
        tuple(refusal for source in read for refusal in source.refusals),
        tuple(notice for source in read for notice in source.notices),
        tuple(line for source in read for line in source.preview),
    )


def judge(source: Source) -> Judged:
    """Every row on its own; a second row of one id is refused, and the first is named."""
    entries: dict[str, Entry] = {}
    external: dict[str, Entry] = {}
    refusals = list(source.refusals)
    for raw in source.rows:
        found = entry_of(raw)
        if isinstance(found, Refusal):
            refusals.append(found)
            continue
        first = entries.setdefault(found.learner_id.casefold(), found)
        if first is not found:
            refusals.append(_twice(found, first))
        elif found.external_id and external.setdefault(found.external_id, found) is not found:
            del entries[found.learner_id.casefold()]
            what = f"the external id stands at {external[found.external_id].place} too"
            refusals.append(Refusal(found.place, what, "keep one row of each learner"))
    return Judged(tuple(entries.values()), tuple(refusals), source.notices, source.preview)


def _twice(second: Entry, first: Entry) -> Refusal:
    same = second.learner_id == first.learner_id
    what = f"learner_id {quoted(second.learner_id)} stands at {first.place} too"
    return Refusal(
        second.place, what if same else f"{what}, in other capitals", "keep one row of each learner"
    )


def plan(connection: Connection, course: str, judged: Judged) -> Plan:
    """What the rows would do to the class as it is now; nothing is changed."""
    return _planned(find_course(connection, course), standing(connection, course), judged)


def apply(desk: Desk, course: str, judged: Judged, skip_refused: bool = False) -> Plan:
    """The plan made again and done in one transaction; with refused rows only if they may go."""
    with desk.store.writing() as connection:
        made = plan(connection, course, judged)
        if made.refusals and not skip_refused:
            return made
        steps = [step for step in made.steps if step.kind != "same"]
        for step in steps:
            if step.person is not None:
                enrol(desk, connection, made.course, step.person, step.entry, step.section)
        new = [(step.entry, step.section) for step in steps if step.person is None]
        enrol_new(desk, connection, made.course, new)
        if steps:
            counts: dict[str, int] = {kind: len(made.of(kind)) for kind in ("add", "change")}
            counts |= {"deactivate": len(made.of("deactivate")), "refused": len(made.refusals)}
            desk.note(connection, "class.apply", made.course.id, counts)
    return replace(made, applied=True)


def _planned(course: Course, known: Standing, judged: Judged) -> Plan:
    steps: list[Step] = []
    refusals = list(judged.refusals)
    taken: dict[str, Entry] = {}
    for entry in judged.entries:
        person = known.person(entry.learner_id)
        refused = _refused(entry, person, known)
        if person is not None and refused is None:
            first = taken.setdefault(person.id, entry)
            if first is not entry:
                refused = _same_person(entry, first, person)
        if refused is not None:
            refusals.append(refused)
        else:
            steps.append(_step(entry, person, known))
    notices = (*judged.notices, *_doubtful(steps, known))
    return Plan(course, tuple(steps), tuple(refusals), notices, judged.preview)


def _refused(entry: Entry, person: Person | None, known: Standing) -> Refusal | None:
    """Why this row cannot be taken in this programme."""
    if person is not None and person.erased:
        what = f"learner {quoted(entry.learner_id)} was erased"
        return Refusal(entry.place, what, "give a returning learner a new id")
    near = known.in_other_capitals(entry.learner_id)
    if person is None and near:
        what = f"learner_id {quoted(entry.learner_id)} is known as {near}"
        return Refusal(entry.place, what, f"write {near}, or another id for somebody else")
    owner = known.by_external.get(entry.external_id or "")
    if owner is not None and (person is None or owner.id != person.id):
        what = f"the external id is that of learner {owner.learner_id}"
        hint = f"if it is one person: condenser-bench learner alias {entry.learner_id}"
        return Refusal(entry.place, what, f"{hint} {owner.learner_id}")
    return None


def _same_person(entry: Entry, first: Entry, person: Person) -> Refusal:
    what = f"{quoted(entry.learner_id)} is learner {person.learner_id}, who is at {first.place} too"
    return Refusal(entry.place, what, "keep one row of each learner")


def _step(entry: Entry, person: Person | None, known: Standing) -> Step:
    place = known.places.get(person.id) if person else None
    if not entry.active:
        return Step("deactivate" if place and place.active else "same", entry, person)
    changes = _changes(entry, person, place)
    section = entry.section if entry.section is not None else place.section if place else ""
    kind: Kind = "add" if place is None else "change" if changes else "same"
    return Step(kind, entry, person, changes, section)


def _changes(entry: Entry, person: Person | None, place: Place | None) -> tuple[Change, ...]:
    found: list[Change] = []
    for column in TEXTS:
        new = getattr(entry, column)
        old = getattr(person, column) if person else ""
        if new is not None and new != old:
            found.append(Change(column, old, new))
    milli = entry.accommodation_milli
    now = person.accommodation_milli if person else ONES_MILLI
    if milli is not None and milli != now:
        found.append(Change(ACCOMMODATION, factor(now), factor(milli)))
    if place is not None:
        if entry.section is not None and entry.section != place.section:
            found.append(Change(SECTION, place.section, entry.section))
        if not place.active:
            found.append(Change(STATUS, "inactive", "active"))
    return tuple(found)


def factor(milli: int) -> str:
    """Thousandths as a person writes them: 1.25."""
    whole, part = divmod(milli, 1000)
    digits = f"{part:03}".rstrip("0")
    return f"{whole}.{digits or '0'}"


def _doubtful(steps: Iterable[Step], known: Standing) -> list[str]:
    """What a person should look at before applying: one name or one e-mail under two ids."""
    found: list[str] = []
    names = {_folded(p.name): p.learner_id for p in known.members}
    mails = {p.email.casefold(): p.learner_id for p in known.members if p.email}
    for step in steps:
        if step.kind != "add":
            continue
        mine = step.learner_id
        for table, key, what in (
            (names, _folded(step.entry.names), "name"),
            (mails, (step.entry.email or "").casefold(), "e-mail"),
        ):
            other = table.setdefault(key, mine) if key else mine
            if other != mine:
                found.append(
                    f"{step.entry.place}  {mine} has the {what} of {other}; if it is one "
                    f"person: condenser-bench learner alias {mine} {other}"
                )
    return found


def _folded(name: str) -> str:
    return " ".join(name.casefold().split())
