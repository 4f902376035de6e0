"""What the store has of one person, as files to give him: rows as JSON, and what he handed in.

Files are named by digest, never by what they were called; of marks there is what the gate of
release shows him. Knows what goes into the bundle; must know no archive format and no place on the
machine.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any, NamedTuple

from sqlalchemy import Connection

from trainer.base.errors import TrainerError
from trainer.classroom.belongings import belongings
from trainer.classroom.desk import Desk
from trainer.classroom.keeping import ErasedError, fetch
from trainer.classroom.people import Person, find
from trainer.classroom.releasing import FULL, shown

_READ_ME = """\
Everything that this programme's class store has of one person.

rows.json   rows of the store by table; times are milliseconds since 1970 in UTC
files/      what was handed in, byte for byte, each named by its SHA-256
"""
_WITHHELD = """
Of {n} attempts the marks are not, or not wholly, released: what is shown so far is in it.
"""
_NOTES = """
Also in it: marks not released yet and notes for the instructor, which may name others.
"""


class HandedOver(NamedTuple):
    """``files`` by name in the bundle. ``withheld``: attempts whose marks are not wholly in it.

    ``damaged``: digests of files that the store no longer holds as they came.
    """

    person: Person
    files: tuple[tuple[str, bytes], ...]
    rows: dict[str, int]
    withheld: int
    damaged: tuple[str, ...]


def handed_over(desk: Desk, learner: str, everything: bool = False) -> HandedOver:
    """All of one person, noted in the trail. ``everything`` is for the instructor's eyes."""
    with desk.store.reading() as connection:
        person = find(connection, learner)
        found = belongings(connection, person, for_learner=not everything)
        rows: dict[str, list[dict[str, Any]]] = dict(found.rows)
        withheld = 0
        if not everything:
            views = _views(connection, rows.get("attempt", []), desk.now_ms)
            withheld = sum(view["level"] != FULL for view in views)
            rows["shown"] = [view for view in views if "total" in view]
        files, damaged = _files(connection, found.files)
    with desk.store.writing() as connection:
        desk.note(connection, "learner.export", person.id, {"everything": everything})
    text = json.dumps(rows, ensure_ascii=False, indent=1, sort_keys=True)
    rest = _NOTES if everything else (_WITHHELD.format(n=withheld) if withheld else "")
    head = [("README.txt", (_READ_ME + rest).encode()), ("rows.json", text.encode("utf-8"))]
    counts = {name: len(mine) for name, mine in rows.items() if mine}
    return HandedOver(person, (*head, *files), counts, withheld, damaged)


def _views(
    connection: Connection, attempts: Iterable[dict[str, Any]], now_ms: int
) -> list[dict[str, Any]]:
    """What he may see of each attempt; only the level where that is nothing."""
    seen = [shown(connection, row["id"], now_ms) for row in attempts]
    return [{"attempt_id": s.attempt_id, "level": s.level, **s.view} for s in seen]


def _files(
    connection: Connection, digests: Iterable[str]
) -> tuple[list[tuple[str, bytes]], tuple[str, ...]]:
    """Files by name, and digests of those that cannot be given back; erased ones are neither."""
    files, damaged = [], []
    for digest in digests:
        try:
            files.append((f"files/{digest}", fetch(connection, digest)))
        except ErasedError:
            continue
        except TrainerError:
            damaged.append(digest)
    return files, tuple(damaged)
