"""Readings the job asks for: taken at the right points, on the right range, and judged rightly.

Knows readings asked and taken; must know no weight and no solver.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from trainer.assess.job import Job
from trainer.assess.judged import Judged, met, not_met, not_shown
from trainer.assess.readings import Reading
from trainer.assess.recorded import Recorded, records
from trainer.assess.scene import Scene
from trainer.assess.site import CHASSIS, pair
from trainer.assess.story import Story
from trainer.nets.wires import wires_in
from trainer.scenario.dials import OVER_RANGE as OVER
from trainer.scenario.readings import Reading as Asked
from trainer.scenario.readings import lies_in
from trainer.scenario.taking import OWN_SOURCE, usual_setting
from trainer.unit.conductor import terminal_of

#: Settings that show the same thing.
ALIKE = {"ohms": ("ohms", "continuity"), "continuity": ("ohms", "continuity"),
         "V ac": ("V ac", "V ac min/max"), "A ac": ("A ac",)}  # fmt: skip


def taken(story: Story, job: Job) -> Iterator[tuple[Asked, Judged]]:
    """Every reading of the job, judged."""
    scenes = scenes_of(story)
    for asked in job.readings:
        yield asked, _judge(asked, story, job, scenes)


def _judge(asked: Asked, story: Story, job: Job, scenes: dict[int, Scene]) -> Judged:
    same_place = [r for r in story.readings if same_points(asked, r, job, scenes[r.seq])]
    if not same_place:
        return not_shown(f"Not taken: {asked.name}.")
    good = [r for r in same_place if same_function(asked, r)]
    if not good and not any(_near_miss(asked, r) for r in same_place):
        return not_shown(f"Not taken: {asked.name}.")
    if not good:
        return _other_range(asked, same_place)
    fit = [r for r in good if _in_state(asked, r, scenes[r.seq], job)]
    if not fit:
        said = f"Taken in the wrong state ({asked.when} was asked): {asked.name}."
        return not_met(said, good[-1])
    return met(f"{asked.name}: {fit[-1].text}.", fit[-1])


def _other_range(asked: Asked, readings: list[Reading]) -> Judged:
    """A wrong range is a mistake only where the reading was no test for volts or charge."""
    meant = [r for r in readings if not r.why]
    if not meant:
        return not_shown(f"Not taken: {asked.name}.")
    name = f"{asked.name[:1].upper()}{asked.name[1:]}"
    told = f"{name} was not read on {usual_setting(asked)}, only on {meant[-1].setting}."
    if usual_setting(asked) == "inrush":
        told = f"The clamp caught no start: {asked.name} was read on {meant[-1].setting} only."
    return not_met(told, meant[-1])


def judgements(story: Story, job: Job) -> Iterator[tuple[Asked, Judged]]:
    """Readings with an accepted span: whether the learner's verdict on his own value is right."""
    rows, scenes = records(story), scenes_of(story)
    for asked in job.readings:
        if asked.accept is None:
            continue
        mine = [
            r
            for r in rows
            if r.reading is not None
            and same_points(asked, r.reading, job, scenes[r.reading.seq])
            and same_function(asked, r.reading)
        ]
        told = [r for r in mine if r.verdict]
        if not told:
            yield asked, not_shown(f"Not judged against the sheet: {asked.name}.")
        else:
            yield asked, _verdict(asked, told[-1])


def _verdict(asked: Asked, row: Recorded) -> Judged:
    assert row.reading is not None and asked.accept is not None
    value = row.reading.value
    if value is not None and row.reading.unit == "V":
        value = abs(value)  # a sign says only how the leads were held
    inside = lies_in(asked.accept, value, row.reading.unit, row.reading.text == OVER)
    right = row.verdict == ("in order" if inside else "not in order")
    allowed = " to ".join(asked.accept)
    said = f"{asked.name} {row.value} judged {row.verdict}; the sheet allows {allowed}."
    return met(said, row) if right else not_met(said, row)


def same_points(asked: Asked, reading: Reading, job: Job, scene: Scene) -> bool:
    """Whether a reading was taken where it is asked for; ``scene`` is the one it was taken in."""
    if asked.with_ == "clamp":
        return reading.instrument == "clamp" and _same_wires(asked, reading, job, scene)
    if reading.instrument != asked.with_ and not _both_volts(asked, reading):
        return False
    if len(asked.at) < 2 or len(reading.at) < 2:
        return False
    nets = job.joined
    grounds = dict.fromkeys(job.site.grounds, CHASSIS)  # one ground is as good as another
    wanted = {_net(terminal_of(p), nets, grounds) for p in (asked.at[0], asked.at[-1])}
    return (
        wanted == {_net(p, nets, grounds) for p in reading.at}
        or pair(asked.at[0], asked.at[-1]) == reading.pair
    )


def _net(place: str, nets: Mapping[str, str], grounds: Mapping[str, str]) -> str:
    return grounds.get(place) or nets.get(place, place)


def _same_wires(asked: Asked, reading: Reading, job: Job, scene: Scene) -> bool:
    """The conductor of that number, or one that joins what the wanted one of that number joins."""
    wanted = {frozenset((w.a, w.b)) for w in job.target_wires if w.tag in asked.at}
    here = {w.tag: frozenset((w.a, w.b)) for w in wires_in(scene.conductors)}
    return all(tag in asked.at or here.get(tag) in wanted for tag in reading.at)


def _both_volts(asked: Asked, reading: Reading) -> bool:
    return asked.setting in ("", "V ac", "V dc") and reading.instrument == "tester"


def same_function(asked: Asked, reading: Reading) -> bool:
    if reading.instrument == "tester":
        return True
    wanted = usual_setting(asked)
    return reading.setting in ALIKE.get(wanted, (wanted,))


def _near_miss(asked: Asked, reading: Reading) -> bool:
    """A wrong range of the right kind; volts where ohms are asked are another errand."""
    return (usual_setting(asked) in OWN_SOURCE) == (reading.setting in OWN_SOURCE)


def _in_state(asked: Asked, reading: Reading, scene: Scene, job: Job) -> bool:
    """Dead: every power source open. Lifted: bare at those terminals. Running: it moves."""
    lifted = {terminal_of(p) for p in asked.lifted}
    if lifted and not _bare(scene, lifted, asked):
        return False
    fed = any(all(scene.closed.get(c, False) for c in s.contacts) for s in job.site.locked_sources)
    match asked.when:
        case "dead":
            return not fed
        case "idle":
            return fed and not scene.hums
        case "running":
            return fed and scene.moving
    return True


def _bare(scene: Scene, lifted: set[str], asked: Asked) -> bool:
    """Enough is off that the part is alone: nothing leads on from at least one side of it."""
    used = {end for wire in wires_in(scene.conductors) if wire.whole for end in (wire.a, wire.b)}
    ends = {terminal_of(p) for p in asked.at} & lifted or lifted
    return any(terminal not in used for terminal in ends)


def scenes_of(story: Story) -> dict[int, Scene]:
    """The scene in which each reading was taken."""
    found = {}
    for turn in story.turns:
        for event in turn.of("read"):
            found[event.seq] = turn.after
    return found
