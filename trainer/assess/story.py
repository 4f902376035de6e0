"""An attempt told once, in order: the trail of steps and everything else a mark looks at.

One pass over the acts. Knows acts and what they show; must know no weight and no verdict.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from trainer.assess.isolation import GIVEN, Isolation
from trainer.assess.readings import Reading, readings_of, touches
from trainer.assess.scene import Scene, Turn, opened, turns
from trainer.assess.sequence import Moment, Reset
from trainer.assess.site import Site
from trainer.session.events import Event

#: Ohms from chassis to the ground conductor that count as a path, leads included. Invented.
GROUND_OHMS = 0.7
#: How an attempt is over when nothing else ended it.
HANDED_OVER = "handed over"
#: Steps that power coming back uses up, and those that a hand on metal undoes.
READY = frozenset(("P36", "P37", "P38", "P39", "P41"))
BY_HAND = frozenset(("P34", "P35", "P39"))
#: Steps that happen whenever the act of that name is done and not refused.
BY_ACT = {
    "set zone": "P06", "tell": "P05", "photograph": "P22", "second look": "P35",
    "hand over": "P54", "sign off": "SIGN", "clean up": "P55", "label unit": "P52",
    "look behind": "P27", "lift": "LIFT", "fit": "FIT", "mount": "MOUNT", "name fault": "NAMED",
    "put on": "PPE", "inspect leads": "LEADS",
}  # fmt: skip
#: Every step and anchor that has a moment, so that a rule of order can be judged at it; the others
#: are checks of what was left or written down.
MOMENTS = GIVEN | READY | BY_HAND | frozenset(BY_ACT.values()) | {
    "P01", "P02", "P04", "WORK", "RESTORE", "START",
}  # fmt: skip


@dataclass(frozen=True)
class Unsafe:
    """What was missing when a hand went in, by code of the critical error it is."""

    turn: Turn
    missing: Mapping[str, tuple[str, ...]]


@dataclass(frozen=True)
class Start:
    """A start: the event, how the unit was wired then, and the act that made it."""

    event: Event
    scene: Scene
    turn: Turn

    @property
    def figures(self) -> Mapping[str, Any]:
        return self.event.data.get("figures", {})

    @property
    def course(self) -> Mapping[str, Any]:
        return self.event.data["course"]

    @property
    def outcome(self) -> str:
        return str(self.figures.get("outcome") or self.course["outcome"])


@dataclass
class Story:
    """Everything that happened, in the order it did."""

    site: Site
    first: Scene
    turns: Sequence[Turn]
    trail: list[Moment | Reset] = field(default_factory=list)
    given: frozenset[str] = frozenset()
    readings: list[Reading] = field(default_factory=list)
    unsafe: list[Unsafe] = field(default_factory=list)
    #: Acts by which a power source was closed on the unit.
    restores: list[Turn] = field(default_factory=list)
    starts: list[Start] = field(default_factory=list)
    hurts: list[tuple[Turn, Event]] = field(default_factory=list)
    #: Why the attempt is over; nothing while it is open.
    ended: str = ""
    #: Something that a hand on metal undoes was done since the last one.
    finished: bool = False
    #: Of a warning and a look round, what was done since the last hand on metal.
    warned: set[str] = field(default_factory=set)
    #: Ends the learner made, once somebody has asked for them (see ends.py).
    made: tuple[Any, ...] | None = None
    #: (from ms, to ms, event number) while a fed motor stood.
    hums: list[tuple[int, int, int]] = field(default_factory=list)

    @property
    def last(self) -> Scene:
        return self.turns[-1].after if self.turns else self.first

    def acts(self, name: str) -> list[Turn]:
        return [t for t in self.by_act.get(name, []) if not t.refused]

    @cached_property
    def by_act(self) -> dict[str, list[Turn]]:
        found: dict[str, list[Turn]] = {}
        for turn in self.turns:
            found.setdefault(turn.act, []).append(turn)
        return found

    @cached_property
    def turn_by_seq(self) -> dict[int, Turn]:
        return {t.seq: t for t in self.turns}

    @cached_property
    def reading_by_seq(self) -> dict[int, Reading]:
        return {r.seq: r for r in self.readings}

    def moments(self, step: str) -> list[Moment]:
        return [m for m in self.trail if isinstance(m, Moment) and m.step == step]

    def fed(self, scene: Scene) -> bool:
        """Whether every power source is closed on the unit."""
        sources = self.site.locked_sources
        return all(all(scene.closed.get(c, False) for c in s.contacts) for s in sources)

    @property
    def handed_over(self) -> bool:
        return self.ended == HANDED_OVER


def told(events: Sequence[Event], site: Site) -> Story:
    """The story of an attempt. Raises TrainerError for events that belong to no act."""
    first = opened(events[0].data)
    story = Story(site, first, turns(events))
    isolation = Isolation(site, given=first.declared)
    if first.declared:
        story.given = GIVEN
        isolation.taken |= GIVEN - {"TEST", "P15", "P21"}
    for turn in story.turns:
        _tell(story, isolation, turn)
    story.trail += isolation.proofs(story.last)
    _end_hum(story)
    story.trail.sort(key=lambda row: row.seq)
    return story


def _tell(story: Story, isolation: Isolation, turn: Turn) -> None:
    story.readings += readings_of(turn)
    _events(story, turn)
    _hum(story, turn)
    if turn.refused:
        return
    hand = touches(turn)
    if hand:
        _work(story, isolation, turn)
    _simple(story, turn)
    story.trail += isolation.turn(turn)
    if turn.act == "declare dead":
        story.trail += [*isolation.proofs(turn.after), Moment("WORK", turn.seq, turn.at_ms)]
    _before_power(story, turn)
    _switching(story, isolation, turn)


def _work(story: Story, isolation: Isolation, turn: Turn) -> None:
    story.trail += [*isolation.proofs(turn.before), Moment("WORK", turn.seq, turn.at_ms)]
    if story.finished:
        story.finished = False
        story.trail.append(Reset(BY_HAND, turn.seq, turn.at_ms, "hands went in again since"))
    story.warned.clear()
    missing = missing_for(isolation, turn.before)
    if turn.act == "short":  # a blade across a capacitor is a bad way to empty it, not a touch
        missing.pop("CF4", None)
    if missing:
        story.unsafe.append(Unsafe(turn, missing))


def missing_for(isolation: Isolation, scene: Scene) -> dict[str, tuple[str, ...]]:
    """What a hand on metal lacks now: code of the critical error -> what of it.

    Only what protects: sources open and locked, tester proved, every fed line point dead to a
    proved ground, capacitors shown empty, tester re-proved. Declaring is a matter of records.
    """
    sources = isolation.site.locked_sources
    shut = [s for s in sources if not isolation.open(s, scene)]
    unlisted = [s for s in shut if not listed(s.name, s.isolated_by, scene.sources)]
    unlocked = [s.isolated_by for s in sources if s not in shut and not isolation.locked(s, scene)]
    tests = [f"no reading to a proved ground at {p}" for p in isolation.unproved_points()]
    before, after = isolation.unproved_testers(), isolation.testers_not_reproved()
    tests += [f"the {name} was not proved before its tests" for name in before]
    tests += [f"the {name} was not proved again after its tests" for name in after]
    held = [f"{a} to {b}" for a, b in isolation.held(scene)]
    found = {
        "CF1": tuple(s.isolated_by for s in shut if s not in unlisted),
        "CF12": tuple(s.name for s in unlisted),
        "CF3": tuple(unlocked), "CF2": tuple(tests), "CF4": tuple(held),
    }  # fmt: skip
    return {code: what for code, what in found.items() if what}


def listed(name: str, isolator: str, sources: Sequence[str]) -> bool:
    """Whether a source stands on the learner's list, by its name or by what opens it."""
    words = {name.lower(), isolator.lower()}
    return any(w in s.lower() or s.lower() in w for s in sources for w in words)


def _simple(story: Story, turn: Turn) -> None:
    """Steps that are one act, and those that are complete with several."""
    here = Moment("", turn.seq, turn.at_ms)
    step = BY_ACT.get(turn.act)
    if step:
        story.trail.append(here._replace(step=step))
    if turn.act == "read":
        step = {"job sheet": "P01", "nameplate": "P02"}.get(str(turn.asked["what"]))
        story.trail += [here._replace(step=step)] if step else []
    names = [s for s in story.site.sources if not listed(s.name, s.isolated_by, turn.after.sources)]
    if turn.act == "list source" and not names:
        story.trail.append(here._replace(step="P04"))
    if turn.act == "take off" and story.site.guards(str(turn.asked["cover"])):
        story.trail.append(here._replace(step="P14"))
    if turn.act == "open" and str(turn.asked["part"]) in _isolators(story.site):
        calm = not turn.before.moving
        story.trail += [here._replace(step="P08")] if calm else []


def _isolators(site: Site) -> set[str]:
    return {p for s in site.locked_sources for p in (s.isolated_by, *s.or_by)}


def _switching(story: Story, isolation: Isolation, turn: Turn) -> None:
    """Power put back: how the unit stood then, and the moment that it is judged at."""
    for source in story.site.locked_sources:
        if isolation.open(source, turn.before) and not isolation.open(source, turn.after):
            story.restores.append(turn)
            here = Moment("RESTORE", turn.seq, turn.at_ms)
            ready = [here._replace(step=step) for step in _ready(story.site, turn)]
            ended = Reset(READY, turn.seq, turn.at_ms, "power had been put back since")
            story.trail += [*ready, here, ended]
            break


def _ready(site: Site, turn: Turn) -> Iterator[str]:
    """Steps that are the state of covers, tools and stance when power comes back."""
    scene = turn.before
    off = [c for c in scene.covers_off if c in site.covers]
    if not any(site.over_terminals(c, scene.parts) for c in off):
        yield "P36"
    if not scene.tools:
        yield "P37"
    if not any(site.guards(c) for c in off):
        yield "P38"
    if scene.stance == "aside" and not any(v for k, v in scene.closed.items() if k.endswith("~Y")):
        yield "P41"


def _before_power(story: Story, turn: Turn) -> None:
    """Steps that prove finished work; a hand on metal ends them."""
    here = Moment("", turn.seq, turn.at_ms)
    for reading in readings_of(turn):
        places = set(reading.at)
        ohms = reading.value if reading.unit in ("ohm", "Ω") else None
        path = ohms is not None and ohms < GROUND_OHMS
        if path and len(places) == 2 and places <= story.site.grounds:
            story.trail.append(here._replace(step="P34"))
    story.finished |= bool(story.trail) and story.trail[-1].seq == turn.seq
    if turn.act == "tell" or (turn.act == "look" and turn.asked.get("at") == "unit"):
        story.warned.add(turn.act)
        if story.warned >= {"tell", "look"}:
            story.trail.append(here._replace(step="P39"))
            story.finished = True


def _events(story: Story, turn: Turn) -> None:
    for event in turn.events:
        if event.kind == "start":
            story.starts.append(Start(event, turn.after, turn))
            story.trail.append(Moment("START", event.seq, event.at_ms))
        elif event.kind in ("shock", "arc", "pierced", "killed"):
            story.hurts.append((turn, event))
        elif event.kind == "over":
            story.ended = str(event.data.get("why", HANDED_OVER))


def _hum(story: Story, turn: Turn) -> None:
    """Spans in which a fed motor stood still, in bench time."""
    began, ended = turn.events[0].at_ms, turn.at_ms
    if turn.after.hums and not turn.before.hums:
        story.hums.append((began, -1, turn.seq))
    elif turn.before.hums and not turn.after.hums and story.hums and story.hums[-1][1] < 0:
        story.hums[-1] = (story.hums[-1][0], ended, story.hums[-1][2])


def _end_hum(story: Story) -> None:
    if story.hums and story.hums[-1][1] < 0 and story.turns:
        story.hums[-1] = (story.hums[-1][0], story.turns[-1].at_ms, story.hums[-1][2])
