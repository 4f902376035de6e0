"""Whether hands may go in: sources open and locked, tester proved, points dead, charge gone.

Kept as the latest evidence for each point, so that any order and any repetition is judged by
what held when hands went in. Each proof stands by itself: a missing one does not undo the
others. The steps are those of NFPA 70E and OSHA 1910.333 (from memory) and common practice.
Knows acts; must know no weight.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TypeVar

from trainer.assess.proving import Known, Proved, proved
from trainer.assess.readings import AC, DC, DEAD_V, SOURCE_V, Reading, readings_of
from trainer.assess.scene import Scene, Turn
from trainer.assess.sequence import Moment, Reset
from trainer.assess.site import CHASSIS, Pair, Site, Source, pair

Point = TypeVar("Point")
#: What re-energising ends, what a lock taken off ends, and what a long absence ends.
BY_ABSENCE = frozenset(("P15", "TEST", "P16", "P17", "P18", "P19", "P20", "P21"))
BY_LOCK = BY_ABSENCE | {"P11", "P12", "P13"}
BY_POWER = BY_LOCK | {"P09"}
#: Steps that a unit handed over dead and proved brings along.
GIVEN = BY_POWER | {"P08", "P10", "P14"}
#: Away so long, everything is proved again (common practice, no source). [ms]
AWAY_MS = 15 * 60_000
#: The discharge tool is held so long at least. Invented: five time constants of the smallest. [s]
HELD_S = 3.0


@dataclass
class Isolation:
    """The latest evidence since power was last on."""

    site: Site
    given: bool = False
    known: list[Known] = field(default_factory=list)
    ground_proved: bool = False
    #: pair -> instrument -> its latest reading that showed the pair dead.
    dead: dict[Pair, dict[str, Reading]] = field(default_factory=dict)
    #: the same for line points tested to a ground other than the chassis.
    second_ground: dict[str, dict[str, Reading]] = field(default_factory=dict)
    discharged: dict[Pair, Moment] = field(default_factory=dict)
    emptied: dict[Pair, Reading] = field(default_factory=dict)
    tried: Moment | None = None
    tried_locked: bool = False
    taken: set[str] = field(default_factory=set)
    #: Which sources are open in the scenes asked of lately: most acts move no contact.
    _asked: dict[tuple[int, int], dict[str, bool]] = field(default_factory=dict)

    # -- what is so -----------------------------------------------------------------------

    def open(self, source: Source, scene: Scene) -> bool:
        """Whether nothing of this source reaches the unit through its isolator."""
        key = id(scene.closed), id(scene.locks)  # both are kept alive by the story's scenes
        if key not in self._asked:
            found = {s.name: self._opened(s, scene) for s in self.site.sources}
            self._asked = {**dict(list(self._asked.items())[-1:]), key: found}
        return self._asked[key][source.name]

    @staticmethod
    def _opened(source: Source, scene: Scene) -> bool:
        if all(not scene.closed.get(c, False) for c in source.contacts):
            return True
        return any(_broken(part, scene) for part in source.or_by)

    def locked(self, source: Source, scene: Scene) -> bool:
        """Own lock with a tag, or the lock that was handed over with the job."""
        for part in (source.isolated_by, *source.or_by):
            owner, tag = scene.locks.get(part, ("", ""))
            if owner == scene.who and (tag or self.given):
                return True
        return False

    def untested(self) -> list[Pair]:
        """Line pairs without a reading that shows them dead."""
        return [] if self.given else sorted(self.site.line_pairs - set(self.dead))

    def unproved_points(self) -> list[str]:
        """Line points not shown dead to a ground that is itself proved."""
        points = {p for ab in self.site.line_pairs for p in ab} - self.site.grounds
        return [] if self.given else sorted(p for p in points if not self._to_ground(p))

    def _to_ground(self, point: str) -> bool:
        wanted = pair(point, CHASSIS)
        if wanted not in self.site.line_pairs:
            return any(point in ab for ab in self.dead)
        return point in self.second_ground or (wanted in self.dead and self.ground_proved)

    def held(self, scene: Scene) -> list[Pair]:
        """Capacitors not shown empty on direct volts."""
        here = [] if self.given else self.site.capacitors_of(scene.parts)
        return [p for p in here if p not in self.emptied]

    def unproved_testers(self) -> list[str]:
        """What tested and had not shown a known source before; "tester" if nothing at all had."""
        if self.given:
            return []
        found = self._proved()
        return found.unproved() if found.tests or found.known else ["tester"]

    def testers_not_reproved(self) -> list[str]:
        """What tested and has not read a known source since; "tester" if nothing tested."""
        if self.given:
            return []
        found = self._proved()
        return found.not_again() if found.tests else ["tester"]

    def _proved(self) -> Proved:
        lines = [by for p, by in self.dead.items() if p in self.site.line_pairs]
        return proved([*lines, *self.second_ground.values()], self.known)

    # -- what an act does to it -----------------------------------------------------------

    def turn(self, turn: Turn) -> list[Moment | Reset]:
        """Resets and the steps that are states; proofs wait for ``proofs``."""
        if turn.refused:
            return []
        rows = self._resets(turn)
        fed = not all(self.open(s, turn.before) for s in self.site.locked_sources)
        for reading in readings_of(turn):
            self._read(reading, fed)
        here = Moment("", turn.seq, turn.at_ms)
        if turn.act == "discharge" and float(turn.asked.get("seconds", 0.0)) >= HELD_S:
            self.discharged[pair(str(turn.asked["a"]), str(turn.asked["b"]))] = here
        if turn.act == "declare dead":
            rows.append(here._replace(step="P21"))
        return rows + [here._replace(step=step) for step in self._states(turn)]

    def _resets(self, turn: Turn) -> list[Moment | Reset]:
        before, after = turn.before, turn.after
        if not turn.switched and turn.act != "wait":
            return []
        for source in self.site.sources:
            if self.open(source, before) and not self.open(source, after) and source.lockable:
                return self._ended(turn, BY_POWER, f"{source.isolated_by} was closed again")
        for source in self.site.locked_sources:
            if self.locked(source, before) and not self.locked(source, after):
                return self._ended(turn, BY_LOCK, f"the lock came off {source.isolated_by}")
        if turn.act == "wait" and turn.at_ms - turn.events[0].at_ms >= AWAY_MS:
            return self._ended(turn, BY_ABSENCE, "the work stood still for a quarter of an hour")
        return []

    def _ended(self, turn: Turn, steps: frozenset[str], why: str) -> list[Moment | Reset]:
        rows: list[Moment | Reset] = [*self.proofs()]
        rows.append(Reset(steps, turn.seq, turn.at_ms, why))
        self.given, self.ground_proved = False, False
        self.tried, self.tried_locked = None, False
        for evidence in (self.known, self.dead, self.second_ground, self.discharged, self.emptied):
            evidence.clear()
        self.taken -= steps
        return rows

    def _read(self, reading: Reading, fed: bool) -> None:
        """``fed``: a source is closed, and a reading of nothing shows nothing."""
        if reading.instrument == "insulation":
            self.emptied.clear()  # its own volts leave charge behind
            return
        if not reading.contact or reading.volts is None:
            return
        live = {p for s in self.site.sources for p in s.live_side} & set(reading.at)
        if reading.setting in AC and live and reading.volts >= SOURCE_V:
            self.known.append(Known(reading.seq, reading.at_ms, reading.instrument))
            self.ground_proved |= bool(self.site.grounds & set(reading.at))
        elif abs(reading.volts) >= DEAD_V:
            self.dead.pop(reading.pair, None)
            self.emptied.pop(reading.pair, None)
        elif not fed:
            self._showed_dead(reading)

    def _showed_dead(self, reading: Reading) -> None:
        if reading.setting in AC:
            grounds = self.site.grounds & set(reading.at)
            point = next((p for p in reading.at if p not in self.site.grounds), "")
            if grounds - {CHASSIS} and point:
                _keep(self.second_ground, point, reading)
                _keep(self.dead, pair(point, CHASSIS), reading)
            _keep(self.dead, reading.pair, reading)
        if reading.setting in DC and reading.pair in self.site.capacitors:
            self.emptied[reading.pair] = reading

    def _states(self, turn: Turn) -> Iterator[str]:
        """Steps that are a state of isolators and locks, when it becomes so."""
        if not turn.switched and turn.act not in ("look", "try start"):
            return
        scene, power = turn.after, self.site.locked_sources
        if all(self.open(s, scene) for s in power):
            yield from self._once("P09")
            if turn.act == "look" and str(turn.asked.get("at")) in _isolators(power):
                yield from self._once("P11")
        if all(self.locked(s, scene) for s in power):
            yield from self._once("P12")
        control = [s for s in self.site.sources if not s.lockable]
        if control and all(self.open(s, scene) for s in control):
            yield from self._once("P10")
        fed = not any(self.open(s, turn.before) for s in control)
        if turn.act == "try start" and fed and not self.tried_locked:
            # an early try is no harm: the one under the lock counts
            self.tried = Moment("P13", turn.seq, turn.at_ms)
            self.tried_locked = "P12" in self.taken

    def _once(self, step: str) -> Iterator[str]:
        if step not in self.taken:
            self.taken.add(step)
            yield step

    def proofs(self, scene: Scene | None = None) -> list[Moment]:
        """The steps that are proofs, each at its latest evidence, those not yet handed out."""
        rows = [Moment(step, *where) for step, where in self._evidence(scene)]
        new = [row for row in rows if row.step not in self.taken]
        self.taken |= {row.step for row in new}
        return new

    def _evidence(self, scene: Scene | None) -> Iterator[tuple[str, tuple[int, int]]]:
        if self.tried is not None:
            yield "P13", self.tried[1:]
        found = self._proved()
        proof, tests = found.first(), list(found.tests)
        again = found.again(max((r.seq for r in self.emptied.values()), default=0))
        if proof:
            yield "P15", proof[:2]
        if tests:
            yield "TEST", _first(tests)
        if tests and not self.untested() and not self.unproved_points():
            yield "P16", _latest(tests)
        control = [by for p, by in self.dead.items() if p in self.site.control_pairs]
        if control and len(control) == len(self.site.control_pairs):
            yield "P17", _latest([r for by in control for r in by.values()])
        wanted = self.site.capacitors if scene is None else self.site.capacitors_of(scene.parts)
        if wanted and all(p in self.discharged for p in wanted):
            last = max(self.discharged.values(), key=lambda m: m.seq)
            yield "P18", last[1:]
        if wanted and all(p in self.emptied for p in wanted):
            yield "P19", _latest(list(self.emptied.values()))
        if again:
            yield "P20", again[:2]


def _broken(part: str, scene: Scene) -> bool:
    own = [closed for name, closed in scene.closed.items() if name.startswith(f"{part}~")]
    return bool(own) and not any(own) and part in scene.locks


def _isolators(sources: list[Source]) -> set[str]:
    return {part for s in sources for part in (s.isolated_by, *s.or_by)}


def _keep(kept: dict[Point, dict[str, Reading]], point: Point, reading: Reading) -> None:
    kept.setdefault(point, {})[reading.instrument] = reading


def _first(rows: list[Reading]) -> tuple[int, int]:
    row = min(rows, key=lambda r: r.seq)
    return row.seq, row.at_ms


def _latest(rows: list[Reading]) -> tuple[int, int]:
    row = max(rows, key=lambda r: r.seq)
    return row.seq, row.at_ms
