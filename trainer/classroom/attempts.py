"""Attempts by what a person calls them: an id, the beginning of one, or a code that names nobody.

A code is an HMAC of the assignment's secret over the attempt's id: the same each time, and of no
use without the database. Knows rows of attempts; must know no mark.
"""

from __future__ import annotations

import hashlib
import hmac
from typing import Any

from sqlalchemy import Connection, Row, select

from trainer.base.errors import ConflictError, NotFoundError, quoted
from trainer.classroom.desk import Desk
from trainer.exchange.startcode import SIGNS
from trainer.store.tables import assignment, attempt, audit, person

#: The least of an id that names an attempt.
LEAST = 6
CODE_LENGTH = 8
BLIND = "blind"


def code_of(secret: str, attempt_id: str) -> str:
    """Eight signs in two groups, for lists without names: 'K7QF-2MXD'."""
    key = bytes.fromhex(secret)
    number = int.from_bytes(hmac.new(key, attempt_id.encode(), hashlib.sha256).digest(), "big")
    signs = ""
    for _ in range(CODE_LENGTH):
        number, sign = divmod(number, len(SIGNS))
        signs += SIGNS[sign]
    return f"{signs[:4]}-{signs[4:]}"


def attempts_of(connection: Connection, assignment_id: str) -> list[Row[Any]]:
    """Attempts of an assignment with the learner's id and the secret, in order of the roster."""
    a = attempt.c
    asked = (
        select(attempt, person.c.learner_id, assignment.c.secret, assignment.c.name)
        .join(person, a.person_id == person.c.id)
        .join(assignment, a.assignment_id == assignment.c.id)
        .where(a.assignment_id == assignment_id)
        .order_by(person.c.learner_id, a.no)
    )
    return list(connection.execute(asked))


def find_attempt(connection: Connection, called: str) -> Row[Any]:
    """An attempt with its assignment's secret and name. Raises NotFoundError, ConflictError."""
    a = attempt.c
    every = (
        select(attempt, person.c.learner_id, assignment.c.secret, assignment.c.name)
        .join(person, a.person_id == person.c.id)
        .join(assignment, a.assignment_id == assignment.c.id)
    )
    text = called.strip()
    plain = text.replace("-", "").isalnum()
    if plain and len(text) >= LEAST:
        found = list(connection.execute(every.where(a.id.startswith(text.lower())).limit(2)))
        if not found:
            rows = connection.execute(every)
            found = [r for r in rows if code_of(r.secret, r.id) == text.upper()]
        if len(found) == 1:
            return found[0]
        if found:
            raise ConflictError(
                f"more than one attempt is called {quoted(called)}", "", "more of its id"
            )
    what = f"there is no attempt {quoted(called)}"
    raise NotFoundError(what, "", "its id or code from grade list, six signs or more")


def is_blind(connection: Connection, assignment_id: str) -> bool:
    """Whether names are hidden for everybody who marks: the latest word in the trail counts."""
    t = audit.c
    asked = select(t.body).where(t.what == BLIND, t.subject == assignment_id).order_by(t.n.desc())
    row = connection.execute(asked.limit(1)).first()
    return bool(row and row.body.get("on"))


def set_blind(desk: Desk, assignment_id: str, on: bool) -> None:
    with desk.store.writing() as connection:
        desk.note(connection, BLIND, assignment_id, {"on": on})
