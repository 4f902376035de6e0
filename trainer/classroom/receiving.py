"""The rows of one hand-in, all of them or none: bytes, key, openings, flags, grade, receipt.

Called inside a transaction with what was checked before it. Knows rows; must know no file's path
and does nothing heavy.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection, Row, Text, cast, insert, select, update

from trainer.classroom.admitting import Admitted, still_here
from trainer.classroom.checking import Checked
from trainer.classroom.desk import Desk
from trainer.classroom.grading import Graded, write_grade
from trainer.classroom.keeping import digest_of, fetch, keep
from trainer.classroom.noticing import (
    ANOTHER_KEY,
    TOLD,
    Timing,
    clock_flags,
    opened_twice,
    opening_flags,
    times_of,
    timing,
    word_of,
)
from trainer.classroom.releasing import NOTHING, signature_for, write_release
from trainer.classroom.standing import effective
from trainer.classroom.trusting import keys_of
from trainer.exchange.handin import Claim, claim_of
from trainer.exchange.receipt import Receipt, write_receipt
from trainer.exchange.signing import SEAL_BYTES, line_of, row_of
from trainer.session.sealing import lock_of
from trainer.store.tables import assignment, attempt, key, opening, quarantine
from trainer.store.tables import receipt as receipts

if TYPE_CHECKING:
    from trainer.exchange.keys import Key


@dataclass(frozen=True)
class Received:
    """A hand-in in the store. ``new``: whether this call wrote it."""

    attempt_id: str
    grade: Graded | None
    timing: Timing
    flags: tuple[str, ...]
    receipt: bytes
    new: bool


def receive(
    desk: Desk, connection: Connection, admitted: Admitted, checked: Checked,
    signer: Key, accepted: str = "",
) -> Received:  # fmt: skip
    """Raises IntegrityError when somebody else wrote the same attempt at this moment, GoneError
    when the learner was erased since he was admitted."""
    still_here(connection, admitted.person_id)
    # one writer for each assignment: flags and openings are read before they are written
    held = select(assignment.c.id).where(assignment.c.id == admitted.assignment.id)
    held = held.with_for_update()
    connection.execute(held)
    there = known(connection, admitted.handin.digest)
    if there is not None:
        return there
    flags = _flags(desk, connection, admitted, checked, accepted)
    if checked.lock != lock_of(signer):
        flags.append("lock: it is sealed for another key: no debrief can be released from here")
    when = timing(admitted.terms, admitted.handin.claim.ended_ms, desk.now_ms, flags)
    if not when.counted:
        flags.append("closed: it came after the assignment closed; it is kept and does not count")
    attempt_id = desk.new_id()
    _write(desk, connection, attempt_id, admitted, checked, flags, when)
    graded = write_grade(desk, connection, attempt_id, checked.mark, admitted.work.rubric)
    _release_at_once(desk, connection, attempt_id, admitted, signer)
    content = _receipt(desk, connection, attempt_id, admitted, checked, flags, when, signer)
    digest = admitted.handin.digest
    connection.execute(quarantine.delete().where(quarantine.c.digest == digest))
    note = {"digest": digest, "flags": flags, "late_ms": when.late_ms, "counted": when.counted}
    desk.note(connection, "imported", attempt_id, {**note, "checked": checked.told})
    return Received(attempt_id, graded, when, tuple(flags), content, True)


def _release_at_once(
    desk: Desk, connection: Connection, attempt_id: str, admitted: Admitted,
    signer: Key,
) -> None:  # fmt: skip
    """Where the assignment releases at hand-in."""
    level, mark = admitted.assignment.feedback, effective(connection, attempt_id)
    if admitted.assignment.releases == "at-handin" and level != NOTHING and mark is not None:
        signature = signature_for(connection, admitted.handin.digest, level, signer)
        write_release(desk, connection, mark, level, signature)


def known(connection: Connection, digest: str) -> Received | None:
    """What the first import of these bytes gave, or None."""
    row = connection.execute(select(attempt).where(attempt.c.file_digest == digest)).first()
    if row is None:
        return None
    kept = connection.execute(select(receipts).where(receipts.c.attempt_id == row.id)).one()
    when = Timing(row.received_ms, row.late_ms, bool(kept.body["counted"]))
    return Received(
        row.id, None, when, tuple(row.flags), receipt_bytes(connection, row, kept), False
    )


def receipt_bytes(connection: Connection, row: Row[Any], kept: Row[Any]) -> bytes:
    """The receipt as it was signed: the learner's id comes from his own file, not from a row."""
    body = {**kept.body, "learner_id": claim_in(fetch(connection, row.file_digest)).learner_id}
    return line_of(body) + kept.signature.encode("ascii") + b"\n"


def claim_in(content: bytes) -> Claim:
    """The claim of a hand-in whose seal was checked when it came: its first line alone is read."""
    where = "the kept hand-in"
    return claim_of(row_of(content.partition(b"\n")[0], where), where)


def _receipt(
    desk: Desk, connection: Connection, attempt_id: str, admitted: Admitted, checked: Checked,
    flags: Sequence[str], when: Timing, signer: Key,
) -> bytes:  # fmt: skip
    claim = admitted.handin.claim
    said = [flag for flag in flags if word_of(flag) in TOLD]
    made = Receipt(
        1, claim.assignment_id, claim.learner_id, claim.no, admitted.handin.digest, desk.now_ms,
        when.late_ms, when.counted, ("the seal holds", f"{claim.events} events", *said),
    )  # fmt: skip
    content = write_receipt(made, signer)
    body = json.loads(json.dumps(asdict(made)))
    del body["learner_id"]
    row = {
        "id": desk.new_id(), "attempt_id": attempt_id, "body": body,
        "signature": content[-SEAL_BYTES:-1].decode("ascii"), "made_ms": desk.now_ms,
    }  # fmt: skip
    connection.execute(insert(receipts).values(**row))
    return content


def _write(
    desk: Desk, connection: Connection, attempt_id: str, admitted: Admitted, checked: Checked,
    flags: Sequence[str], when: Timing,
) -> None:  # fmt: skip
    found, claim = admitted.handin, admitted.handin.claim
    keep(connection, admitted.work.content, checked.packed, desk.now_ms)
    row = {
        "id": attempt_id, "assignment_id": admitted.assignment.id,
        "person_id": admitted.person_id, "no": claim.no, "file_digest": found.digest,
        "attempt_digest": digest_of(found.attempt), "opening_id": claim.opening_id,
        "public_key": found.public_key, "events": claim.events, "head": claim.head,
        "state": "handed-in", "started_ms": claim.started_ms, "ended_ms": claim.ended_ms,
        "received_ms": desk.now_ms, "late_ms": when.late_ms, "flags": list(flags),
        "checked": checked.told,
    }  # fmt: skip
    connection.execute(insert(attempt).values(**row))


def _flags(
    desk: Desk, connection: Connection, admitted: Admitted, checked: Checked, accepted: str
) -> list[str]:
    told = _key_flags(desk, connection, admitted)
    told += _opening_flags(desk, connection, admitted)
    told += clock_flags(admitted.handin, admitted.terms, desk.now_ms)
    told += _alike(connection, admitted, checked.pace)
    if doubt := checked.differs or checked.beyond:
        told.append(f"replay: {doubt}; taken all the same: {accepted}")
    return told


def _key_flags(desk: Desk, connection: Connection, admitted: Admitted) -> list[str]:
    """The first key of a learner is trusted, and those that were accepted; any other is told."""
    public, k = admitted.handin.public_key, key.c
    owner = connection.execute(select(key).where(k.public == public)).first()
    mine = keys_of(connection, admitted.person_id)
    if owner is None:
        row = {
            "id": desk.new_id(), "public": public, "person_id": admitted.person_id,
            "role": "learner", "trusted_ms": desk.now_ms, "note": "another key" if mine else "",
        }  # fmt: skip
        connection.execute(insert(key).values(**row))
    elif owner.person_id != admitted.person_id:
        whose = "another learner" if owner.role == "learner" else "an instructor"
        return [f"key: {whose} signs with this key"]
    if mine and not any(known.public == public and known.trusted for known in mine):
        return [ANOTHER_KEY]
    return []


def _opening_flags(desk: Desk, connection: Connection, admitted: Admitted) -> list[str]:
    """Beginnings seen are kept; two of one attempt are told at every attempt they touch."""
    claim, o = admitted.handin.claim, opening.c
    mine = (o.assignment_id == admitted.assignment.id) & (o.person_id == admitted.person_id)
    seen = [tuple(row) for row in connection.execute(select(o.no, o.opening_id).where(mine))]
    flags = opening_flags(admitted.handin, [(int(no), str(i)) for no, i in seen])
    times = {(claim.no, claim.opening_id): claim.started_ms, **times_of(claim.openings)}
    for (no, opening_id), at_ms in times.items():
        if (no, opening_id) in seen:
            continue
        row = {
            "id": desk.new_id(), "assignment_id": admitted.assignment.id,
            "person_id": admitted.person_id, "no": no, "opening_id": opening_id,
            "public_key": admitted.handin.public_key, "opened_ms": at_ms,
        }  # fmt: skip
        connection.execute(insert(opening).values(**row))
        if any(n == no for n, _ in seen):
            a = attempt.c
            same = (a.assignment_id == admitted.assignment.id) & (a.no == no)
            _tell(connection, same & (a.person_id == admitted.person_id), opened_twice(no))
    return flags


def _alike(connection: Connection, admitted: Admitted, pace: str) -> list[str]:
    """The same acts at the same times as somebody else's: told at both, decides nothing."""
    if not pace:
        return []
    a = attempt.c
    others = (
        (a.assignment_id == admitted.assignment.id)
        & (a.person_id != admitted.person_id)
        & a.checked.like(f"%pace {pace}")
    )
    if connection.execute(select(a.id).where(others)).first() is None:
        return []
    said = "alike: every act and every time is that of another learner's attempt"
    # whoever came later was told as he came: only the first of them may not be
    _tell(connection, others & cast(a.flags, Text).not_like("%alike:%"), said)
    return [said]


def _tell(connection: Connection, where: Any, flag: str) -> None:
    """One more flag at attempts that are there."""
    a = attempt.c
    rows = connection.execute(select(a.id, a.flags).where(where).order_by(a.id)).all()
    for row in rows:
        if flag not in row.flags:
            told = update(attempt).where(attempt.c.id == row.id)
            connection.execute(told.values(flags=[*row.flags, flag]))


def tell_second(connection: Connection, admitted_id: str, person_id: str, no: int) -> None:
    """At the attempt that is marked: another file came for it."""
    a = attempt.c
    same = (a.assignment_id == admitted_id) & (a.person_id == person_id) & (a.no == no)
    _tell(connection, same, f"openings: another file was handed in for attempt {no}")


def put_aside(
    desk: Desk, connection: Connection, content: bytes, packed: bytes, code: str, reason: str,
    hint: str,
) -> bool:  # fmt: skip
    """Kept with the reason, never dropped; whether it is new there."""
    digest = keep(connection, content, packed, desk.now_ms)
    there = select(quarantine.c.id).where(quarantine.c.digest == digest)
    if connection.execute(there).first() is not None:
        return False
    row = {
        "id": desk.new_id(), "digest": digest, "code": code, "reason": reason, "hint": hint,
        "kept_ms": desk.now_ms,
    }  # fmt: skip
    connection.execute(insert(quarantine).values(**row))
    desk.note(connection, "quarantined", digest, {"code": code, "reason": reason})
    return True
