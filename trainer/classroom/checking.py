"""The heavy part of an import, without the store: vouch, mark, ask acts again, pack.

Runs in a worker process on bytes and stored texts that are handed in. Knows attempts, scenarios
and rubrics; must know no person and no database.
"""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from trainer.assess.marking import mark_attempt
from trainer.assess.marks import Mark
from trainer.assess.rubric import Rubric
from trainer.assess.vouching import vouched_bytes
from trainer.base.errors import NotVerifiedError, TrainerError
from trainer.classroom.budget import LIMITS, BeyondError, Budget, Spent
from trainer.classroom.jobs import Stored, job_in, scenario_in
from trainer.classroom.keeping import digest_of, pack
from trainer.scenario.grading import TRIES
from trainer.scenario.keeping import stem_of
from trainer.scenario.variants import variant
from trainer.session.attempt import differs, verify
from trainer.session.events import ASKED, Event
from trainer.session.log import Attempt
from trainer.session.plain import unit_to_plain
from trainer.session.sealing import GRADED, lock_in

RESIMULATE = ("sample", "all", "none")
#: One act in so many is asked again when a sample is wanted.
SHARE = 10
#: Attempts of fewer acts than this are alike by nature (invented).
ACTS_LEAST = 12


class NotReplayedError(NotVerifiedError):
    """An act that is asked again does not give what the file says it gave."""

    code = "not_replayed"


class TooCostlyError(NotVerifiedError):
    """Asking its acts again costs more than any honest attempt does."""

    code = "too_costly"


@dataclass(frozen=True)
class Work:
    """One hand-in to check. ``seed`` is the first that its variant may have; ``secret`` picks the
    sample, so that nobody knows beforehand which acts are asked again.
    """

    content: bytes
    attempt: bytes
    scenario: Stored
    rubric: Rubric
    seed: int
    secret: str
    resimulate: str
    budget: Budget = LIMITS


@dataclass(frozen=True)
class Checked:
    """``lock`` is the key that opens it.

    ``pace`` names the acts with their times, "" for an attempt of few acts; ``differs`` is what a
    replay found, ``beyond`` what it spent when it was given up, "" for nothing.
    """

    packed: bytes
    mark: Mark
    lock: str
    asked: int
    acts: int
    pace: str
    differs: str
    beyond: str = ""

    @property
    def doubt(self) -> NotVerifiedError | None:
        """Why it is not taken unless the instructor says so."""
        hint = "look at it; --accept REASON takes it, flagged"
        if self.beyond:
            what = f"asking its acts again costs too much and was given up: {self.beyond}"
            return TooCostlyError(what, "", hint)
        if self.differs:
            return NotReplayedError(
                f"asked again, it comes out otherwise: {self.differs}", "", hint
            )
        return None

    @property
    def told(self) -> str:
        """For the row of the attempt."""
        how = f"{self.asked} of {self.acts} acts asked again" if self.asked else "not asked again"
        return f"{how}; pace {self.pace}" if self.pace else how


def checked(work: Work) -> Checked:
    """Raises NotVerifiedError or TrainerError for a file that is nothing to mark.

    Whoever has a key can sign nonsense; what a bench never wrote may break anything that reads
    it, and is told as what it is.
    """
    try:
        return _checked(work)
    except TrainerError:
        raise
    except Exception as error:
        what = f"an event holds what no bench writes ({type(error).__name__})"
        raise NotVerifiedError(what, "", "the file as the program made it") from None


def _checked(work: Work) -> Checked:
    found = vouched_bytes(work.attempt, Path("the attempt"), work.scenario.digest)
    seed = _seed(found, work)
    digest = digest_of(work.attempt)
    mark = mark_attempt(found, job_in(work.scenario, seed), work.rubric, digest).mark
    asked, different, beyond = _replayed(found, work, seed)
    acts = [e for e in found.events if e.kind == ASKED]
    return Checked(
        pack(work.content), mark, lock_in(found.header), asked, len(acts), pace_of(acts),
        different, beyond,
    )  # fmt: skip


def _seed(found: Attempt, work: Work) -> int:
    seed = found.header.get("seed")
    if found.header.get("mode") != GRADED:
        raise NotVerifiedError("the header says it was not graded", "", "the graded attempt")
    if not isinstance(seed, int) or not work.seed <= seed < work.seed + TRIES:
        what = "the header names another variant than this learner was given"
        raise NotVerifiedError(what, "", "the attempt that the assignment was worked with")
    return seed


def _replayed(found: Attempt, work: Work, seed: int) -> tuple[int, str, str]:
    """(acts asked again, the first thing that differs, what was spent when it was too much)."""
    if work.resimulate == "none":
        return 0, "", ""
    begun = _beginning(found, work.scenario, seed)
    if begun:
        return 0, begun, ""
    asked: list[int] = []
    picks = sample_of(work.secret, work.content) if work.resimulate == "sample" else _every

    def chosen(seq: int) -> bool:
        if picks(seq):
            asked.append(seq)
        return asked[-1:] == [seq]

    try:
        difference = verify(found, chosen, Spent(work.budget).add)
    except BeyondError as error:
        return len(asked), "", f"by event {asked[-1]} {error}"
    except TrainerError as error:
        return len(asked), f"event {asked[-1] if asked else 1}: {error.what}", ""
    told = f"event {difference.seq}: {difference.what}" if difference else ""
    return len(asked), told, ""


def _every(seq: int) -> bool:
    return True


def sample_of(secret: str, content: bytes) -> Callable[[int], bool]:
    """Whether an act is in the sample: by a secret, the same each time."""
    key = bytes.fromhex(secret) + hashlib.sha256(content).digest()

    def picks(seq: int) -> bool:
        drawn = hmac.new(key, str(seq).encode(), hashlib.sha256).digest()
        return int.from_bytes(drawn[:4], "big") % SHARE == 0

    return picks


def _beginning(found: Attempt, stored: Stored, seed: int) -> str:
    """What is other at the unit handed out than the variant drawn anew, or ""."""
    made = variant(scenario_in(stored), stem_of(stored.name), seed)
    data = found.events[0].data
    other = differs(_plain(unit_to_plain(made.unit)), data.get("unit"))
    return f"event 1: the unit that was found is not this variant's: {other}" if other else ""


def _plain(data: object) -> object:
    import json

    return json.loads(json.dumps(data))


def pace_of(acts: list[Event]) -> str:
    """A digest of what was asked at which bench time."""
    if len(acts) < ACTS_LEAST:
        return ""
    text = "\n".join(f"{e.at_ms} {e.data.get('act')}" for e in acts)
    return hashlib.sha256(text.encode()).hexdigest()[:16]
