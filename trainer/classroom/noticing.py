"""What is noticed about a hand-in and its times: sentences for the instructor, never a verdict.

A flag is a word, a colon and a sentence. Knows claims, times and terms; must know no database.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from trainer.exchange.handin import HandIn, Opened, Sitting

MINUTE_MS = 60_000
#: Wall against the machine's own timer, and times that ought to be one (advice of the trade of
#: testing; no source is known to set a number).
DRIFT_MS = 120_000
#: Flags that make a claimed time worth nothing.
DOUBTS = ("clock", "key", "openings", "replay")
ANOTHER_KEY = "key: it is another key than this learner handed in with first"
#: Sentences that the learner himself reads in his receipt.
TOLD = ("clock", "closed", "late")


@dataclass(frozen=True)
class Terms:
    """The times of an assignment for one learner."""

    made_ms: int
    opens_ms: int
    due_ms: int
    closes_ms: int
    grace_min: int
    late_rule: str
    attempts: int


@dataclass(frozen=True)
class Timing:
    """``at_ms`` is the time that is held to count as handing in; ``late_ms`` past due, 0 if not."""

    at_ms: int
    late_ms: int
    counted: bool


def timing(terms: Terms, claimed_ms: int, received_ms: int, flags: Iterable[str]) -> Timing:
    """Lateness by the assignment's rule. Within the grace it is on time, past it all of it is late.

    A claimed time is taken only where the rule says so and nothing is doubted; never one that
    lies after the file was received.
    """
    doubted = any(word_of(flag) in DOUBTS for flag in flags)
    claimed = terms.late_rule == "claimed-if-unflagged" and not doubted
    at_ms = min(claimed_ms, received_ms) if claimed else received_ms
    grace = terms.grace_min * MINUTE_MS
    late = at_ms - terms.due_ms if at_ms > terms.due_ms + grace else 0
    return Timing(at_ms, late, at_ms <= terms.closes_ms + grace)


def word_of(flag: str) -> str:
    return flag.partition(":")[0]


def clock_flags(found: HandIn, terms: Terms, received_ms: int) -> list[str]:
    """What the claimed times say of the learner's clock."""
    claim, told = found.claim, []
    told += [t for s in claim.sittings for t in _sitting(s)]
    told += _between(claim.sittings)
    if claim.started_ms < terms.made_ms:
        told.append("clock: it says it was begun before the assignment was made")
    elif claim.started_ms < terms.opens_ms:
        told.append("clock: it says it was begun before the assignment opened")
    if claim.ended_ms < claim.started_ms:
        told.append("clock: it says it ended before it began")
    if claim.ended_ms > received_ms + DRIFT_MS:
        told.append("clock: it says it ended after it was received")
    begun = [o.at_ms for o in claim.openings if o.opening_id == claim.opening_id]
    if begun and abs(begun[0] - claim.started_ms) > DRIFT_MS:
        told.append("clock: the book has another time of its beginning")
    if claim.sittings and claim.sittings[0].start_ms < claim.started_ms - DRIFT_MS:
        told.append("clock: work on it began before it was opened")
    by_no = [o.at_ms for o in sorted(claim.openings, key=lambda o: o.no)]
    if by_no != sorted(by_no):
        told.append("clock: a later attempt was begun at an earlier time")
    return list(dict.fromkeys(told))


def _sitting(s: Sitting) -> list[str]:
    wall = s.end_ms - s.start_ms
    if wall < 0:
        return ["clock: it ran backwards while the bench was open"]
    if s.elapsed_ms is not None and abs(wall - s.elapsed_ms) > DRIFT_MS:
        seconds = abs(wall - s.elapsed_ms) // 1000
        return [f"clock: it moved {seconds} s against the machine's own timer"]
    return []


def _between(sittings: Sequence[Sitting]) -> list[str]:
    backwards = any(b.start_ms < a.end_ms for a, b in pairwise(sittings))
    return ["clock: it was set back between two sittings"] if backwards else []


def opening_flags(found: HandIn, known: Sequence[tuple[int, str]]) -> list[str]:
    """``known`` are (no, opening id) that were seen of this learner before, here or elsewhere."""
    claim, told = found.claim, []
    own = {(o.no, o.opening_id) for o in claim.openings}
    every = own | set(known) | {(claim.no, claim.opening_id)}
    for no in sorted({no for no, _ in every}):
        ids = {opening_id for n, opening_id in every if n == no}
        if len(ids) > 1:
            told.append(opened_twice(no))
    missing = sorted({no for no, _ in known if no < claim.no} - {no for no, _ in own})
    if missing:
        listed = ", ".join(map(str, missing))
        told.append(
            f"openings: its book does not know of attempt {listed}: a copied file, or the program "
            "installed anew"
        )
    if (claim.no, claim.opening_id) not in own:
        told.append("openings: its book does not know of its beginning")
    return told


def opened_twice(no: int) -> str:
    return f"openings: attempt {no} was begun twice: a copied file, or the program installed anew"


def times_of(openings: Iterable[Opened]) -> dict[tuple[int, str], int]:
    """(no, opening id) -> when."""
    return {(o.no, o.opening_id): o.at_ms for o in openings}
