"""A file of model acts, written for one seed, told for another variant of the same job.

Acts name wires, parts and places, which every variant has. What differs is told by the variant: a
citation is the number of the event in which the same act was read, and a value that was read off a
display is what that display shows now. Nothing else is changed. Knows sessions; must know no mark.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from trainer.scenario.dials import Faults, OneOf, Tool
from trainer.scenario.model import Scenario
from trainer.scenario.variants import draw
from trainer.session.acts import Act
from trainer.session.attempt import Running, start
from trainer.session.events import Event
from trainer.session.opening import Opening

#: Dials that make another job of it: another cause, another wiring, an instrument out of order.
#: All others change what is seen and how much is read, not what has to be done.
TELLING = (Faults, OneOf, Tool)


@dataclass
class Played:
    """Acts played, and the readings of each act by its place in the file."""

    opened: Opening
    running: Running
    readings: list[list[Event]] = field(default_factory=list)

    def reading_of(self, seq: int) -> tuple[int, int] | None:
        """(which act, which of its readings) the event of this number is."""
        for n, events in enumerate(self.readings):
            for k, event in enumerate(events):
                if event.seq == seq:
                    return n, k
        return None

    def event(self, where: tuple[int, int]) -> Event | None:
        n, k = where
        found = self.readings[n] if n < len(self.readings) else []
        return found[k] if k < len(found) else None


def played(acts: Sequence[Act], opened: Opening, written: Played | None = None) -> Played:
    """The acts done on a variant; with ``written``, told anew from how they went on their own."""
    running = start(opened.unit, None, opened.header, found=opened.found)
    done = Played(opened, running)
    for act in acts:
        told = act if written is None else _retold(act, written, done)
        done.readings.append([e for e in running.do(told) if e.kind == "read"])
    return done


def _retold(act: Act, written: Played, now: Played) -> Act:
    said: dict[str, Any] = act.model_dump()
    changed: dict[str, Any] = {}
    if said.get("reading"):
        was, event = _both(said["reading"], written, now)
        if event is not None:
            changed["reading"] = event.seq
            shown = event.data["shown"]["text"]  # "" on a dark display
            if was is not None and shown and any(c.isdigit() for c in said["value"]):
                changed["value"] = shown
    if said.get("evidence"):
        events = [_both(seq, written, now)[1] for seq in said["evidence"]]
        changed["evidence"] = [e.seq for e in events if e is not None] or said["evidence"]
    return type(act).model_validate({**said, **changed}) if changed else act


def _both(seq: int, written: Played, now: Played) -> tuple[Event | None, Event | None]:
    """The reading cited, then and now."""
    where = written.reading_of(seq)
    return (None, None) if where is None else (written.event(where), now.event(where))


def other_job(scenario: Scenario, name: str, seed: int, model_seed: int) -> str:
    """What this variant asks for otherwise than the one the acts are written for, or ""."""
    there, here = draw(scenario, name, model_seed), draw(scenario, name, seed)
    dials = scenario.variants.dials
    telling = [d for d, spec in dials.items() if isinstance(spec, TELLING)]
    return ", ".join(f"{d} {here[d]}" for d in telling if here[d] != there[d])
