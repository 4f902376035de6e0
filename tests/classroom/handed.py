"""A class of invented learners with one assignment, and hand-ins that were really worked.

Everybody here is invented. One attempt is played on a bench and kept for the run; a hand-in takes
its events under a header of its own, so that a class costs one attempt.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, insert

from tests.classroom.keys import INSTRUCTOR, key_of
from tests.session.once import judged_once
from trainer.assess.finding_rubric import load_rubric, rubrics_dir
from trainer.classroom.desk import Desk
from trainer.classroom.seeds import seed_of
from trainer.exchange.handin import Opened, Sitting, write_handin
from trainer.scenario.load import find_scenario, load_scenario
from trainer.session.acts import act_from, load_moves
from trainer.session.attempt import start
from trainer.session.events import Event, to_line
from trainer.session.log import link_of
from trainer.session.opening import opening
from trainer.store import tables as t

JOB = "make-it-dead"
#: Gives a first variant that the shipped acts fit, but for the volts that they record.
SECRET = f"{48:064x}"
NOW = 1_790_000_000_000  # invented: some day in September 2026
HOUR, DAY = 3_600_000, 86_400_000
#: Nothing done but a look; handed in at once.
IDLE: tuple[Mapping[str, Any], ...] = (
    {"act": "look", "at": "disconnect"},
    {"act": "hand over", "words": "nothing done"},
)
#: Hands inside a unit that was never made dead.
UNSAFE: tuple[Mapping[str, Any], ...] = (
    {"act": "take off", "cover": "control-panel"},
    {"act": "touch", "place": "contactor.T1", "other": "chassis"},
    {"act": "hand over", "words": "done"},
)


@dataclass(frozen=True)
class Worked:
    """The header of an attempt and its events."""

    header: Mapping[str, Any]
    events: tuple[Event, ...]


def seed(no: int) -> int:
    """Of everybody's attempt ``no``."""
    return seed_of(SECRET, "", no)


@cache
def careful(no: int = 1) -> Worked:
    """The shipped file of acts, done to its end."""
    return played(tuple(json.dumps(a.model_dump(mode="json")) for a in _moves()), seed(no))


def _moves() -> list[Any]:
    path = find_scenario(JOB).resolve().parent.parent / "moves" / f"{JOB}.yaml"
    return list(load_moves(path).acts)


@cache
def idle(no: int = 1) -> Worked:
    return played(tuple(json.dumps(a) for a in IDLE), seed(no))


@cache
def unsafe(no: int = 1) -> Worked:
    return played(tuple(json.dumps(a) for a in UNSAFE), seed(no))


@cache
def played(acts: tuple[str, ...], seed: int) -> Worked:
    with judged_once():
        opened = opening(JOB, seed)
        running = start(opened.unit, None, {}, found=opened.found)
        for act in acts:
            running.do(act_from(_read_off(json.loads(act), running.events)))
    return Worked(opened.header, tuple(running.events))


def _read_off(act: dict[str, Any], events: Sequence[Event]) -> dict[str, Any]:
    """A record says what the reading it names showed here."""
    if act["act"] != "record" or not act["reading"]:
        return act
    return {**act, "value": events[act["reading"] - 1].data["shown"]["text"]}


def attempt_bytes(worked: Worked, **header: Any) -> bytes:
    """The attempt file as a bench writes it."""
    lock = INSTRUCTOR.public_key().public_bytes_raw().hex()
    row = {"attempt": 1, "program": "0", "mode": "graded", "lock": lock, **worked.header, **header}
    lines = [json.dumps(row, ensure_ascii=True, sort_keys=True), *map(to_line, worked.events)]
    link, out = "", []
    for line in lines:
        link = link_of(line, link)
        out.append(f'{line[:-1]},"link":"{link}"}}\n')
    return "".join(out).encode("ascii")


@dataclass
class Class:
    """The ids of a class, and how hand-ins of it are made."""

    course_id: str
    section_id: str
    assignment_id: str
    people: dict[str, str] = field(default_factory=dict)

    def handin(
        self, learner: str, worked: Worked | None = None, no: int = 1, key: str = "",
        opening_id: str = "", started_ms: int = NOW - HOUR, minutes: float = 30,
        openings: Sequence[Opened] | None = None, sittings: Sequence[Sitting] | None = None,
        **claimed: Any,
    ) -> bytes:  # fmt: skip
        """A hand-in of this learner, as his window would write it."""
        worked = worked or idle(no)
        opening_id = opening_id or uuid_of(f"{learner} {no}")
        ended = started_ms + round(minutes * 60_000)
        claim = {
            "assignment_id": self.assignment_id, "learner_id": learner, "no": no,
            "opening_id": opening_id, "started_ms": started_ms, "ended_ms": ended, **claimed,
        }  # fmt: skip
        content = attempt_bytes(
            worked, learner=claim["learner_id"], assignment=claim["assignment_id"], no=no,
            opening=opening_id,
        )  # fmt: skip
        if sittings is None:
            sittings = [Sitting(started_ms, ended, max(ended - started_ms, 0))]
        if openings is None:
            openings = [Opened(no, opening_id, started_ms)]
        return write_handin(content, claim, sittings, openings, key_of(key or learner))


def uuid_of(text: str) -> str:
    import hashlib

    h = hashlib.sha256(text.encode()).hexdigest()
    return "-".join((h[:8], h[8:12], h[12:16], h[16:20], h[20:32]))


def class_of(desk: Desk, learners: Iterable[str] = ("L-1", "L-2"), **terms: Any) -> Class:
    """A class in the store with one assignment: one seed for all unless ``terms`` say otherwise."""
    with desk.store.writing() as connection:
        return _class(desk, connection, list(learners), terms)


def _class(desk: Desk, connection: Connection, learners: list[str], terms: Any) -> Class:
    made = Class(desk.new_id(), desk.new_id(), desk.new_id())
    put = _Putter(connection)
    put(t.course, id=made.course_id, name="invented", title="Invented class", added_ms=NOW)
    put(t.section, id=made.section_id, course_id=made.course_id, name="evening")
    for learner in learners:
        made.people[learner] = person_id = desk.new_id()
        put(
            t.person, id=person_id, learner_id=learner, given_name=f"Given {learner}",
            family_name="Invented", added_ms=NOW,
        )  # fmt: skip
        put(
            t.enrolment, id=desk.new_id(), section_id=made.section_id, person_id=person_id,
            added_ms=NOW,
        )  # fmt: skip
    path, job = find_scenario(JOB), load_scenario(JOB)
    scenario_id, rubric_id = desk.new_id(), desk.new_id()
    put(
        t.scenario, id=scenario_id, name=JOB, title=job.title, digest=job.digest,
        body=path.read_text(encoding="utf-8"),
    )  # fmt: skip
    rubric = load_rubric(rubrics_dir() / f"{job.rubric}.yaml")
    put(
        t.rubric, id=rubric_id, title=rubric.title, digest=rubric.digest,
        body=rubric.model_dump(mode="json"),
    )  # fmt: skip
    row = {
        "id": made.assignment_id, "name": "dead-1", "title": "Invented assignment",
        "course_id": made.course_id, "scenario_id": scenario_id, "rubric_id": rubric_id,
        "generator": 1, "seeds": "one", "secret": SECRET, "start_code": "INVENTED",
        "attempts": 2, "counting": "best", "opens_ms": NOW - DAY, "due_ms": NOW + DAY,
        "closes_ms": NOW + 2 * DAY, "zone": "UTC", "hints": {}, "feedback": "full",
        "releases": "manual", "made_ms": NOW - 2 * DAY, "made_by": "instructor",
    }  # fmt: skip
    put(t.assignment, **{**row, **terms})
    return made


class _Putter:
    def __init__(self, connection: Connection) -> None:
        self.connection = connection

    def __call__(self, table: Any, **row: Any) -> None:
        self.connection.execute(insert(table).values(**row))


def written(folder: Path, files: Mapping[str, bytes]) -> list[Path]:
    folder.mkdir(exist_ok=True)
    for name, content in files.items():
        (folder / name).write_bytes(content)
    return [folder / name for name in files]
