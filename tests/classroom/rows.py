"""Rows of handed-in work put straight into the store, for tests that ask whose they are.

The files are not real hand-ins: a first line that names the learner, as one has, is all they need
here. Invented.
"""

import hashlib
import zlib

from sqlalchemy import insert, select

from trainer.classroom.people import find
from trainer.store import tables as t


def kept(desk, connection, content):
    digest = hashlib.sha256(content).hexdigest()
    row = {"digest": digest, "size": len(content), "packed": zlib.compress(content)}
    connection.execute(insert(t.blob).values(**row, kept_ms=desk.now_ms))
    return digest


def file_of(learner_id, no=1, more=""):
    return f'{{"handin":1,"learner_id":"{learner_id}","no":{no}}}\n{more}'.encode()


def handed_in(desk, learner_id, no=1, total=71, flags=(), more=""):
    """An attempt with its file, key, opening, grade, item, override and audit rows; its id."""
    with desk.store.writing() as c:
        person = find(c, learner_id)
        assignment = c.scalar(select(t.assignment.c.id))
        digest = kept(desk, c, file_of(learner_id, no, more))
        public = hashlib.sha256(person.id.encode()).hexdigest()
        attempt, grade = desk.new_id(), desk.new_id()
        base = {"assignment_id": assignment, "person_id": person.id, "no": no}
        if not c.execute(select(t.key).where(t.key.c.public == public)).first():
            c.execute(
                insert(t.key).values(id=desk.new_id(), public=public, person_id=person.id,
                                     role="learner", trusted_ms=desk.now_ms, note=person.name)
            )  # fmt: skip
        c.execute(
            insert(t.opening).values(id=desk.new_id(), **base, opening_id=desk.new_id(),
                                     public_key=public, opened_ms=desk.now_ms)
        )  # fmt: skip
        c.execute(
            insert(t.attempt).values(
                id=attempt, **base, file_digest=digest, attempt_digest=digest,
                opening_id=desk.new_id(), public_key=public, events=1, head="0" * 16,
                state="graded", started_ms=0, ended_ms=1, received_ms=2, late_ms=0,
                flags=list(flags), checked=f"all acts of {person.learner_id}",
            )
        )  # fmt: skip
        c.execute(
            insert(t.grade).values(
                id=grade, attempt_id=attempt, revision=1, scorer="1", rubric_digest="0" * 64,
                total=f"{total}/1", total_micro=total * 1_000_000, cut="70/1",
                verdict="pass" if total >= 70 else "fail", critical=0, hints=0,
                body={"total": total}, made_ms=desk.now_ms, made_by=desk.who,
            )
        )  # fmt: skip
        c.execute(
            insert(t.grade_item).values(id=desk.new_id(), grade_id=grade, rule="r1", domain="d",
                                        outcome="met", points="1/1", share="1/1", n=1)
        )  # fmt: skip
        desk.note(c, "grade", attempt, {"total": total})
        return attempt


def put_aside(desk, learner_id, reason):
    """A file in quarantine that says it is this learner's; its digest."""
    with desk.store.writing() as c:
        digest = kept(desk, c, file_of(learner_id, 9, "damaged\n"))
        c.execute(
            insert(t.quarantine).values(id=desk.new_id(), digest=digest, code="not_verified",
                                        reason=reason, kept_ms=desk.now_ms)
        )  # fmt: skip
        return digest
