"""An attempt under way: asks are on disk before they are decided, results before they are shown.

Also replay and verification. Knows the log, decide and evolve; prints nothing and reads no clock.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from itertools import count
from pathlib import Path
from typing import Any, NamedTuple

from trainer import __version__
from trainer.session.acts import Act, act_from
from trainer.session.bench import Bench
from trainer.session.decide import decide
from trainer.session.events import ASKED, DONE, Event, Happening
from trainer.session.evolve import begun, evolve, fold
from trainer.session.log import Attempt, Log, cut_back, read
from trainer.session.passing import activity
from trainer.session.plain import unit_to_plain
from trainer.unit.state import Unit

#: Numbers of a replay agree within this share, or within one of the smallest place [of 1].
SHARE, LEAST = 1e-6, 1e-6
#: Drawn points are whole numbers and agree within one.
POINTS = ".points"
#: Times agree within one millisecond.
TIME_MS = 1


class Difference(NamedTuple):
    seq: int
    what: str


class Running:
    """A bench with its log; ``log`` None keeps nothing on disk."""

    def __init__(self, log: Log | None, events: Sequence[Event]) -> None:
        self.log, self.events = log, list(events)
        self.bench = fold(self.events)

    def do(self, act: Act) -> list[Event]:
        """Everything that came of an act, on disk before this returns."""
        asked = Happening(self.bench.at_ms, ASKED, act.model_dump(mode="json"))
        self._keep([asked])
        return self._keep(answer(self.bench, act))

    def _keep(self, happenings: Sequence[Happening]) -> list[Event]:
        first = len(self.events) + 1
        events = [h.numbered(n) for h, n in zip(happenings, count(first), strict=False)]
        if self.log is not None:
            self.log.append(events)
        for event in events:
            self.bench = evolve(self.bench, event)
        self.events += events
        return events


def begin(unit: Unit, who: str = "learner", found: Mapping[str, Any] | None = None) -> Event:
    """The first event: the unit as found, whole, so that a replay needs nothing else.

    ``found`` is the rest of what the job hands out: see ``opening``.
    """
    moving, charged, hums = activity(unit)
    data = {
        "unit": unit_to_plain(unit), "who": who, "moving": moving, "charged": charged,
        "hums": list(hums),
        "found": dict(found or {}),
    }  # fmt: skip
    return Event(1, unit.at_ms, "begun", data)


def start(
    unit: Unit,
    path: Path | None,
    header: Mapping[str, Any],
    who: str = "learner",
    found: Mapping[str, Any] | None = None,
) -> Running:
    """A new attempt, with its file if a path is given."""
    first = begin(unit, who, found)
    log = None
    if path is not None:
        log = Log(path, {"program": __version__, "learner": who, **header})
        log.append([first])
    return Running(log, [first])


def answer(bench: Bench, act: Act) -> list[Happening]:
    """What comes of an act, to its end; nothing is kept."""
    found = decide(bench, act)
    at_ms = found[-1].at_ms if found else bench.at_ms
    return [*found, Happening(at_ms, DONE, {})]


class Resumed(NamedTuple):
    """``lost`` says what a crash took, in one sentence, or ""."""

    running: Running
    header: Mapping[str, Any]
    lost: str


def resume(path: Path) -> Resumed:
    """Go on with an attempt; an act that was cut off goes to the side file and is told."""
    attempt = read(path, mend=True)
    whole = complete(attempt.events)
    lost = attempt.events[whole:]
    side = cut_back(path, whole) if lost else attempt.torn
    told = f"The last act was cut off; what was written of it is in {side}." if side else ""
    log = Log(path, last=whole, link=attempt.links[whole])
    return Resumed(Running(log, attempt.events[:whole]), attempt.header, told)


def complete(events: Sequence[Event]) -> int:
    """How many events there are up to the end of the last complete act."""
    return next((n for n in range(len(events), 1, -1) if events[n - 1].kind == DONE), 1)


def prepare() -> None:
    """What the first start of a process compiles or fetches, before anybody counts its time."""
    from trainer.circuit.compiled import warm

    warm()


def verify(
    attempt: Attempt,
    chosen: Callable[[int], bool] = lambda seq: True,
    told: Callable[[int, Sequence[Happening]], None] = lambda took_ms, found: None,
) -> Difference | None:
    """Asks again and compares: the first event that differs, or None.

    ``chosen`` says of an asking event's number whether it is asked again; what came of the other
    acts is taken from the file. ``told`` hears how long an act took on the bench and what it gave,
    and may end it all by raising.
    """
    if attempt.broken is not None:
        return Difference(attempt.broken, "its line was changed, or stands where it did not")
    bench = begun(attempt.events[0].data)
    events = attempt.events
    n = 1
    while n < len(events):
        if events[n].kind != ASKED:
            return Difference(events[n].seq, f"{events[n].kind} was not asked for")
        last = next((k for k in range(n + 1, len(events)) if events[k].kind == ASKED), len(events))
        bench = evolve(bench, events[n])
        if chosen(events[n].seq):
            again = answer(bench, act_from(dict(events[n].data)))
            told(again[-1].at_ms - bench.at_ms, again)
            found = _compare(again, events[n + 1 : last], events[n].seq)
            if found is not None:
                return found
        for event in events[n + 1 : last]:
            bench = evolve(bench, event)
        n = last
    return None


def _compare(again: Sequence[Happening], logged: Sequence[Event], asked: int) -> Difference | None:
    for new, old in zip(again, logged, strict=False):
        if new.kind != old.kind:
            return Difference(old.seq, f"{old.kind} in the file, {new.kind} now")
        if abs(new.at_ms - old.at_ms) > TIME_MS:
            return Difference(old.seq, f"{old.at_ms} ms in the file, {new.at_ms} ms now")
        path = differs(new.data, old.data)
        if path:
            return Difference(old.seq, f"{old.kind}: {path}")
    if len(again) != len(logged):
        return Difference(asked, f"{len(logged)} results in the file, {len(again)} now")
    return None


def differs(new: Any, old: Any, path: str = "") -> str:
    """Where two pieces of data first differ beyond tolerance, or ""."""
    if isinstance(new, Mapping) and isinstance(old, Mapping):
        if set(new) != set(old):
            return f"{path} has other keys"
        return next((d for k in new if (d := differs(new[k], old[k], f"{path}.{k}"))), "")
    if isinstance(new, list | tuple) and isinstance(old, list | tuple):
        if len(new) != len(old):
            return f"{path} is of another length"
        if path.endswith(POINTS) and _one_apart(new, old):
            return ""
        rows = zip(new, old, strict=True)
        return next(
            (d for n, (x, y) in enumerate(rows) if (d := differs(x, y, f"{path}[{n}]"))), ""
        )
    if _number(new) and _number(old):
        near = math.isclose(new, old, rel_tol=SHARE, abs_tol=LEAST)
        return "" if near else f"{path} was {old}, is {new}"
    return "" if new == old else f"{path} was {old}, is {new}"


def _one_apart(new: Sequence[Any], old: Sequence[Any]) -> bool:
    """Whether drawn points agree within one unit of their last place."""
    return all(_number(x) and _number(y) and abs(x - y) <= 1 for x, y in zip(new, old, strict=True))


def _number(x: Any) -> bool:
    return isinstance(x, int | float) and not isinstance(x, bool)
