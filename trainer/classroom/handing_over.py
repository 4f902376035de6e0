"""What the store has of one person, as files to give him: rows as JSON, and what he handed in.

Files are named by digest, never by what they were called. Knows what goes into the bundle; must
know no archive format and no place on the machine.
"""

from __future__ import annotations

import json
from typing import NamedTuple

from sqlalchemy import Connection, select

from trainer.classroom.belongings import belongings, file_of
from trainer.classroom.desk import Desk
from trainer.classroom.people import Person, find
from trainer.store import tables as t

_READ_ME = """\
Everything that this programme's class store has of one person.

rows.json   rows of the store by table; times are milliseconds since 1970 in UTC
files/      what was handed in, byte for byte, each named by its SHA-256
{rest}
"""
_WITHHELD = """
Marks that were not released yet are not in it: {n} attempt{s}. Ask again when they are released."""
_NOTES = """
Also in it: marks not released yet and notes for the instructor, which may name others."""


class HandedOver(NamedTuple):
    """``files`` by name in the bundle; ``withheld`` attempts whose marks are not in it."""

    person: Person
    files: tuple[tuple[str, bytes], ...]
    rows: dict[str, int]
    withheld: int


def handed_over(desk: Desk, learner: str, everything: bool = False) -> HandedOver:
    """All of one person, noted in the trail. ``everything`` is for the instructor's eyes."""
    with desk.store.writing() as connection:
        person = find(connection, learner)
        found = belongings(
            connection,
            person,
            None if everything else lambda attempt: released(connection, attempt),
        )
        files = [(f"files/{digest}", file_of(connection, digest)) for digest in found.files]
        desk.note(connection, "learner.export", person.id, {"everything": everything})
    counts = {name: len(rows) for name, rows in found.rows.items() if rows}
    text = json.dumps(found.rows, ensure_ascii=False, indent=1, sort_keys=True)
    rest = _NOTES if everything else ""
    if found.withheld:
        rest = _WITHHELD.format(n=found.withheld, s="" if found.withheld == 1 else "s")
    head = [
        ("README.txt", _READ_ME.format(rest=rest).encode()),
        ("rows.json", text.encode("utf-8")),
    ]
    return HandedOver(person, (*head, *files), counts, found.withheld)


def released(connection: Connection, attempt: str) -> bool:
    """Whether all of an attempt's marks were shown to its learner, by the latest release."""
    query = (
        select(t.release.c.level)
        .where(t.release.c.attempt_id == attempt)
        .order_by(t.release.c.made_ms.desc())
    )
    return connection.scalar(query.limit(1)) == "full"
