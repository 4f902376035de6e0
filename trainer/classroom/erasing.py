"""One person erased: names, ids and handed-in bytes go; marks stay, of nobody in particular.

His row keeps its key, so that figures of the class are what they were; a drawn token stands where
his id stood. Rows that are never changed stay, and what they may still say of him is counted and
told. Knows where a person's words can stand; must know no mark.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import NamedTuple

from sqlalchemy import JSON, Column, Connection, Table, Text, delete, select, update

from trainer.base.errors import ConflictError
from trainer.classroom.belongings import belongings
from trainer.classroom.desk import Desk
from trainer.classroom.people import Person, find
from trainer.store import tables as t
from trainer.store.failing import StoreError

TOKEN = "erased-"
_TOKEN_BYTES = 8
#: Shorter words, and shorter numbers, are in too many sentences that mean something else.
_WORD_LEAST, _NUMBER_LEAST = 3, 6


class Erased(NamedTuple):
    """What an erasure did or would do. ``left`` are (table, rows) that still hold a word of his.

    ``clean``: removed bytes were also taken out of the database's files.
    """

    token: str
    aliases: int
    attempts: int
    files: int
    left: tuple[tuple[str, int], ...]
    done: bool = False
    clean: bool = False


def erase(desk: Desk, learner: str, confirm: str, dry_run: bool = False) -> Erased:
    """Erases the person of this id; ``confirm`` is the id once more.

    Then the database is rewritten so that removed bytes are in none of its files; when another
    program holds it, that is left to the same command with the token in place of the id.
    """
    if dry_run:
        with desk.store.reading() as connection:
            return _planned(connection, find(connection, learner), "")
    with desk.store.writing() as connection:
        person = find(connection, learner)
        if confirm != learner:
            hint = f"say --confirm {learner} when it is this learner that is to be erased"
            raise ConflictError("the id to confirm is another one", "--confirm", hint)
        told = _done(desk, connection, person)
    try:
        desk.store.forget()
    except StoreError:
        return told
    return told._replace(clean=True)


def _planned(connection: Connection, person: Person, token: str) -> Erased:
    mine = belongings(connection, person)
    aliases = [row["alias"] for row in mine.rows.get("person_alias", [])]
    left = _mentions(connection, _words(person, aliases)) if not person.erased else ()
    attempts = len(mine.rows.get("attempt", []))
    return Erased(token, len(aliases), attempts, len(mine.files), left, done=person.erased)


def _done(desk: Desk, connection: Connection, person: Person) -> Erased:
    """All rows in one transaction. Somebody already erased is left as he is."""
    if person.erased:
        return _planned(connection, person, person.learner_id)
    mine = belongings(connection, person)
    aliases = [row["alias"] for row in mine.rows.get("person_alias", [])]
    words = _words(person, aliases)
    token = TOKEN + desk.chance(_TOKEN_BYTES).hex()
    _empty(connection, mine.files)
    _clear_notes(connection, words, [row["id"] for row in mine.rows["quarantine"]], token)
    connection.execute(delete(t.person_alias).where(t.person_alias.c.person_id == person.id))
    nothing = {"given_name": "", "family_name": "", "email": "", "external_id": ""}
    connection.execute(
        update(t.person).where(t.person.c.id == person.id)
        .values(**nothing, learner_id=token, accommodation_milli=1000, active=0,
                erased_ms=desk.now_ms)
    )  # fmt: skip
    connection.execute(
        update(t.enrolment).where(t.enrolment.c.person_id == person.id).values(active=0)
    )
    attempts, left = len(mine.rows.get("attempt", [])), _mentions(connection, words)
    told = Erased(token, len(aliases), attempts, len(mine.files), left, done=True)
    counts = {"aliases": told.aliases, "attempts": told.attempts, "files": told.files}
    desk.note(connection, "learner.erase", person.id, counts)
    return told


def _empty(connection: Connection, digests: Iterable[str]) -> None:
    """The digests stay: receipts and chains name them."""
    for digest in digests:
        gone = update(t.blob).where(t.blob.c.digest == digest)
        connection.execute(gone.values(packed=b"", size=0))


def _words(person: Person, aliases: Iterable[str]) -> tuple[str, ...]:
    """Texts that mean this person in a sentence: ids, address, whole name."""
    found = (person.learner_id, *aliases, person.email, person.external_id, person.name)
    return tuple(word for word in dict.fromkeys(found) if _means_somebody(word))


def _means_somebody(word: str) -> bool:
    return len(word) >= (_NUMBER_LEAST if word.isdecimal() else _WORD_LEAST)


def _pattern(words: Iterable[str]) -> re.Pattern[str]:
    """The words standing alone, longest first."""
    listed = "|".join(re.escape(w) for w in sorted(words, key=len, reverse=True))
    return re.compile(rf"(?<![\w@.-])(?:{listed})(?![\w@-])")


#: Free text that may be changed: sentences for the instructor.
_NOTES: tuple[tuple[Table, str], ...] = (
    (t.attempt, "flags"), (t.attempt, "checked"), (t.quarantine, "reason"), (t.quarantine, "hint"),
    (t.key, "note"),
)  # fmt: skip


def _clear_notes(
    connection: Connection, words: tuple[str, ...], quarantine: list[str], token: str
) -> None:
    """The token in place of his words; the reasons of his own quarantined files go whole."""
    for row_id in quarantine:
        row = update(t.quarantine).where(t.quarantine.c.id == row_id)
        connection.execute(row.values(reason="the file was erased", hint=""))
    if not words:
        return
    pattern = _pattern(words)
    for table, name in _NOTES:
        column = table.c[name]
        for row_id, value in connection.execute(select(table.c.id, column)).all():
            changed = _replaced(value, pattern, token)
            if changed != value:
                connection.execute(
                    update(table).where(table.c.id == row_id).values({name: changed})
                )


def _replaced(value: object, pattern: re.Pattern[str], token: str) -> object:
    if isinstance(value, str):
        return pattern.sub(token, value)
    if isinstance(value, list):
        return [_replaced(item, pattern, token) for item in value]
    if isinstance(value, dict):
        return {key: _replaced(item, pattern, token) for key, item in value.items()}
    return value


def _mentions(connection: Connection, words: tuple[str, ...]) -> tuple[tuple[str, int], ...]:
    """Rows that are never changed, or are not his, and hold a word of his: (table, rows)."""
    if not words:
        return ()
    pattern = _pattern(words)
    found = []
    for table in t.APPEND_ONLY:
        columns = [c for c in table.columns if _holds_text(c)]
        rows = connection.execute(select(*columns)).all() if columns else []
        count = sum(any(_says(value, pattern) for value in row) for row in rows)
        if count:
            found.append((table.name, count))
    return tuple(found)


def _holds_text(column: Column[object]) -> bool:
    return isinstance(column.type, (Text, JSON)) and not column.foreign_keys


def _says(value: object, pattern: re.Pattern[str]) -> bool:
    if isinstance(value, str):
        return pattern.search(value) is not None
    if isinstance(value, dict):
        return any(_says(v, pattern) for pair in value.items() for v in pair)
    if isinstance(value, list):
        return any(_says(item, pattern) for item in value)
    return False
