"""Makes the assignment file of a class: every learner's variants, shut under the start code.

Variants are drawn and proved here, which takes a second or two each; nothing is written to the
store. Knows the tables and the file; must know no face.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from concurrent.futures import ProcessPoolExecutor
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from sqlalchemy import Connection, Row, select

from trainer.assess.procedure import procedure
from trainer.assess.rubric import TIERS
from trainer.assess.showing import floored
from trainer.base.errors import TrainerError
from trainer.classroom.assigning import (
    assignment_of,
    effective_of,
    learners_of,
    scenario_kept,
)
from trainer.classroom.desk import Desk
from trainer.classroom.jobs import stored_rubric
from trainer.classroom.seeds import seed_of
from trainer.exchange.assignment import Part, Terms, write_assignment
from trainer.scenario.load import load_scenario
from trainer.session.opening import opening
from trainer.session.plain import unit_to_plain
from trainer.session.sealing import lock_of
from trainer.store import tables as t

if TYPE_CHECKING:
    from trainer.exchange.keys import Key

Progress = Callable[[int, int], None]


class _Wanted(NamedTuple):
    """A variant to draw."""

    scenario: str
    called: str
    seed: int
    hints: tuple[str, ...]
    time_s: int | None


def handed_out(
    desk: Desk, name: str, key: Key, folder: Path, workers: int = 1,
    progress: Progress = lambda done, of: None,
) -> tuple[bytes, int]:  # fmt: skip
    """(the file, how many learners have a part in it). Raises TrainerError for an empty class."""
    with desk.store.reading() as c:
        row = assignment_of(c, name)
        people = learners_of(c, row)
        terms_of = {p.id: effective_of(c, row, p.id) for p in people}
        scenario = scenario_kept(c, row.scenario_id, folder)
        terms = _terms(desk, c, row, scenario, key)
    if not people:
        raise TrainerError("nobody is in this class", name, "condenser-bench class apply")
    wanted = {
        (p.id, no): _Wanted(
            scenario, terms.scenario, _seed(row, p.id, no), tuple(row.hints), row.time_s
        )
        for p in people
        for no in range(1, terms_of[p.id].attempts + 1)
    }
    drawn = _drawn(list(dict.fromkeys(wanted.values())), workers, progress)
    parts = []
    for p in people:
        mine = terms_of[p.id]
        variants = tuple(drawn[wanted[p.id, no]] for no in range(1, mine.attempts + 1))
        parts.append(
            Part(p.learner_id, mine.due_ms, mine.closes_ms, mine.attempts,
                 p.accommodation_milli / 1000.0, variants)
        )  # fmt: skip
    nonces = [desk.chance(12) for _ in parts]
    return write_assignment(terms, parts, row.start_code, nonces, key), len(parts)


def _seed(row: Row[Any], person_id: str, no: int) -> int:
    return seed_of(row.secret, "" if row.seeds == "one" else person_id, no)


def _drawn(
    wanted: list[_Wanted], workers: int, progress: Progress
) -> dict[_Wanted, Mapping[str, Any]]:
    progress(0, len(wanted))
    found = {}
    if workers < 2 or len(wanted) < 2:
        for n, one in enumerate(wanted, 1):
            found[one] = _variant(one)
            progress(n, len(wanted))
        return found
    with ProcessPoolExecutor(workers) as pool:
        for n, (one, made) in enumerate(zip(wanted, pool.map(_variant, wanted), strict=True), 1):
            found[one] = made
            progress(n, len(wanted))
    return found


def _variant(wanted: _Wanted) -> Mapping[str, Any]:
    """The unit as found, the header of its attempt and the rest of what is handed out."""
    unit, header, found = opening(wanted.scenario, wanted.seed, graded=True)
    hints = [
        text if tier in wanted.hints else ""
        for tier, text in zip(TIERS, found.get("hints", ()), strict=False)
    ]
    found = {**found, "hints": hints}
    if wanted.time_s is not None:
        found["time_s"] = wanted.time_s
    # as a file would give it back, so that what is drawn and what is opened are the same
    header = {**header, "scenario": wanted.called}
    data = {"unit": unit_to_plain(unit), "header": header, "found": found}
    return dict(json.loads(json.dumps(data)))


def _terms(desk: Desk, c: Connection, row: Row[Any], scenario: str, key: Key) -> Terms:
    told, rubric, words = load_scenario(scenario), stored_rubric(c, row.rubric_id), procedure()
    kept = c.execute(select(t.scenario).where(t.scenario.c.id == row.scenario_id)).one()
    cut = rubric.cut if told.pass_line is None else Fraction(str(told.pass_line))
    return Terms(
        assignment=1, id=row.id, name=row.name, title=row.title, scenario=kept.name,
        scenario_title=kept.title, scenario_digest=kept.digest, level=told.level,
        generator=row.generator, attempts=row.attempts, counting=row.counting,
        opens_ms=row.opens_ms, due_ms=row.due_ms, closes_ms=row.closes_ms, zone=row.zone,
        grace_min=row.grace_min, late_rule=row.late_rule, time_s=row.time_s,
        hints=tuple(row.hints), feedback=row.feedback, releases=row.releases,
        cut=floored(cut, cut),
        weights={d: f"{float(w.weight):g}" for d, w in rubric.domains.items()},
        floors={d: f"{float(w.floor):g}" for d, w in rubric.domains.items() if w.floor},
        critical=tuple(words.critical[k].title for k in rubric.critical if k in words.critical),
        lock=lock_of(key), made_ms=desk.now_ms, salt=desk.chance(16).hex(),
    )  # fmt: skip
