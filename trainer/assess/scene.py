"""The bench as plain data between acts, folded from events without building any circuit.

What ``session.evolve`` makes into records is kept here as the events carry it, because marking
looks at hundreds of attempts and solves nothing. Knows kinds of events; must know no rule.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from trainer.base.errors import TrainerError, quoted
from trainer.session.events import ASKED, DONE, Event
from trainer.session.evolve import CHANGES

Data = Mapping[str, Any]
End = Mapping[str, Any]


@dataclass
class Scene:
    """What is so between two acts. Everything in it is replaced, never changed in place."""

    who: str
    conductors: dict[str, Data]
    parts: dict[str, Data]
    closed: Mapping[str, bool]
    covers_off: frozenset[str]
    locks: dict[str, tuple[str, str]]
    moving: bool = False
    hums: tuple[str, ...] = ()
    tools: frozenset[str] = frozenset()
    ppe: frozenset[str] = frozenset()
    stance: str = "in front"
    sources: tuple[str, ...] = ()
    declared: bool = False
    accommodation: float = 1.0
    #: Time allowed for the job [s], which an assignment may set otherwise than the scenario.
    time_s: float | None = None

    def end(self, tag: str, side: str) -> End | None:
        conductor = self.conductors.get(tag)
        return conductor[side] if conductor else None

    def landed(self) -> Iterator[tuple[str, str, str]]:
        """(tag, side, place) of every landed end."""
        for tag, conductor in self.conductors.items():
            for side in ("a", "b"):
                on = conductor[side]["on"]
                if on:
                    yield tag, side, on


@dataclass(frozen=True)
class Turn:
    """One act with what came of it: ``before`` and ``after`` are the scenes around it."""

    number: int
    asked: Data
    events: tuple[Event, ...]
    before: Scene
    after: Scene

    @cached_property
    def act(self) -> str:
        return str(self.asked["act"])

    @cached_property
    def kinds(self) -> frozenset[str]:
        """Kinds of event in it."""
        return frozenset(e.kind for e in self.events)

    @cached_property
    def switched(self) -> bool:
        """Whether a contact or a lock may have changed."""
        return not self.kinds.isdisjoint(("electrics", "locked", "tagged", "unlocked"))

    @cached_property
    def seq(self) -> int:
        """Number of the event that evidence points to: the act as it was asked."""
        return self.events[0].seq

    @property
    def at_ms(self) -> int:
        return self.events[-1].at_ms

    @property
    def refused(self) -> bool:
        return "refused" in self.kinds

    def of(self, kind: str) -> Iterator[Event]:
        return (e for e in self.events if e.kind == kind) if kind in self.kinds else iter(())


def opened(data: Data) -> Scene:
    """The scene at the beginning, from the data of the first event."""
    unit, found = data["unit"], data.get("found", {})
    return Scene(
        who=data["who"],
        conductors={c["tag"]: c for c in unit["conductors"]},
        parts=dict(unit["parts"]),
        closed=unit["electrics"]["closed"],
        covers_off=frozenset(unit["covers_off"]),
        locks={part: (owner, "") for part, owner in found.get("locks", {}).items()},
        moving=data["moving"], hums=tuple(data["hums"]),
        declared=bool(found.get("declared", False)),
        accommodation=float(found.get("accommodation", 1.0)),
        time_s=found.get("time_s"),
    )  # fmt: skip


def turns(events: Sequence[Event]) -> list[Turn]:
    """Every act of an attempt. Raises TrainerError for events that belong to no act."""
    scene = opened(events[0].data)
    found: list[Turn] = []
    rows = iter(range(1, len(events)))
    first = 1
    for n in rows:
        if events[n].kind != DONE:
            continue
        group = tuple(events[first : n + 1])
        if group[0].kind != ASKED:
            raise TrainerError(f"event {group[0].seq} belongs to no act", "", "an unedited attempt")
        before, scene = scene, copy.copy(scene)
        for event in group:
            _apply(scene, event)
        found.append(Turn(len(found) + 1, group[0].data, group, before, scene))
        first = n + 1
    if first != len(events):
        what = f"the act that begins with event {events[first].seq} has no end"
        raise TrainerError(what, "", "an attempt that was not cut short")
    return found


def _apply(scene: Scene, event: Event) -> None:
    change = _CHANGES.get(event.kind)
    if change is not None:
        change(scene, event.data)
    elif event.kind not in CHANGES:
        raise TrainerError(f"event {event.seq} is of an unknown kind {quoted(event.kind)}")


def _electrics(scene: Scene, data: Data) -> None:
    scene.closed = data["state"]["closed"]
    scene.moving = data["moving"]
    scene.hums = tuple(data["hums"])


def _conductor(scene: Scene, data: Data) -> None:
    conductor = data["conductor"]
    scene.conductors = {**scene.conductors, conductor["tag"]: conductor}


def _conductor_out(scene: Scene, data: Data) -> None:
    scene.conductors = {t: c for t, c in scene.conductors.items() if t != data["wire"]}


def _part(scene: Scene, data: Data) -> None:
    scene.parts = {**scene.parts, data["name"]: data["part"]}


def _part_out(scene: Scene, data: Data) -> None:
    scene.parts = {n: p for n, p in scene.parts.items() if n != data["name"]}


def _cover(scene: Scene, data: Data) -> None:
    one = frozenset((data["cover"],))
    scene.covers_off = scene.covers_off | one if data["off"] else scene.covers_off - one


def _locked(scene: Scene, data: Data) -> None:
    scene.locks = {**scene.locks, data["part"]: (data["owner"], "")}


def _tagged(scene: Scene, data: Data) -> None:
    scene.locks = {**scene.locks, data["part"]: (scene.locks[data["part"]][0], data["text"])}


def _unlocked(scene: Scene, data: Data) -> None:
    scene.locks = {p: k for p, k in scene.locks.items() if p != data["part"]}


def _tool(scene: Scene, data: Data) -> None:
    one = frozenset((data["tool"],))
    scene.tools = scene.tools | one if data["inside"] else scene.tools - one


def _set(name: str, read: Callable[[Scene, Data], Any]) -> Callable[[Scene, Data], None]:
    return lambda scene, data: setattr(scene, name, read(scene, data))


_CHANGES: dict[str, Callable[[Scene, Data], None]] = {
    "electrics": _electrics, "conductor": _conductor, "conductor out": _conductor_out,
    "part": _part, "part out": _part_out, "cover": _cover, "locked": _locked, "tagged": _tagged,
    "unlocked": _unlocked, "tool": _tool,
    "ppe": _set("ppe", lambda s, d: frozenset(d["items"])),
    "stance": _set("stance", lambda s, d: d["stance"]),
    "source": _set("sources", lambda s, d: (*s.sources, d["name"])),
    "declared": _set("declared", lambda s, d: True),
}  # fmt: skip
