"""An attempt and a rubric in, a mark out. Needs no physics: everything it says is in the events.

Knows every part of the assessor and puts them together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from trainer.assess.critical import criticals
from trainer.assess.finding_rubric import rubric_for
from trainer.assess.items import items_of, unused_in
from trainer.assess.job import Job
from trainer.assess.loading import job_for, named_in
from trainer.assess.marks import Critical, DomainScore, Mark, Subject
from trainer.assess.noting import ending, notes_of
from trainer.assess.rubric import Rubric
from trainer.assess.score import ENDINGS, reasons_of, scored, total_of, worst_first
from trainer.assess.story import Story, told
from trainer.assess.vouching import vouched
from trainer.assess.wiring import compared
from trainer.scenario.model import Scenario
from trainer.session.log import Attempt

#: Raised whenever the same attempt and rubric may give another mark.
SCORER = "2"


@dataclass(frozen=True)
class Marked:
    """A mark with what it was made from."""

    mark: Mark
    attempt: Attempt
    scenario: Scenario
    job: Job
    story: Story
    rubric: Rubric


def mark_file(path: Path, rubric: Path | None = None, key: Path | None = None) -> Marked:
    """The mark of an attempt file.

    Raises TrainerError: NotVerified naming the first bad event of a file that was changed, cut
    short or made elsewhere; Sealed for a graded attempt that is not released; Faults for a rubric.
    """
    attempt, digest = vouched(path, key)
    name, seed = named_in(path, attempt.header), int(attempt.header["seed"])
    job = job_for(name, seed)
    return mark_attempt(attempt, job, rubric_for(job.scenario, name, rubric), digest)


def mark_attempt(attempt: Attempt, job: Job, rubric: Rubric, digest: str = "") -> Marked:
    """The mark of an attempt that was read and vouched for."""
    story, scenario = told(attempt.events, job.site), job.scenario
    subject = _subject(attempt, scenario, rubric, digest)
    return Marked(_mark(story, job, rubric, subject), attempt, scenario, job, story, rubric)


def _subject(attempt: Attempt, scenario: Scenario, rubric: Rubric, digest: str) -> Subject:
    header = attempt.header
    return Subject(
        scenario=str(header["scenario"]), title=scenario.title, level=scenario.level,
        seed=int(header["seed"]), mode=str(header.get("mode", "")),
        learner=str(header.get("learner", "")), attempt_digest=digest,
        scenario_digest=scenario.digest, rubric=rubric.title, rubric_digest=rubric.digest,
        scorer=SCORER, provisional=rubric.provisional,
    )  # fmt: skip


def _mark(story: Story, job: Job, rubric: Rubric, subject: Subject) -> Mark:
    found, left = compared(story.first, job), compared(story.last, job)
    items = items_of(story, job, rubric, found, left)
    domains = scored(rubric, items, unused_in(story, job, items))
    critical = criticals(story, job, frozenset(rubric.critical))
    notes, hint_points, time_points = notes_of(story, job, rubric)
    total = total_of(domains, hint_points + time_points)
    cut = (
        Fraction(str(job.scenario.pass_line)) if job.scenario.pass_line is not None else rubric.cut
    )
    ended = ending(story)
    reasons = reasons_of(total, cut, domains, critical, ended)
    return Mark(
        subject, "fail" if reasons else "pass", _safe(domains, critical, ended),
        total, cut, tuple(domains), tuple(critical), worst_first(domains), tuple(notes),
        tuple(reasons), ended, hint_points, time_points, left.as_data(),
    )  # fmt: skip


def _safe(domains: Sequence[DomainScore], critical: Sequence[Critical], ended: str) -> bool:
    """Shown to work safely: no critical error, and enough of the safe sequence was there to see."""
    shown = all(d.above_floor for d in domains if d.name == "sequence")
    return shown and not critical and ended not in ENDINGS
