"""Points of workmanship W13 to W15, W17 and W21: slack, whips, straps, and the drawn legs.

What is judged is what the bench knows: how long a new conductor is and how far apart its two places
are, whether it goes from one box into another, how a capacitor was mounted, and which of the right
wirings was made. A bend, a jacket under its clamp and a knock-out are not on it. Knows layouts,
ends and acts; must know no weight.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from trainer.assess.ends import made_ends
from trainer.assess.job import Job
from trainer.assess.judged import Check, Judged, met, partly
from trainer.assess.scene import Turn
from trainer.assess.site import CAPACITOR_KINDS, kind_of
from trainer.assess.story import Story
from trainer.assess.wiring import compared
from trainer.unit.catalogue import type_of
from trainer.unit.layout import Box, place_on

#: A conductor is longer than the straight way by at least this: service slack is 20 to 50 mm,
#: common practice, no source. What is too much is not judged: the run is not on the bench. [mm]
SLACK_MM = 20.0
#: Boxes that stand in the rain.
OUTDOORS = ("unit", "wall")
#: A capacitor's top domes when it fails and needs this much above it. Common practice, no source;
#: from memory. [mm]
VENT_MM = 13.0


@dataclass(frozen=True)
class Laid:
    """A conductor off the reel with both ends landed, and where they are."""

    tag: str
    conductor: Mapping[str, Any]
    seqs: tuple[tuple[int, int], ...]
    a: Box
    b: Box

    @property
    def seq(self) -> int:
        return self.seqs[-1][0]

    @property
    def at_ms(self) -> int:
        return self.seqs[-1][1]

    @property
    def crosses(self) -> bool:
        return self.a.where != self.b.where

    @property
    def straight_mm(self) -> float:
        return math.dist(self.a.at, self.b.at)

    @property
    def spare_mm(self) -> float:
        return 1000.0 * float(self.conductor["length_m"]) - self.straight_mm


def laid(story: Story, job: Job) -> Iterator[Laid]:
    """New conductors whose two places are both on the drawing of this variant."""
    acts: dict[str, list[tuple[int, int]]] = {}
    for end in made_ends(story):
        if not end.conductor["factory"]:
            acts.setdefault(end.tag, []).extend(end.seqs)
    types = {name: part["type"] for name, part in story.last.parts.items()}
    for tag, seqs in acts.items():
        conductor = story.last.conductors[tag]
        places = [conductor[side]["on"] for side in ("a", "b")]
        a, b = (place_on(job.placed, types, place) if place else None for place in places)
        if a is not None and b is not None:
            yield Laid(tag, conductor, tuple(sorted(seqs)), a, b)


def slack(story: Story, job: Job) -> Judged | None:
    """W13: no tension in a conductor between two places of one box."""
    runs = [run for run in laid(story, job) if not run.crosses]
    if not runs:
        return None
    bad = [run for run in runs if run.spare_mm < SLACK_MM]
    if not bad:
        return met(f"New conductors reach without tension: {len(runs)} of {len(runs)}.", *runs)
    names = "; ".join(f"wire {run.tag}, {run.spare_mm:.0f} mm to spare" for run in bad[:4])
    said = f"Cut too short for slack ({len(bad)} of {len(runs)}): {names}."
    return partly(len(runs) - len(bad), len(runs), said, *bad)


def _dressed(how: str, boxes: tuple[str, ...], right: str, wrong: str) -> Check:
    """A share over new conductors that go from box to box, one of them of these."""

    def check(story: Story, job: Job) -> Judged | None:
        runs = [r for r in laid(story, job) if r.crosses and {r.a.where, r.b.where} & set(boxes)]
        if not runs:
            return None
        done = [t for t in story.acts("dress") if t.asked["how"] == how]
        tags = {str(t.asked["wire"]) for t in done}
        bad = [run for run in runs if run.tag not in tags]
        if not bad:
            return met(f"{right}: {len(runs)} of {len(runs)} conductors.", *done)
        names = ", ".join(run.tag for run in bad)
        said = f"{wrong} ({len(bad)} of {len(runs)}): wire {names}."
        return partly(len(runs) - len(bad), len(runs), said, *bad)

    return check


def strapped(story: Story, job: Job) -> Judged | None:
    """W17: a capacitor that was mounted is strapped, upright, with room for its top to dome."""
    types = {name: part["type"] for name, part in story.last.parts.items()}
    latest = {str(t.asked["part"]): t for t in story.acts("mount")}
    mounts = [t for n, t in latest.items() if n in types and kind_of(types[n]) in CAPACITOR_KINDS]
    if not mounts:
        return None
    bad = [(t, why) for t in mounts if (why := _loose(t, types, job))]
    if not bad:
        return met("Capacitors strapped, terminals up, room above them.", *mounts)
    names = "; ".join(f"{t.asked['part']}: {why}" for t, why in bad)
    return partly(
        len(mounts) - len(bad), len(mounts), f"Not mounted as a capacitor is: {names}.",
        *(t for t, _ in bad),
    )  # fmt: skip


def _loose(turn: Turn, types: Mapping[str, str], job: Job) -> str:
    """What is wrong with how a capacitor was mounted, or ""."""
    if not turn.asked.get("strap"):
        return "no strap"
    if turn.asked.get("arrow", "up") != "up":
        return "its terminals are not up"
    above = _above(turn, types, job)
    return f"{above} is right above it" if above else ""


def _above(turn: Turn, types: Mapping[str, str], job: Job) -> str:
    """The part that its top would dome into, or ""; nothing is known of one without a spot."""
    x, y, part = turn.asked.get("x"), turn.asked.get("y"), str(turn.asked["part"])
    if x is None or y is None:
        return ""
    wide = type_of(types[part]).size[0]
    for name, spot in job.placed.parts.items():
        if name == part or spot.where != "unit" or name not in types:
            continue
        size = type_of(types[name]).size
        across, down = size if spot.turn in (0, 180) else (size[1], size[0])
        beside = spot.at[0] < x + wide and x < spot.at[0] + across
        if beside and 0.0 <= y - (spot.at[1] + down) < VENT_MM:
            return name
    return ""


def as_drawn(story: Story, job: Job) -> Judged | None:
    """W21: the legs and ends as the diagram has them; electrically equal otherwise is style."""
    ends = [end for end in made_ends(story) if end.landed]
    if not ends:
        return None
    level = compared(story.last, job).comparison.level
    if level == 5:
        return None  # what is wrong is no question of style
    if level == 1:
        return met("Wired as the diagram draws it.", *ends)
    said = "It works, and is not as the diagram draws it: legs or ends are exchanged."
    return partly(1, 2, said, *ends)


DRESSING: dict[str, Check] = {
    "W13": slack,
    "W14": _dressed("strain relief", ("unit", "wall", "panel", "indoor"),
                    "Strain relief where conductors enter", "No strain relief where it enters"),
    "W15": _dressed("drip loop", OUTDOORS, "A drip loop before conductors enter",
                    "No drip loop before it enters"),
    "W17": strapped,
    "W21": as_drawn,
}  # fmt: skip
