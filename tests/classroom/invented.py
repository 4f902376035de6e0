"""An invented class: people who do not exist, whose attempts are stored ways of doing a job.

Every mark is the assessor's own. Names, places, times and keys are invented. Knows tables; must
know no figure.
"""

from __future__ import annotations

import hashlib
import json
import zlib
from dataclasses import dataclass, field, replace
from functools import cache
from typing import Any

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from sqlalchemy import insert

from tests.assess.golden import marked, stored
from trainer.assess.marking import Marked
from trainer.base.places import scenarios_dir
from trainer.classroom.desk import Desk
from trainer.classroom.grading import write_grade
from trainer.exchange.handin import Opened, Sitting, write_handin
from trainer.session.events import to_line
from trainer.session.log import Attempt, link_of, links_of
from trainer.store import tables as t

JOB = "make-it-dead"
#: 2026-02-23 08:00 UTC, invented [ms].
T0 = 1_771_833_600_000
MINUTE, HOUR, DAY = 60_000, 3_600_000, 86_400_000

#: (learner id, given name, family name): all invented.
PEOPLE = (
    ("L-0001", "Zoë", "Invented"), ("L-0002", "李", "Invented"), ("L-0003", "Sean", "O'Invented"),
    ("L-0004", "=SUM(1)", "Invented"), ("L-0005", "Ana María", "de la Invención"),
    ("L-0006", "Bjørn", "Invented"), ("L-0007", "<b>Tag</b>", "Invented"),
    ("L-0008", "Noor", "Invented"), ("L-0009", "Ife", "Invented"), ("L-0010", "Mo", "Invented"),
    ("L-0011", "Pia", "Invented"), ("L-0012", "Quin", "Invented"), ("L-0013", "Ro", "Invented"),
    ("L-0014", "Sol", "Invented"), ("L-0015", "Tam", "Invented"), ("L-0016", "Uma", "Invented"),
)  # fmt: skip
#: What each did, attempt by attempt; "" is an opening without a hand-in, a "?" leaves it unmarked.
TWELVE: tuple[tuple[str, ...], ...] = (
    ("right",), ("other-order",), ("no-own-lock",), ("tester-not-reproved",),
    ("dead-at-once", "right"), ("nothing-on-dc",), ("no-gloves",), ("second-supply-forgotten",),
    ("nothing at all",), ("thumb-before-the-pull-out?",), ("",), (),
)  # fmt: skip
NOTHING = "nothing at all"


@dataclass
class Class:
    """Ids of what was filled in: people by learner id, attempts by learner id and number."""

    course: str
    assignment: str
    rubric: str
    people: dict[str, str] = field(default_factory=dict)
    attempts: dict[tuple[str, int], str] = field(default_factory=dict)
    grades: dict[tuple[str, int], str] = field(default_factory=dict)


@cache
def way_of(way: str) -> tuple[Attempt, Marked]:
    """An attempt and its mark; once a run."""
    attempt = _nothing() if way == NOTHING else stored(JOB, way)
    return attempt, marked(JOB, attempt)


def _nothing() -> Attempt:
    """Somebody opens the job and hands in without an act."""
    log = stored(JOB, "right")
    return Attempt(log.header, log.events[:1])


def id_of(*words: object) -> str:
    """A UUID that is the same at every run."""
    text = hashlib.sha256("/".join(map(str, words)).encode()).hexdigest()
    return "-".join((text[:8], text[8:12], "4" + text[13:16], "8" + text[17:20], text[20:32]))


def filled(
    desk: Desk,
    ways: tuple[tuple[str, ...], ...] = TWELVE,
    name: str = "dead-1",
    beside: Class | None = None,
) -> Class:
    """A class with one assignment, and what its people made of it; or one more of a class."""
    with desk.store.writing() as c:
        made = _more(c, name, beside) if beside else _course(c, name, len(ways))
        for n, own in enumerate(ways):
            for no, way in enumerate(own, 1):
                _attempt(desk, c, made, PEOPLE[n][0], no, way)
    return made


def _course(c: Any, name: str, learners: int) -> Class:
    _, m = way_of("right")
    body = (scenarios_dir() / "jobs" / f"{JOB}.yaml").read_text(encoding="utf-8")
    made = Class(id_of("course", name), id_of("assignment", name), id_of("rubric", name))
    section = id_of("section", name)
    c.execute(insert(t.course).values(
        id=made.course, name=f"invented-{name}", title="An invented class", zone="Europe/Madrid",
        added_ms=T0 - 9 * DAY))  # fmt: skip
    c.execute(insert(t.section).values(id=section, course_id=made.course, name="Morning"))
    c.execute(insert(t.scenario).values(
        id=id_of("scenario"), name=JOB, title=m.scenario.title, digest=m.scenario.digest,
        body=body))  # fmt: skip
    c.execute(insert(t.rubric).values(
        id=made.rubric, title=m.rubric.title, digest=m.rubric.digest,
        body=m.rubric.model_dump(mode="json")))  # fmt: skip
    _assignment(c, name, made)
    for n in range(learners):
        _person(c, made, n, section)
    return made


def _more(c: Any, name: str, beside: Class) -> Class:
    made = replace(beside, assignment=id_of("assignment", name), attempts={}, grades={})
    _assignment(c, name, made)
    return made


def _assignment(c: Any, name: str, made: Class) -> None:
    c.execute(insert(t.assignment).values(
        id=made.assignment, name=name, title="Make it dead, graded", course_id=made.course,
        section_id=None, scenario_id=id_of("scenario"), rubric_id=made.rubric, generator=1,
        seeds="one", secret="5ec2e7" * 10, start_code="invented", attempts=3, counting="best",
        opens_ms=T0 - DAY, due_ms=T0 + DAY, closes_ms=T0 + 2 * DAY, zone="Europe/Madrid",
        grace_min=10, hints={"allowed": []}, made_ms=T0 - 2 * DAY, made_by="instructor",
    ))  # fmt: skip


def _person(c: Any, made: Class, n: int, section: str) -> None:
    learner, given, family = PEOPLE[n]
    made.people[learner] = person = id_of("person", learner)
    c.execute(insert(t.person).values(
        id=person, learner_id=learner, given_name=given, family_name=family,
        email=f"learner{n + 1}@example.org", external_id=f"X{n + 1:03d}", added_ms=T0 - 9 * DAY,
    ))  # fmt: skip
    c.execute(insert(t.enrolment).values(
        id=id_of("enrolment", made.course, learner), section_id=section, person_id=person,
        added_ms=T0 - 9 * DAY))  # fmt: skip


def _attempt(desk: Desk, c: Any, made: Class, learner: str, no: int, way: str) -> None:
    opening_id = id_of("opening", made.assignment, learner, no)
    opened_ms = T0 + (no - 1) * 2 * HOUR + 60_000 * int(learner[-2:])
    key = Ed25519PrivateKey.from_private_bytes(hashlib.sha256(learner.encode()).digest())
    public = key.public_key().public_bytes_raw().hex()
    row = {"assignment_id": made.assignment, "person_id": made.people[learner], "no": no}
    c.execute(insert(t.opening).values(
        id=id_of("opening row", opening_id), **row, opening_id=opening_id, public_key=public,
        opened_ms=opened_ms))  # fmt: skip
    if not way:
        return
    log, m = way_of(way.rstrip("?"))
    said = {"assignment": made.assignment, "learner": learner, "no": no, "opening": opening_id}
    content = _lines({**log.header, **said, "mode": "graded"}, log)
    ended_ms = opened_ms + log.events[-1].at_ms + 9 * MINUTE
    claimed = {"assignment_id": made.assignment, "learner_id": learner, "no": no,
               "opening_id": opening_id, "started_ms": opened_ms, "ended_ms": ended_ms}  # fmt: skip
    whole = write_handin(
        content, claimed, [Sitting(opened_ms, ended_ms, ended_ms - opened_ms)],
        [Opened(no, opening_id, opened_ms)], key,
    )  # fmt: skip
    file_digest = hashlib.sha256(whole).hexdigest()
    c.execute(insert(t.blob).values(
        digest=file_digest, size=len(whole), packed=zlib.compress(whole, 1), kept_ms=ended_ms,
    ))  # fmt: skip
    attempt = made.attempts[learner, no] = id_of("attempt", made.assignment, learner, no)
    links, _ = links_of(content.decode("ascii").splitlines())
    c.execute(insert(t.attempt).values(
        id=attempt, **row, file_digest=file_digest,
        attempt_digest=hashlib.sha256(content).hexdigest(), opening_id=opening_id,
        public_key=public, events=len(log.events), head=links[-1],
        started_ms=opened_ms, ended_ms=ended_ms, received_ms=ended_ms + 3 * MINUTE, late_ms=0,
        flags=[], checked="all"))  # fmt: skip
    if not way.endswith("?"):
        late = replace(desk, now_ms=ended_ms + HOUR)
        made.grades[learner, no] = write_grade(late, c, attempt, m.mark, m.rubric).grade_id


def _lines(header: dict[str, Any], log: Attempt) -> bytes:
    """The attempt as a file of its own header."""
    rows = [json.dumps({"attempt": 1, **header}, ensure_ascii=True, sort_keys=True)]
    lines, link = [], ""
    for row in [*rows, *(to_line(e) for e in log.events)]:
        link = link_of(row, link)
        lines.append(f'{row[:-1]},"link":"{link}"}}\n')
    return "".join(lines).encode("ascii")
