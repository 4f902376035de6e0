"""An invented assignment and its learners, with a clock and chance that a test holds.

Knows the files; nothing in it is of a real class.
"""

import hashlib
import json
from dataclasses import dataclass, field
from functools import cache
from itertools import count

from trainer.exchange.assignment import SEED_LEAST, Part, Terms, write_assignment
from trainer.exchange.keys import own_key
from trainer.exchange.taking import Learner
from trainer.session.opening import opening
from trainer.session.plain import unit_to_plain
from trainer.session.sealing import lock_of

ID = "0a1b2c3d-1111-4222-8333-444455556666"
CODE = "K7QF-2MXD"
#: 2026-03-02 08:00 UTC, invented.
MADE = 1_772_438_400_000
HOUR = 3_600_000


def chance_of(name):
    """Bytes that are the same in every run, and new with each call."""
    calls = count()
    return lambda n: hashlib.shake_256(f"{name}|{next(calls)}".encode()).digest(n)


@dataclass
class Clock:
    """A clock that a test sets."""

    now: int = MADE + HOUR
    told: list = field(default_factory=list)

    def __call__(self):
        return self.now


@cache
def variant(seed=SEED_LEAST + 1, name="make-it-dead"):
    unit, header, found = opening(name, seed)
    found = {**found, "hints": ["", "", ""]}
    return json.loads(json.dumps({"unit": unit_to_plain(unit), "header": header, "found": found}))


def terms(lock, **other):
    given = {
        "assignment": 1, "id": ID, "name": "week-1", "title": "Week 1", "scenario": "make-it-dead",
        "scenario_title": "Make it dead", "scenario_digest": "d", "level": 1, "generator": 1,
        "attempts": 2, "counting": "best", "opens_ms": MADE, "due_ms": MADE + 48 * HOUR,
        "closes_ms": MADE + 72 * HOUR, "zone": "UTC", "grace_min": 0, "late_rule": "received",
        "time_s": None, "hints": (), "feedback": "full", "releases": "manual", "cut": "80",
        "weights": {"sequence": "30"}, "floors": {"sequence": "80"}, "critical": ("Live work",),
        "lock": lock, "made_ms": MADE, "salt": "00" * 16,
    }  # fmt: skip
    return Terms(**{**given, **other})


def assignment(folder, learners=("L-07", "L-08"), **other):
    """(the file's path, the instructor's key)."""
    key = own_key(folder / "instructor", "instructor", chance_of("instructor"))
    told = terms(lock_of(key), **other)
    parts = [
        Part(who, told.due_ms, told.closes_ms, told.attempts, 1.0,
             tuple(variant(SEED_LEAST + n) for n in range(told.attempts)))
        for who in learners
    ]  # fmt: skip
    draw = chance_of("nonces")
    content = write_assignment(told, parts, CODE, [draw(12) for _ in parts], key)
    path = folder / "week-1.assignment"
    path.write_bytes(content)
    return path, key


def learner(folder, name="bench", clock=None):
    return Learner(folder / name, clock or Clock(), chance_of(name))
