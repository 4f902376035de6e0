"""The learner's side of an assignment for commands: who sits here, the start code, sitting down.

Clock, chance and the person's folder come in here. The start code comes from the environment or is
asked for; it is never an argument. Knows files and sentences; decides nothing.
"""

from __future__ import annotations

import os
import secrets
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from trainer.base.errors import UsageError
from trainer.base.places import data_dir

if TYPE_CHECKING:
    from trainer.exchange.taking import Learner, Sat, Taken

CODE_VARIABLE = "CONDENSER_BENCH_START_CODE"
SUFFIX = ".assignment"


def is_assignment(name: str) -> bool:
    return name.endswith(SUFFIX)


def practised(seed: int) -> None:
    """Raises PolicyError for a seed out of an assignment."""
    from trainer.exchange.assignment import refuse_assigned

    if seed:
        refuse_assigned(seed, "practice")


def learner_here() -> Learner:
    from trainer.exchange.taking import Learner

    return Learner(data_dir(), lambda: time.time_ns() // 1_000_000, secrets.token_bytes)


def start_code() -> str:
    """From the environment, or one line of the terminal. Raises UsageError."""
    code = os.environ.get(CODE_VARIABLE, "")
    if not code and sys.stdin.isatty():
        print("Start code, as the instructor reads it out: ", end="", file=sys.stderr, flush=True)
        code = sys.stdin.readline()
    if not code.strip():
        raise UsageError("the start code is missing", hint=f"set {CODE_VARIABLE}, or type it")
    return code.strip()


@dataclass
class Assigned:
    """An attempt under way, from sitting down to getting up."""

    learner: Learner
    taken: Taken
    sat: Sat
    began: float

    def left(self) -> list[str]:
        """Gets up; once the job is over, writes the hand-in. What there is to say."""
        from trainer.exchange.taking import get_up, hand_in

        log = self.sat.running.log
        if log is not None:
            log.close()
        elapsed = round(1000.0 * (time.monotonic() - self.began))
        ledger, no = self.taken.ledger, self.sat.no
        get_up(self.learner, ledger, no, self.sat.sitting, elapsed)
        if not self.sat.running.bench.over:
            return [
                f"Attempt {no} is not handed in; the same command goes on with it.",
                "Hand it in as it is with condenser-bench handin write.",
            ]
        path = hand_in(self.learner, ledger, no, self.taken.file.terms.id)
        return [f"Attempt {no} is sealed: {path}", "Give this file to the instructor."]


def sat_down(name: str, learner_id: str) -> Assigned:
    """Opens an assignment and begins or resumes an attempt. Raises TrainerError."""
    from trainer.exchange.taking import sit_down, take

    if not learner_id:
        raise UsageError("an assignment needs to know who works it", hint="--learner NUMBER")
    learner = learner_here()
    taken = take(learner, Path(name), learner_id, start_code())
    return Assigned(learner, taken, sit_down(learner, taken), time.monotonic())


def card_lines(taken: Taken) -> list[str]:
    """What is said before a graded start."""
    from trainer.classroom.zones import shown

    terms = taken.file.terms
    weights = ", ".join(f"{k} {v}" for k, v in terms.weights.items())
    floors = ", ".join(f"{k} {v} %" for k, v in terms.floors.items())
    minutes = f"{terms.time_s / 60:g} min" if terms.time_s else "as the job says"
    return [
        f"{terms.title}: {terms.scenario_title} (level {terms.level})",
        f"  due {shown(taken.part.due_ms, terms.zone)}, "
        f"closes {shown(taken.part.closes_ms, terms.zone)}",
        f"  attempts left {taken.left} of {taken.part.attempts}; the {terms.counting} one counts",
        f"  time {minutes}; hints {', '.join(terms.hints) or 'none'}",
        f"  cut {terms.cut} of 100; weights {weights}; floors {floors}",
        *[f"  fails at once: {title}" for title in terms.critical],
    ]
