"""Diagnosis: the fault named before anything is changed, once, with readings that single it out.

A reading singles a fault out when the scenario lists it as a symptom that look-alikes do not
give. "No fault" is an answer like any other. Knows commitments and citations; must know no
weight.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from trainer.assess.commissioning import same_function, same_points, scenes_of
from trainer.assess.job import Job
from trainer.assess.judged import Judged, met, not_met, not_shown, partly
from trainer.assess.readings import Reading
from trainer.assess.scene import Scene, Turn
from trainer.assess.story import Story
from trainer.scenario.dials import OVER_RANGE as OVER
from trainer.scenario.readings import Symptom, lies_in
from trainer.unit.faults import plant

NONE = "none"
#: Number of a reading's event -> the scene it was taken in.
Scenes = Mapping[int, Scene]
#: Acts that change the unit rather than look at it.
REPAIRS = ("fit", "take down", "mount")
#: Readings a diagnosis rests on at least.
READINGS = 2


def diagnosed(story: Story, job: Job) -> Iterator[tuple[str, Judged]]:
    """Every item of a diagnosis, by name; none where no fault could be planted."""
    if not job.diagnoses:
        return
    named = story.acts("name fault")
    if not named:
        for item in ("named", "before repair", "two readings", "separates", "meanings"):
            yield item, not_shown("No cause was named.")
        yield "one commitment", not_shown("No cause was named.")
    else:
        yield from _named(story, job, named)
    needless = _needless(story, job, named)
    if needless is not None:
        yield "no needless part", needless


def _named(story: Story, job: Job, named: list[Turn]) -> Iterator[tuple[str, Judged]]:
    truth = set(job.faults) or {NONE}
    last = _final(named, truth)
    said = {str(t.asked["fault"]) for t in last}
    yield "named", _right(said, truth, last)
    yield "before repair", _before(story, last)
    cited = [r for t in last for r in _cited(story, t)]
    yield "two readings", _cited_enough(cited, last)
    scenes = scenes_of(story)
    separating = [(r, s) for f in sorted(truth) for s in job.symptoms(f)
                  for r in cited if _shows(s, r, job, scenes)]  # fmt: skip
    separates = _separates(separating, truth, last, cited, said)
    if separates is not None:
        yield "separates", separates
    yield "meanings", _meant(story, job, last)
    changes = len(named) - max(len(truth), 1)
    if changes <= 0:
        yield "one commitment", met("One commitment.", *last)
    else:
        told = f"The cause was named {len(named)} times, where naming it once was asked."
        yield "one commitment", not_met(told, *named)


def _final(named: list[Turn], truth: set[str]) -> list[Turn]:
    """The commitments that stand: the last one of each fault, as many as there are faults."""
    latest = {str(t.asked["fault"]): t for t in named}
    return sorted(latest.values(), key=lambda t: t.seq)[-max(len(truth), 1) :]


def _right(said: set[str], truth: set[str], rows: list[Turn]) -> Judged:
    right = len(said & truth)
    if said == truth:
        return met(f"Named: {', '.join(sorted(said))}.", *rows)
    told = f"Named {', '.join(sorted(said))}; it was {', '.join(sorted(truth))}."
    return partly(right, max(len(truth), len(said)), told, *rows)


def _before(story: Story, last: list[Turn]) -> Judged:
    first = min((t.seq for name in REPAIRS for t in story.acts(name)), default=10**9)
    late = [t for t in last if t.seq > first]
    if late:
        return not_met("A part was changed before the cause was named.", *late)
    return met("Named before anything was changed.", *last)


def _cited(story: Story, turn: Turn) -> list[Reading]:
    return [
        story.reading_by_seq[n]
        for n in turn.asked.get("evidence", [])
        if n in story.reading_by_seq and n < turn.seq
    ]


def _cited_enough(cited: list[Reading], last: list[Turn]) -> Judged:
    points = {(r.at, r.setting) for r in cited}
    if len(points) >= READINGS:
        return met(f"{len(points)} readings cited.", *cited)
    told = (
        f"Readings cited: {len(points)}; {READINGS} are wanted, taken before the cause was named."
    )
    return not_met(told, *last)


def _shows(symptom: Symptom, reading: Reading, job: Job, scenes: Scenes) -> bool:
    return (
        same_points(symptom, reading, job, scenes[reading.seq])
        and same_function(symptom, reading)
        and lies_in(symptom.between, reading.value, reading.unit, reading.text == OVER)
    )


def _separates(
    found: list[tuple[Reading, Symptom]], truth: set[str], last: list[Turn], cited: list[Reading],
    said: set[str],
) -> Judged | None:  # fmt: skip
    if truth == {NONE}:
        return None
    if not said & truth:
        return not_met("The readings cited do not bear out what was named.", *(cited or last))
    if any(symptom.unlike for _, symptom in found):
        return met("A cited reading leaves this cause only.", *[r for r, _ in found])
    return not_met("No cited reading tells this cause from its look-alikes.", *(cited or last))


def _meant(story: Story, job: Job, last: list[Turn]) -> Judged:
    """Each citation says what it means; where the scenario knows, it must be that."""
    scenes = scenes_of(story)
    for turn in last:
        numbers = list(turn.asked.get("evidence", []))
        meanings = list(turn.asked.get("meanings", []))
        if not numbers or len(meanings) < len(numbers):
            return not_met("Readings cited without what they mean.", turn)
        for number, meaning in zip(numbers, meanings, strict=False):
            reading = story.reading_by_seq.get(number)
            wrong = reading and _wrong(reading, str(meaning), job, scenes)
            if wrong:
                return not_met(f"Event {number} cited as {meaning}; it means {wrong}.", turn)
    return met("Each cited reading was given its meaning.", *last)


def _wrong(reading: Reading, meaning: str, job: Job, scenes: Scenes) -> str:
    """What a symptom's reading means, if that is something else."""
    for fault in job.faults:
        for symptom in job.symptoms(fault):
            shows = _shows(symptom, reading, job, scenes)
            if symptom.means and shows and symptom.means != meaning:
                return symptom.means
    return ""


def _needless(story: Story, job: Job, named: list[Turn]) -> Judged | None:
    """Parts changed although the wanted unit keeps the one that was found."""
    fitted = story.acts("fit")
    if not fitted:
        return None if not named else met("No part was changed without need.")
    named_first = min((t.seq for t in named), default=10**9)
    faulty = _parts_of(job)
    bad = [t for t in fitted if t.seq < named_first or str(t.asked["part"]) not in faulty]
    if not bad:
        return met("Only the part at fault was changed.", *fitted)
    parts = ", ".join(str(t.asked["part"]) for t in bad)
    return not_met(f"Changed without evidence: {parts}.", *bad)


def _parts_of(job: Job) -> set[str]:
    """Parts whose values the planted conditions changed: their exchange is a cure."""
    found: set[str] = set()
    for fault in job.faults:
        sick = plant(job.target, fault)
        found |= {n for n, part in sick.parts.items() if job.target.parts.get(n) != part}
    return found
