"""What is told beside the findings: near misses, hints, times, things done well; how it ended.

Knows the story and a rubric's prices of hints and time; must know no weight of anything else.
"""

from __future__ import annotations

from fractions import Fraction

from trainer.assess.job import Job
from trainer.assess.judged import evidence
from trainer.assess.marks import Note
from trainer.assess.readings import DEAD_V
from trainer.assess.rubric import TIERS, Rubric
from trainer.assess.story import Story


def ending(story: Story) -> str:
    """How the attempt ended, as the bench told it: handed over, death, loss; or left open."""
    return story.ended or "left open"


def notes_of(story: Story, job: Job, rubric: Rubric) -> tuple[list[Note], Fraction, Fraction]:
    """Every note, the points that hints cost and those that time cost."""
    hints, hint_points = _hints(story, rubric)
    times, time_points = _times(story, job, rubric)
    notes = [*_well(story), *_near_misses(story, job), *hints, *times]
    return notes, hint_points, time_points


def _hints(story: Story, rubric: Rubric) -> tuple[list[Note], Fraction]:
    found, points = [], Fraction(0)
    for turn in story.acts("hint"):
        tier = TIERS[int(turn.asked["tier"]) - 1]
        price = rubric.hints.points.get(tier, Fraction(0))
        points += price
        words = [f"The hint '{tier}' was asked for"]
        words += [f"it cost {float(price):g} points"] if price else []
        words += [] if tier in rubric.hints.allowed else ["this rubric does not allow it"]
        found.append(Note("hint", "; ".join(words) + ".", evidence([turn])))
    return found, points


def _near_misses(story: Story, job: Job) -> list[Note]:
    """A hazard entered and left: refused acts on guarded things, a probe on a wrong range."""
    found = []
    for turn in story.turns:
        owner, _ = turn.before.locks.get(str(turn.asked.get("part")), ("", ""))
        if turn.refused and turn.act == "unlock" and owner not in ("", turn.before.who):
            said = f"Tried to take off a lock on {turn.asked['part']} that is somebody else's."
            found.append(Note("near miss", said, evidence([turn])))
        for event in turn.of("harmed"):
            said = (
                f"The {event.data['instrument']} was put on live points on a range that hurts it."
            )
            found.append(Note("near miss", said, evidence([turn])))
    if story.unsafe and not story.hurts:
        first = story.unsafe[0].turn
        count = len(story.unsafe)
        often = "once" if count == 1 else f"{count} times"
        said = f"Hands went in {often} before it was safe, and nothing happened."
        found.append(Note("near miss", said, evidence([first])))
    return found


def _well(story: Story) -> list[Note]:
    """What kept somebody safe, said first."""
    found = []
    work = story.moments("WORK")
    if work and not story.unsafe and not story.given:
        said = "Every hand went in only after the unit was open, locked, proved dead and empty."
        found.append(Note("done well", said, evidence(work[:1])))
    caught = [
        r for r in story.readings if r.setting == "V dc" and r.volts and abs(r.volts) > DEAD_V
    ]
    if caught:
        said = (
            f"A charge of {abs(caught[0].volts or 0):.0f} V was found on dc before hands went in."
        )
        found.append(Note("done well", said, evidence(caught[:1])))
    started = story.starts[-1:]
    if started and started[-1].outcome in ("clean", "runs"):
        peak = started[-1].figures.get("peak_line_a") or started[-1].course["peak_a"]
        said = f"The last start came up clean, {peak:.0f} A at its peak."
        from trainer.assess.sequence import Moment

        event = started[-1].event
        found.append(Note("done well", said, evidence([Moment("", event.seq, event.at_ms)])))
    return found


def _times(story: Story, job: Job, rubric: Rubric) -> tuple[list[Note], Fraction]:
    """Time spent of the time allowed, which the person's factor lengthens; points for more."""
    if not story.turns:
        return [], Fraction(0)
    spent = Fraction(story.turns[-1].at_ms, 1000)
    given = story.first.time_s
    allowed = Fraction(str(job.scenario.time if given is None else given))
    allowed *= Fraction(str(story.first.accommodation))
    over = max(Fraction(0), spent / allowed - 1) if allowed else Fraction(0)
    points = rubric.time * min(Fraction(1), over)
    told = f"Bench time {float(spent / 60):.0f} min of {float(allowed / 60):.0f} min"
    if not rubric.time:
        return [Note("time", f"{told}; time is not charged.")], points
    if not over:
        return [Note("time", f"{told}; it cost nothing.")], points
    cost = f"{float(100 * over):.1f} % over, which cost {float(points):.2f} points of the total"
    return [Note("time", f"{told}: {cost}.", evidence(story.turns[-1:]))], points
