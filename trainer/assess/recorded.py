"""Values written down, each held against the reading it is said to come from.

A value with a number in it that no instrument and no plate had shown is one nobody measured.
Knows records, readings and printed text; must know no weight.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from trainer.assess.job import Job
from trainer.assess.judged import Judged, met, not_met, not_shown
from trainer.assess.readings import Reading
from trainer.assess.scene import Turn
from trainer.assess.story import Story

_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
Origin = Literal["reading", "plate", "words", "nowhere"]


@dataclass(frozen=True)
class Recorded:
    """A value in the record: ``origin`` says where its numbers come from."""

    turn: Turn
    what: str
    value: str
    reading: Reading | None
    origin: Origin
    verdict: str

    @property
    def seq(self) -> int:
        return self.turn.seq

    @property
    def at_ms(self) -> int:
        return self.turn.at_ms


def records(story: Story) -> list[Recorded]:
    """Every value recorded, in order."""
    return [_recorded(story, turn) for turn in story.acts("record")]


def _recorded(story: Story, turn: Turn) -> Recorded:
    value = str(turn.asked["value"])
    cited = int(turn.asked.get("reading") or 0)
    reading = story.reading_by_seq.get(cited) if cited < turn.seq else None
    verdict = str(turn.asked.get("verdict", ""))
    what = str(turn.asked["what"])
    return Recorded(
        turn, what, value, reading, _origin(story, turn, value, cited, reading), verdict
    )


def _origin(story: Story, turn: Turn, value: str, cited: int, reading: Reading | None) -> Origin:
    numbers = [float(n.replace(",", ".")) for n in _NUMBER.findall(value)]
    if not numbers:
        return "words"
    if reading is not None:
        return "reading" if any(_agrees(n, reading) for n in numbers) else "nowhere"
    if cited:
        return "nowhere"
    seen = " ".join(_seen_before(story, turn))
    printed = {float(n.replace(",", ".")) for n in _NUMBER.findall(seen)}
    return "plate" if all(n in printed for n in numbers) else "nowhere"


def _agrees(number: float, reading: Reading) -> bool:
    """The number on the display, or the same rounded to fewer figures (within 1 %)."""
    shown = [float(n) for n in _NUMBER.findall(reading.text)]
    return any(abs(number - s) <= max(0.01 * s, 0.005) for s in shown)


def _seen_before(story: Story, turn: Turn) -> Iterator[str]:
    """Everything that was read off plates, markings and instruments before this act."""
    for earlier in story.turns[: turn.number - 1]:
        for event in earlier.events:
            if event.kind == "seen":
                yield str(event.data["text"])
            elif event.kind == "read":
                yield str(event.data["shown"]["text"])


def invented(story: Story) -> list[Recorded]:
    """Values that nobody measured and no plate shows."""
    return [r for r in records(story) if r.origin == "nowhere"]


def P53(story: Story, job: Job) -> Judged | None:  # noqa: N802 - the step's own code
    """Values in the record, each with where it comes from."""
    if not job.readings:
        return None
    rows = records(story)
    if not rows:
        return not_shown("Nothing was recorded.")
    bad = [r for r in rows if r.origin == "nowhere"]
    if bad:
        what = "; ".join(f"{r.what} = {r.value}" for r in bad[:3])
        return not_met(f"Recorded and measured by nobody: {what}.", *bad)
    return met(f"{len(rows)} values recorded, each from its reading or plate.", *rows)
