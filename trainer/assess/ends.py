"""Ends of conductors that the learner had his hands on, and how he left them.

Untouched factory joints are nobody's workmanship here. Knows plain data of ends; must know no
weight.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from trainer.assess.story import Story
from trainer.unit.catalogue import Place, place_in

#: Facts of an end that a hand changes.
HANDLED = ("on", "stripped_mm", "strands", "fitting", "crimp", "torque_nm", "seated", "capped")
#: Acts that make or unmake a joint.
JOINTS = frozenset(("lift", "loosen", "cut", "strip", "crimp", "land", "torque", "cap", "park"))


@dataclass(frozen=True)
class Made:
    """An end as it was left. ``turns`` are the acts on it; ``place`` what it is landed on."""

    tag: str
    side: str
    conductor: Mapping[str, Any]
    end: Mapping[str, Any]
    place: Place | None
    seqs: tuple[tuple[int, int], ...]

    @property
    def seq(self) -> int:
        return self.seqs[-1][0]

    @property
    def at_ms(self) -> int:
        return self.seqs[-1][1]

    @property
    def name(self) -> str:
        on = self.end["on"]
        if on:
            return f"wire {self.tag} end {self.side} on {on}"
        return f"wire {self.tag} end {self.side}"

    @property
    def landed(self) -> bool:
        return bool(self.end["on"])


def made_ends(story: Story) -> list[Made]:
    """Every end the learner handled that is still in the unit."""
    if story.made is None:
        story.made = tuple(_handled(story))
    return list(story.made)


def _handled(story: Story) -> Iterator[Made]:
    acts: dict[tuple[str, str], list[tuple[int, int]]] = {}
    for turn in story.turns:
        if turn.act in JOINTS and not turn.refused:
            key = str(turn.asked["wire"]), str(turn.asked["end"])
            acts.setdefault(key, []).append((turn.seq, turn.at_ms))
    types = {name: part["type"] for name, part in story.last.parts.items()}
    return _made(story, acts, types)


def _made(
    story: Story, acts: Mapping[tuple[str, str], list[tuple[int, int]]], types: dict[str, str]
) -> Iterator[Made]:
    frozen = tuple(sorted(types.items()))
    for (tag, side), seqs in acts.items():
        conductor = story.last.conductors.get(tag)
        if conductor is None:
            continue
        end = conductor[side]
        place = _place(frozen, end["on"]) if end["on"] else None
        yield Made(tag, side, conductor, end, place, tuple(seqs))


@lru_cache(maxsize=2048)
def _place(types: tuple[tuple[str, str], ...], place: str) -> Place | None:
    return place_in(dict(types), place)
