"""Whose hand-in it is and whether it may be taken: what must hold before anything is marked.

Reads the store and writes nothing. Knows rows and claims; must know no mark.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Row, select

from trainer.base.errors import POLICY, NotFoundError, TrainerError, quoted
from trainer.classroom.assigning import assignment_of, effective_of, learners_of
from trainer.classroom.checking import Work
from trainer.classroom.jobs import stored_rubric, stored_scenario
from trainer.classroom.keeping import digest_of
from trainer.classroom.noticing import Terms
from trainer.classroom.seeds import seed_of
from trainer.exchange.handin import HandIn
from trainer.store.tables import attempt, key, person, person_alias

#: The code of another file for an attempt that is marked.
SECOND = "second_handin"


class RefusedError(TrainerError):
    """Whole and signed, and not to be taken. ``reason`` names nobody: it is kept."""

    exit_code = POLICY

    def __init__(self, code: str, what: str, hint: str, reason: str = "") -> None:
        super().__init__(what, "", hint)
        self.code, self.reason = code, reason or what


class GoneError(RefusedError):
    """Of somebody who was erased: not to be taken, and not to be kept either."""

    def __init__(self) -> None:
        super().__init__(
            "erased", "the learner it is of was erased; nothing of it is kept",
            "his own copy stays with him; delete yours",
        )  # fmt: skip


@dataclass(frozen=True)
class Admitted:
    """A hand-in with the learner and the assignment it is of."""

    handin: HandIn
    assignment: Row[Any]
    person_id: str
    terms: Terms
    work: Work


def admit(connection: Connection, found: HandIn, content: bytes, resimulate: str) -> Admitted:
    """Raises RefusedError with what to do."""
    claim = found.claim
    try:
        assigned = assignment_of(connection, claim.assignment_id)
    except NotFoundError:
        raise RefusedError(
            "no_assignment", "it is of an assignment that is not in this class database",
            "the database it was assigned from, or --store",
        ) from None  # fmt: skip
    person_id = _person(connection, found)
    if person_id not in {p.id for p in learners_of(connection, assigned)}:
        raise RefusedError(
            "not_enrolled", f"{quoted(claim.learner_id)} is not enrolled for {assigned.name}",
            "condenser-bench class apply, then import it again",
            f"this learner is not enrolled for {assigned.name}",
        )  # fmt: skip
    mine = effective_of(connection, assigned, person_id)
    if claim.no > mine.attempts:
        raise RefusedError(
            "no_attempt_left", f"it is attempt {claim.no}, and {mine.attempts} are allowed",
            "condenser-bench assign extend with one more attempt, then import it again",
        )  # fmt: skip
    terms = Terms(
        assigned.made_ms, assigned.opens_ms, mine.due_ms, mine.closes_ms, assigned.grace_min,
        assigned.late_rule, mine.attempts,
    )  # fmt: skip
    _once(connection, assigned.id, person_id, claim.no, digest_of(content))
    work = Work(
        content, found.attempt, stored_scenario(connection, assigned.scenario_id),
        stored_rubric(connection, assigned.rubric_id), _seed(assigned, person_id, claim.no),
        assigned.secret, resimulate,
    )  # fmt: skip
    return Admitted(found, assigned, person_id, terms, work)


def _seed(assigned: Row[Any], person_id: str, no: int) -> int:
    return seed_of(assigned.secret, "" if assigned.seeds == "one" else person_id, no)


def _person(connection: Connection, found: HandIn) -> str:
    """Raises GoneError where the key is that of somebody whose id is gone."""
    try:
        return person_of(connection, found.claim.learner_id)
    except RefusedError:
        owner = key.c.person_id
        by_key = select(person.c.erased_ms).where(key.c.public == found.public_key)
        if connection.scalar(by_key.where(owner == person.c.id)) is not None:
            raise GoneError from None
        raise


def still_here(connection: Connection, person_id: str) -> None:
    """Asked again by whoever writes: an erasure may have come between. Raises GoneError."""
    erased = select(person.c.erased_ms).where(person.c.id == person_id)
    if connection.scalar(erased) is not None:
        raise GoneError


def person_of(connection: Connection, learner_id: str) -> str:
    """The person of a learner id or of an earlier one. Raises RefusedError."""
    found = connection.scalar(select(person.c.id).where(person.c.learner_id == learner_id))
    if found is None:
        alias = person_alias.c
        found = connection.scalar(select(alias.person_id).where(alias.alias == learner_id))
    if found is None:
        raise RefusedError(
            "no_learner", f"there is no learner {quoted(learner_id)} in this class database",
            "condenser-bench class apply, or learner alias, then import it again",
            "no learner of this id is in the database",
        )  # fmt: skip
    return str(found)


def _once(connection: Connection, assignment_id: str, person_id: str, no: int, digest: str) -> None:
    """Another file for the same attempt is kept aside: the first that came is the one marked."""
    a = attempt.c
    other = connection.execute(
        select(a.id).where(
            a.assignment_id == assignment_id, a.person_id == person_id, a.no == no,
            a.file_digest != digest,
        )
    ).first()  # fmt: skip
    if other is not None:
        raise RefusedError(
            SECOND, f"another file was handed in for attempt {no} and is marked",
            "look at both; a new attempt can be given with assign extend",
        )  # fmt: skip
