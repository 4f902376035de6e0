"""Checks by code that are no rule of order: steps that are there or not, and shares of many.

Each gives met, not met or not shown, or None where this job gives nothing to judge it by. Knows
the story and the job; must know no weight.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from trainer.assess.job import Job
from trainer.assess.judged import Check, Judged, evidence, met, not_met, not_shown, partly
from trainer.assess.procedure import procedure
from trainer.assess.recorded import P53
from trainer.assess.scene import Turn
from trainer.assess.sequence import Moment
from trainer.assess.story import Story

#: A hum is stopped within this, times the person's factor. Common practice, no source. [ms]
HUM_MS = 2_000
#: Rest before another start counts as one. Common practice for thermistors, no source. [ms]
REST_MS = 60_000


def step_taken(code: str) -> Check:
    """Met when a step of the trail was taken at all."""

    def check(story: Story, job: Job) -> Judged | None:
        title = procedure().words(code).title
        said = title[:1].upper() + title[1:]
        moments = story.moments(code)
        return met(f"{said}.", moments[0]) if moments else not_shown(f"Not shown: {title}.")

    return check


def _when(step: str, needs: str) -> Check:
    """As ``step_taken``, judged only when another step was taken."""
    inner = step_taken(step)

    def check(story: Story, job: Job) -> Judged | None:
        return inner(story, job) if story.moments(needs) else None

    return check


def _declared(story: Story, job: Job) -> Judged | None:
    """Judged when hands went in and the unit was not handed over as dead."""
    if story.given or not (story.moments("WORK") or story.moments("P09")):
        return None
    moments = story.moments("P21")
    if not moments:
        return not_shown("The unit was not declared dead.")
    return met("Declared dead.", moments[0])


def _photographed(story: Story, job: Job) -> Judged | None:
    """A photograph before the first conductor came off; left out when none did."""
    lifts = story.acts("lift")
    if not lifts:
        return None
    before = [t for t in story.acts("photograph") if t.seq < lifts[0].seq]
    if before:
        return met("Photographed before the first conductor came off.", before[0])
    return not_met("The first conductor came off without a photograph.", lifts[0])


def _labelled(story: Story, job: Job) -> Judged | None:
    """Ends labelled before they came off, of conductors that stay in the unit."""
    lifted: dict[tuple[str, str], Turn] = {}
    for turn in story.acts("lift"):
        key = str(turn.asked["wire"]), str(turn.asked["end"])
        if key[0] in story.last.conductors and story.first.end(*key) is not None:
            lifted.setdefault(key, turn)
    if not lifted:
        return None
    tags = {tag for tag, _ in lifted}
    bad = [t for (tag, _), t in lifted.items() if not _has_label(t, tag)]
    bad_tags = {str(t.asked["wire"]) for t in bad}
    if not bad:
        return met("Every conductor was labelled before it came off.", *lifted.values())
    names = ", ".join(sorted(bad_tags))
    said = f"Lifted without a label: wire {names}."
    return partly(len(tags) - len(bad_tags), len(tags), said, *bad)


def _has_label(turn: Turn, tag: str) -> bool:
    conductor = turn.before.conductors[tag]
    return bool(conductor["a"]["label"] or conductor["b"]["label"])


def _pulled(story: Story, job: Job) -> Judged | None:
    lifts = story.acts("lift")
    if not lifts:
        return None
    bad = [t for t in lifts if t.asked.get("by") == "wire"]
    if not bad:
        return met("Conductors were pulled by the terminal.", *lifts)
    names = ", ".join(sorted({str(t.asked["wire"]) for t in bad}))
    return partly(len(lifts) - len(bad), len(lifts), f"Pulled by the wire: {names}.", *bad)


def _part_checked(story: Story, job: Job) -> Judged | None:
    """A part that went in was looked at or measured before power came back."""
    fitted = [*story.acts("fit"), *story.acts("mount")]
    if not fitted:
        return None
    looked = [(t.seq, _part(t.asked.get("at"))) for n in ("look", "read") for t in story.acts(n)]
    looked += [(r.seq, _part(place)) for r in story.readings for place in r.at]
    bad = [
        t for t in fitted
        if not any(seq > t.seq and part == str(t.asked["part"]) for seq, part in looked)
    ]  # fmt: skip
    if not bad:
        return met("The new part was looked at or measured.", *fitted)
    names = ", ".join(str(t.asked["part"]) for t in bad)
    return partly(len(fitted) - len(bad), len(fitted), f"Fitted without a look: {names}.", *bad)


def _part(place: object) -> str:
    return str(place or "").partition(".")[0]


def _hum_stopped(story: Story, job: Job) -> Judged | None:
    """Hums in which the learner could act; a start without a hum gives nothing to judge."""
    if not story.hums:
        return None
    allowed = HUM_MS * story.first.accommodation
    long = [h for h in story.hums if h[1] - h[0] > allowed]
    rows = [Moment("", seq, ended) for _, ended, seq in (long or story.hums)]
    if not long:
        return Judged("met", Fraction(1), "A motor that hummed was stopped.", evidence(rows))
    longest = max(h[1] - h[0] for h in long) / 1000.0
    said = f"A motor stood and hummed for {longest:.0f} s."
    return Judged("not met", Fraction(0), said, evidence(rows))


def _line_volts(story: Story, job: Job) -> Judged | None:
    """Legs together and one leg to ground, live, after power came back and before the start."""
    if not story.restores:
        return not_shown("Power was not put back, so line volts without load were not read.")
    since = story.restores[-1].seq
    start = next((s.event.seq for s in story.starts if s.event.seq > since), 10**9)
    live = [r for r in story.readings if since < r.seq < start and r.volts and r.volts > 90.0]
    grounds = story.site.grounds
    together = [r for r in live if not grounds & set(r.at)]
    to_ground = [r for r in live if grounds & set(r.at)]
    if together and to_ground:
        return met("Line volts read without load.", together[0], to_ground[0])
    if live:
        return not_met("Line volts read only in part: legs together and to ground.", *live)
    return not_shown("Line volts without load were not read before the start.")


def _clamp_armed(story: Story, job: Job) -> Judged | None:
    if not story.starts:
        return not_shown("There was no start to catch.")
    caught = [r for r in story.readings if r.instrument == "clamp" and r.setting == "inrush"]
    if caught:
        return met("The clamp was armed and caught the start.", caught[-1])
    return not_shown("The inrush of the start was not caught.")


def _rested(story: Story, job: Job) -> Judged | None:
    """A second start, at least a minute after the motor stopped."""
    good = [s for s in story.starts if s.outcome in ("clean", "runs")]
    for one, other in pairwise(good):
        if other.event.at_ms - one.event.at_ms >= REST_MS:
            return met(
                "Started again after a rest.",
                *(Moment("", s.event.seq, s.event.at_ms) for s in (one, other)),
            )
    return not_shown("It was not shown to start again after a rest.")


def _started(story: Story, job: Job) -> Judged | None:
    """The last start came out clean."""
    if not story.starts:
        return not_shown("No start was shown.")
    last = story.starts[-1]
    here = Moment("", last.event.seq, last.event.at_ms)
    if last.outcome in ("clean", "runs"):
        return met("The last start came up clean.", here)
    return not_met(
        f"The last start did not come out clean: {last.outcome.replace('_', ' ')}.", here
    )


CHECKS: dict[str, Check] = {
    **{code: step_taken(code) for code in (
        "P01", "P02", "P04", "P05", "P06", "P08", "P10", "P11", "P35", "SIGN", "P54", "P55",
        "PPE", "LEADS", "P34", "P39", "P41",
    )},
    "P21": _declared, "P22": _photographed, "P23": _labelled, "P24": _part_checked,
    "P26": _pulled, "P42": _line_volts, "P44": _clamp_armed, "P45": _hum_stopped, "P50": _rested,
    "P52": _when("P52", "FIT"), "P53": P53, "STARTS": _started,
}  # fmt: skip
