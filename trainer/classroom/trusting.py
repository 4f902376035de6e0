"""A learner's keys: which one he handed in with first, and which others the instructor trusts.

A new machine or a program installed anew signs with another key, and so does somebody else. Whether
it is the learner's is settled by asking him to read it out; from then on it is told no more. What
counts is folded from the trail. Knows keys and the trail; must know no mark.
"""

from __future__ import annotations

from typing import NamedTuple

from sqlalchemy import Connection, select, update

from trainer.base.errors import NotFoundError, PolicyError, UsageError, quoted
from trainer.classroom.desk import Desk
from trainer.classroom.moderating import REASON_LEAST
from trainer.classroom.noticing import ANOTHER_KEY
from trainer.classroom.people import Person, find
from trainer.exchange.keys import fingerprint
from trainer.store import tables as t

#: In the trail: the subject is the key's row, and each attempt that is told of it no more.
ACCEPTED = "learner.key"
#: So much of a key has to be said: two of the groups that are read out.
SAID_LEAST = 8


class Kept(NamedTuple):
    """A key of a learner. ``aloud`` is how it is read out; ``how``: first, accepted or another."""

    id: str
    public: str
    aloud: str
    since_ms: int
    how: str
    attempts: int
    reason: str = ""
    accepted_ms: int = 0
    accepted_by: str = ""

    @property
    def trusted(self) -> bool:
        return self.how != "another"


class Accepted(NamedTuple):
    """``told`` are attempts that were flagged for this key and are no more; ``done`` before."""

    person: Person
    key: Kept
    told: tuple[str, ...]
    done: bool


def keys_of(connection: Connection, person_id: str) -> tuple[Kept, ...]:
    """In the order they came; the first one is trusted by itself."""
    k = t.key.c
    rows = connection.execute(
        select(t.key).where(k.person_id == person_id).order_by(k.trusted_ms, k.note)
    ).all()
    return tuple(_kept(connection, row.id, row.public, row.trusted_ms, n == 0)
                 for n, row in enumerate(rows))  # fmt: skip


def _kept(connection: Connection, key_id: str, public: str, since_ms: int, first: bool) -> Kept:
    signed = select(t.attempt.c.id).where(t.attempt.c.public_key == public)
    made = Kept(key_id, public, fingerprint(public), since_ms, "first" if first else "another",
                len(connection.execute(signed).all()))  # fmt: skip
    said = select(t.audit).where(t.audit.c.what == ACCEPTED, t.audit.c.subject == key_id)
    row = connection.execute(said.order_by(t.audit.c.n.desc())).first()
    if row is None or first:
        return made
    return made._replace(
        how="accepted", reason=row.body["reason"], accepted_ms=row.at_ms, accepted_by=row.who
    )


def accept(desk: Desk, learner: str, said: str, reason: str, dry_run: bool = False) -> Accepted:
    """Trusts the key that begins as ``said``; attempts flagged for it alone are cleared of that.

    Raises NotFoundError, UsageError for too little of a key, PolicyError without a reason.
    """
    text = " ".join(reason.split())
    if len(text) < REASON_LEAST:
        what = f"trusting a key needs a reason of {REASON_LEAST} characters or more"
        raise PolicyError(what, "--reason", "how it was seen to be his, for the trail")
    if dry_run:
        with desk.store.reading() as connection:
            return _planned(connection, learner, said)
    with desk.store.writing() as connection:
        plan = _planned(connection, learner, said)
        if not plan.done:
            _write(desk, connection, plan, text)
    return plan


def _planned(connection: Connection, learner: str, said: str) -> Accepted:
    person = find(connection, learner)
    if person.erased:
        raise PolicyError(f"learner {person.learner_id} was erased", "", "name another id")
    key = _meant(keys_of(connection, person.id), said, learner)
    a = t.attempt.c
    signed = (a.person_id == person.id) & (a.public_key == key.public)
    rows = connection.execute(select(a.id, a.flags).where(signed).order_by(a.no, a.id))
    told = tuple(row.id for row in rows if ANOTHER_KEY in row.flags)
    return Accepted(person, key, told, key.trusted)


def _meant(keys: tuple[Kept, ...], said: str, learner: str) -> Kept:
    digits = "".join(said.split()).casefold()
    if len(digits) < SAID_LEAST:
        raise UsageError(
            f"{quoted(said)} is too little of a key to know it by", "",
            "at least its first two groups, as condenser-bench handin key shows the learner",
        )  # fmt: skip
    found = [key for key in keys if "".join(key.aloud.split()).startswith(digits)]
    if not found:
        raise NotFoundError(
            f"no key of {learner} reads {quoted(said)}", "",
            f"condenser-bench learner keys {learner} shows those that were seen",
        )  # fmt: skip
    return found[0]


def _write(desk: Desk, connection: Connection, plan: Accepted, reason: str) -> None:
    body = {"reason": reason, "aloud": plan.key.aloud}
    for attempt_id in plan.told:
        of = t.attempt.c.id == attempt_id
        flags = connection.execute(select(t.attempt.c.flags).where(of)).scalar_one()
        kept = [flag for flag in flags if flag != ANOTHER_KEY]
        connection.execute(update(t.attempt).where(of).values(flags=kept))
        desk.note(connection, ACCEPTED, attempt_id, {**body, "flag": ANOTHER_KEY})
    noted = update(t.key).where(t.key.c.id == plan.key.id)
    connection.execute(noted.values(note=f"accepted: {reason}"))
    desk.note(connection, ACCEPTED, plan.key.id, body)
