"""Assignments: their terms, a learner's exceptions, and the terms that come of both.

Knows the tables; must know no face and no mark. Files are made in ``handing_out``.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Row, insert, select

from trainer.assess.finding_rubric import rubric_for
from trainer.assess.rubric import TIERS, Rubric
from trainer.base.errors import ConflictError, NotFoundError, TrainerError, quoted
from trainer.base.places import scenarios_dir
from trainer.classroom.courses import find_course
from trainer.classroom.desk import Desk
from trainer.exchange.startcode import drawn
from trainer.scenario.keeping import lay_down
from trainer.scenario.load import find_scenario, load_scenario
from trainer.scenario.model import Scenario
from trainer.scenario.rng import VERSION
from trainer.store import tables as t
from trainer.unit.layout import layouts_dir
from trainer.unit.own_layout import is_own

MINUTE_MS = 60_000


@dataclass(frozen=True)
class Wish:
    """What an instructor asks for. Times are UTC milliseconds; ``rubric`` "" is the scenario's."""

    name: str
    course: str
    scenario: str
    opens_ms: int
    due_ms: int
    closes_ms: int
    zone: str
    title: str = ""
    section: str = ""
    rubric: str = ""
    seeds: str = "each"
    attempts: int = 1
    counting: str = "best"
    grace_min: int = 0
    late_rule: str = "received"
    time_s: int | None = None
    hints: Sequence[str] = field(default_factory=tuple)
    feedback: str = "full"
    releases: str = "manual"
    release_ms: int | None = None


@dataclass(frozen=True)
class Effective:
    """The terms of one learner: extensions never shorten, the most generous counts."""

    due_ms: int
    closes_ms: int
    attempts: int
    excused: bool
    reasons: tuple[str, ...] = ()


def check(desk: Desk, wish: Wish) -> tuple[Scenario, Rubric]:
    """Whether it could be assigned. Raises ConflictError, NotFoundError, Faults of the files."""
    if not wish.name.replace("-", "").replace("_", "").isalnum() or len(wish.name) > 60:
        raise TrainerError(
            f"{quoted(wish.name)} is no name of an assignment", hint="letters, digits, -"
        )
    if not wish.opens_ms <= wish.due_ms <= wish.closes_ms:
        raise TrainerError("it must open before it is due, and be due before it closes", wish.name)
    scenario = load_scenario(wish.scenario)
    rubric = rubric_for(scenario, wish.scenario, Path(wish.rubric) if wish.rubric else None)
    _fits(wish, rubric)
    with desk.store.reading() as c:
        _where(c, wish)
        _free(c, wish.name)
    return scenario, rubric


def _free(c: Connection, name: str) -> None:
    if c.execute(select(t.assignment.c.id).where(t.assignment.c.name == name)).first():
        raise ConflictError("there is an assignment of that name", name, "another name")


def assign(desk: Desk, wish: Wish) -> str:
    """A new assignment; its name. Raises as ``check`` does."""
    scenario, rubric = check(desk, wish)
    with desk.store.writing() as c:
        course, section = _where(c, wish)
        _free(c, wish.name)
        row = {
            "id": desk.new_id(), "name": wish.name, "title": wish.title or scenario.title,
            "course_id": course, "section_id": section,
            "scenario_id": _kept_scenario(desk, c, wish.scenario, scenario),
            "rubric_id": _kept_rubric(desk, c, rubric), "generator": VERSION,
            "secret": desk.chance(32).hex(), "start_code": drawn(desk.chance(16)),
            "hints": list(wish.hints), "made_ms": desk.now_ms, "made_by": desk.who,
            **{k: getattr(wish, k) for k in _SAME},
        }  # fmt: skip
        c.execute(insert(t.assignment).values(row))
        desk.note(c, "assigned", str(row["id"]), {k: row[k] for k in ("name", *_SAME)})
    return wish.name


_SAME = (
    "seeds", "attempts", "counting", "opens_ms", "due_ms", "closes_ms", "zone", "grace_min",
    "late_rule", "time_s", "feedback", "releases", "release_ms",
)  # fmt: skip


def _fits(wish: Wish, rubric: Rubric) -> None:
    """Words of the tables, and hints that the rubric has a price for."""
    for value, words, what in (
        (wish.seeds, t.SEEDS, "seeds"), (wish.counting, t.COUNTING, "counting"),
        (wish.late_rule, t.LATE_RULES, "late rule"), (wish.feedback, t.LEVELS, "feedback"),
        (wish.releases, t.RELEASES, "release"),
    ):  # fmt: skip
        if value not in words:
            raise TrainerError(f"{quoted(value)} is no {what}", hint=f"one of {', '.join(words)}")
    if not 1 <= wish.attempts <= 99:
        raise TrainerError("attempts are from 1 to 99", wish.name)
    if wish.releases == "at-time" and wish.release_ms is None:
        raise TrainerError("release at a time needs the time", wish.name, "--release-at")
    for tier in wish.hints:
        if tier not in TIERS or (
            tier not in rubric.hints.allowed and tier not in rubric.hints.points
        ):
            raise TrainerError(
                f"the rubric has no price for the hint {quoted(tier)}", rubric.title,
                f"one of {', '.join(rubric.hints.allowed) or 'none'}, or another rubric",
            )  # fmt: skip


def _where(c: Connection, wish: Wish) -> tuple[str, str | None]:
    """Ids of course and section."""
    course = find_course(c, wish.course)
    if not wish.section:
        return course.id, None
    where = (t.section.c.course_id == course.id) & (t.section.c.name == wish.section)
    section = c.execute(select(t.section.c.id).where(where)).scalar()
    if section is None:
        raise NotFoundError(f"{wish.course} has no section {quoted(wish.section)}")
    return course.id, str(section)


def _kept_scenario(desk: Desk, c: Connection, name: str, scenario: Scenario) -> str:
    """The scenario's row: its text is kept, for a mark three months later."""
    stem = find_scenario(name).stem
    where = (t.scenario.c.name == stem) & (t.scenario.c.digest == scenario.digest)
    known = c.execute(select(t.scenario.c.id).where(where)).scalar()
    if known is not None:
        return str(known)
    path = find_scenario(name)
    own = is_own(scenario.layout)
    laid = path.parent / scenario.layout if own else layouts_dir() / f"{scenario.layout}.yaml"
    row = {
        "id": desk.new_id(), "name": stem, "title": scenario.title, "digest": scenario.digest,
        "body": path.read_text(encoding="utf-8"), "layout_body": laid.read_text(encoding="utf-8"),
    }  # fmt: skip
    c.execute(insert(t.scenario).values(row))
    return str(row["id"])


def _kept_rubric(desk: Desk, c: Connection, rubric: Rubric) -> str:
    known = c.execute(select(t.rubric.c.id).where(t.rubric.c.digest == rubric.digest)).scalar()
    if known is not None:
        return str(known)
    row = {
        "id": desk.new_id(), "title": rubric.title, "digest": rubric.digest,
        "body": rubric.model_dump(mode="json"),
    }  # fmt: skip
    c.execute(insert(t.rubric).values(row))
    return str(row["id"])


def assignment_of(c: Connection, name_or_id: str) -> Row[Any]:
    """An assignment's row by name or id. Raises NotFoundError with near names."""
    where = (t.assignment.c.name == name_or_id) | (t.assignment.c.id == name_or_id)
    row = c.execute(select(t.assignment).where(where)).first()
    if row is None:
        from difflib import get_close_matches

        names = list(c.execute(select(t.assignment.c.name)).scalars())
        near = get_close_matches(name_or_id, names, n=3) or names[:8]
        hint = f"one of {', '.join(near)}" if near else "condenser-bench assign new"
        raise NotFoundError(f"there is no assignment {quoted(name_or_id)}", hint=hint)
    return row


def scenario_kept(c: Connection, scenario_id: str, folder: Path) -> str:
    """A name or path that loads the scenario as it was assigned, whatever ships today.

    A kept text is written below ``folder``; nothing in its path comes from a file.
    """
    row = c.execute(select(t.scenario).where(t.scenario.c.id == scenario_id)).one()
    shipped = scenarios_dir() / "jobs" / f"{row.name}.yaml"
    if shipped.is_file() and load_scenario(row.name).digest == row.digest:
        return str(row.name)
    path = lay_down(folder / row.digest[:16], row.name, row.body, row.layout_body)
    if load_scenario(path).digest != row.digest:
        raise TrainerError(
            f"the scenario {quoted(row.name)} reads otherwise in this version", "",
            "keep the version that made the assignment",
        )  # fmt: skip
    return str(path)


def job_texts(c: Connection, assignment: Row[Any]) -> dict[str, str]:
    """What a learner's debrief needs once his marks are shown: the job as it was assigned."""
    told = c.execute(select(t.scenario).where(t.scenario.c.id == assignment.scenario_id)).one()
    rubric = c.execute(select(t.rubric.c.body).where(t.rubric.c.id == assignment.rubric_id))
    return {
        "name": told.name, "digest": told.digest, "scenario": told.body,
        "layout": told.layout_body, "rubric": json.dumps(rubric.scalar_one()),
    }  # fmt: skip


def effective_of(c: Connection, assignment: Row[Any], person_id: str) -> Effective:
    """The terms of one learner."""
    where = (t.assignment_exception.c.assignment_id == assignment.id) & (
        t.assignment_exception.c.person_id == person_id
    )
    rows = c.execute(
        select(t.assignment_exception).where(where).order_by(t.assignment_exception.c.made_ms)
    ).all()
    due = max([assignment.due_ms, *[r.due_ms for r in rows if r.due_ms is not None]])
    closes = max(
        [assignment.closes_ms, due, *[r.closes_ms for r in rows if r.closes_ms is not None]]
    )
    return Effective(
        due, closes, assignment.attempts + sum(r.extra_attempts for r in rows),
        any(r.excused for r in rows), tuple(r.reason for r in rows),
    )  # fmt: skip


def extend(
    desk: Desk, name: str, person_id: str, reason: str, due_ms: int | None = None,
    closes_ms: int | None = None, extra_attempts: int = 0, excused: bool = False,
) -> Effective:  # fmt: skip
    """One more row of exceptions; the terms that come of it."""
    if len(reason.strip()) < 3:
        raise TrainerError("an exception needs a reason", name, "--reason")
    if not 0 <= extra_attempts <= 20:
        raise TrainerError("extra attempts are from 0 to 20", name)
    with desk.store.writing() as c:
        assignment = assignment_of(c, name)
        row = {
            "id": desk.new_id(), "assignment_id": assignment.id, "person_id": person_id,
            "due_ms": due_ms, "closes_ms": closes_ms, "extra_attempts": extra_attempts,
            "excused": int(excused), "reason": reason.strip(), "made_ms": desk.now_ms,
            "made_by": desk.who,
        }  # fmt: skip
        c.execute(insert(t.assignment_exception).values(row))
        told = {k: row[k] for k in ("due_ms", "closes_ms", "extra_attempts", "excused")}
        desk.note(c, "exception", assignment.id, {"person": person_id, **told})
        return effective_of(c, assignment, person_id)


def learners_of(c: Connection, assignment: Row[Any]) -> list[Row[Any]]:
    """People who have the assignment: active, in its class or section, by learner number."""
    where = t.section.c.course_id == assignment.course_id
    if assignment.section_id is not None:
        where = t.section.c.id == assignment.section_id
    query = (
        select(t.person)
        .join(t.enrolment, t.enrolment.c.person_id == t.person.c.id)
        .join(t.section, t.section.c.id == t.enrolment.c.section_id)
        .where(where, t.enrolment.c.active == 1, t.person.c.active == 1)
        .where(t.person.c.erased_ms.is_(None))
        .distinct()
        .order_by(t.person.c.learner_id)
    )
    return list(c.execute(query))
