"""One act being decided: the bench as it goes on, and the events gathered so far.

A refusal is an event too: one sentence that says why nature does not allow it. Knows how events
gather; must know no act by name.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Any

from trainer.base.errors import TrainerError
from trainer.circuit.channels import Channel
from trainer.session.bench import Bench
from trainer.session.events import Event, Happening
from trainer.session.evolve import evolve
from trainer.session.passing import Step, catch_up, pass_time, step
from trainer.unit.circuit import Link, elements_of
from trainer.unit.conductor import part_of, terminal_of
from trainer.unit.layout import Layout, load_layout

#: What any act costs while a motor is fed and stands. [ms]
HUM_MS = 1000


class Refused(Exception):
    """Nature does not allow it; the text is one sentence in shop words."""


class Doing:
    """Gathers events; ``bench`` is always the bench after those gathered."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self.found: list[Happening] = []

    def emit(self, kind: str, **data: Any) -> None:
        self.found.append(Happening(self.bench.at_ms, kind, data))
        self.bench = evolve(self.bench, Event(0, self.bench.at_ms, kind, data))

    def say(self, text: str) -> None:
        self.emit("seen", text=text)

    def did(self, what: str, to: str = "") -> None:
        self.emit("did", what=what, to=to)

    def take(self, taken: Step) -> Step:
        """Go on from a step of the world, its events gathered."""
        self.bench = taken.bench
        self.found += taken.events
        return taken

    def pass_time(self, ms: int) -> None:
        """The bench time of an act; next to a motor that hums nobody takes longer than a second."""
        if self.bench.hums:
            ms = min(ms, HUM_MS)
        self.wait(ms)

    def wait(self, ms: int) -> None:
        if ms > 0:
            self.take(pass_time(self.bench, ms))

    def catch_up(self) -> None:
        self.take(catch_up(self.bench))

    def step(
        self,
        ms: int,
        moves: tuple[tuple[str, str], ...] = (),
        extra: tuple[Link, ...] = (),
        more: Sequence[Channel] = (),
    ) -> Step:
        return self.take(step(self.bench, ms, moves, extra, more))

    @property
    def site(self) -> Layout:
        own, unit = self.bench.own_layout, self.bench.unit
        if own is None:
            return site_of(unit.layout, unit.digest)
        return own

    def cover_over(self, place: str) -> str:
        """The cover that is on and hides this place or part, or ""."""
        names = {place, terminal_of(place), part_of(place)}
        for name, cover in self.site.covers.items():
            if name not in self.bench.unit.covers_off and names & set(cover.hides):
                return name
        return ""

    def reach(self, place: str) -> None:
        """Refuse what is not there or is behind a cover."""
        _, nodes = elements_of(self.bench.unit)
        if place not in nodes:
            raise Refused(f"There is no {place} on this unit.")
        hidden = self.cover_over(self.standing_on(place))
        if hidden:
            raise Refused(f"You cannot get at {place}: the {hidden} is on.")

    def standing_on(self, place: str) -> str:
        """The place itself, or for a conductor's end what it is landed on."""
        if not place.startswith("wire:"):
            return place
        tag, _, side = place.removeprefix("wire:").rpartition(".")
        conductor = self.bench.unit.conductors.get(tag)
        landed = conductor.end(side).on if conductor else None  # type: ignore[arg-type]
        return landed or place


@lru_cache(maxsize=32)
def site_of(name: str, digest: str) -> Layout:
    """The layout of a unit. Raises TrainerError when the file is no longer the same."""
    layout = load_layout(name)
    if layout.digest != digest:
        raise TrainerError("the layout has changed since this attempt began", name)
    return layout
