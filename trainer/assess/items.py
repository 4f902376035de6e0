"""Every item of a rubric judged on one story, by domain, with the words that go with it.

Knows the judges of each domain; must know no total and no verdict.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from trainer.assess.checks import CHECKS
from trainer.assess.commissioning import judgements, taken
from trainer.assess.consequence import NO_START, of_hurt, of_start
from trainer.assess.correctness import corrected
from trainer.assess.diagnosis import diagnosed
from trainer.assess.job import Job
from trainer.assess.judged import Check, Judged
from trainer.assess.marks import Domain
from trainer.assess.procedure import procedure
from trainer.assess.rubric import Rubric
from trainer.assess.score import Item
from trainer.assess.sequence import judge
from trainer.assess.story import Story
from trainer.assess.telling import result_of
from trainer.assess.wiring import Compared, nets_in
from trainer.assess.workmanship import WORKMANSHIP

READ = "Take the reading at the points and in the state the job asks for."
JUDGED = "Hold each value against the sheet and say whether it is in order."
NAMED = "Name the cause before any repair, once, by readings that leave only it."
WIRED = "Wire to the diagram, and prove it dead, point to point, before power."


def items_of(
    story: Story, job: Job, rubric: Rubric, found: Compared, left: Compared
) -> dict[Domain, Sequence[Item]]:
    """The judged items of every domain; what this job gives nothing to judge by is left out."""

    def checks(domain: Domain) -> list[Item]:
        return _coded(story, job, CHECKS, rubric.checks.get(domain, {}))

    return {
        "sequence": [*_order(story, rubric), *checks("sequence")],
        "correctness": _correctness(story, job, rubric, found, left),
        "workmanship": _coded(story, job, WORKMANSHIP, rubric.workmanship),
        "commissioning": [*_readings(story, job, rubric), *checks("commissioning")],
        "diagnosis": [*_diagnosis(story, job, rubric), *checks("diagnosis")],
        "records": checks("records"),
    }


def unused_in(story: Story, job: Job, items: Mapping[Domain, Sequence[Item]]) -> frozenset[Domain]:
    """Domains in which this variant gives nothing to do: no fault to find, nothing to mend."""
    unused: set[Domain] = set()
    if not job.diagnoses:
        unused.add("diagnosis")
    if not any(item.weight for item in items["commissioning"]):
        unused.add("commissioning")
    idle = job.nothing_to_mend(story.first) and not any(i.weight for i in items["workmanship"])
    if idle:
        unused |= {"workmanship", "correctness"}
    return frozenset(unused)


def _order(story: Story, rubric: Rubric) -> Iterator[Item]:
    table, told = procedure(), set()
    for judged in judge(rubric.rules, story.trail, story.given):
        if judged.outcome is None:
            continue
        words = table.words(judged.rule.first)
        result = result_of(judged, story)
        did = _order_consequence(judged.broken, story)
        yield Item(
            judged.rule.name, judged.rule.first, judged.rule.weight, result, words.practice,
            words.source, words.severity, "" if did in told else did,
        )  # fmt: skip
        told.add(did)


def _order_consequence(broken: object, story: Story) -> str:
    """What the act that came too early did, if the circuit answered."""
    turn = story.turn_by_seq.get(getattr(broken, "seq", 0))
    if turn is None:
        return ""
    kinds = ("shock", "arc", "pierced")
    return " ".join(of_hurt(e.data, e.kind) for e in turn.events if e.kind in kinds)


def _coded(
    story: Story, job: Job, checks: Mapping[str, Check], weights: Mapping[str, Fraction]
) -> list[Item]:
    """Checks of a table by their codes; those that weigh nothing are not judged."""
    found = []
    for code, weight in weights.items():
        judged = checks[code](story, job) if weight else None
        if judged is not None:
            found.append(_item(code, weight, judged))
    return found


def _item(code: str, weight: Fraction, judged: Judged) -> Item:
    words = procedure().words(code)
    return Item(words.title, code, weight, judged, words.practice, words.source, words.severity)


def _readings(story: Story, job: Job, rubric: Rubric) -> Iterator[Item]:
    if rubric.reading:
        for asked, judged in taken(story, job):
            yield _plain(f"reading: {asked.name}", rubric.reading, judged, READ)
    if rubric.judging:
        for asked, judged in judgements(story, job):
            yield _plain(f"judged: {asked.name}", rubric.judging, judged, JUDGED)


def _diagnosis(story: Story, job: Job, rubric: Rubric) -> Iterator[Item]:
    for name, judged in diagnosed(story, job):
        weight = rubric.diagnosis.get(name, Fraction(0))
        if weight:
            yield _plain(name, weight, judged, NAMED)


def _plain(rule: str, weight: Fraction, judged: Judged, practice: str) -> Item:
    return Item(rule, "", weight, judged, practice, "common practice", "major")


def _correctness(
    story: Story, job: Job, rubric: Rubric, found: Compared, left: Compared
) -> list[Item]:
    found_items = []
    for name, judged in corrected(story, job, found, left, rubric.works_otherwise / 100):
        weight = rubric.correctness.get(name, Fraction(0))
        if weight:
            did = "" if judged.outcome == "met" else _last_start(story, job, left)
            words = (WIRED, "common practice", "major", did)
            found_items.append(Item(name, "P29", weight, judged, *words))
    return found_items


def _last_start(story: Story, job: Job, left: Compared) -> str:
    """What the last start made with the wiring that was left did."""
    same = [s for s in story.starts if nets_in(s.scene, job) == left.nets]
    called = [t for t in story.acts("thermostat") if nets_in(t.after, job) == left.nets
              and t.asked.get("to") != "off" and story.fed(t.after)]  # fmt: skip
    if not same and called:
        return NO_START
    return of_start(same[-1] if same else None)
