"""The ways of the golden attempts: name -> what it does to a job's model acts.

Knows lists of acts; must know no mark. Everything in it is invented; the mistakes are common
practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any


@dataclass
class Step:
    """An act of the model; ``name`` is its place there, ``cites`` are places of readings.

    ``shows``: its value is what the display showed, whatever that is in this attempt.
    """

    act: dict[str, Any]
    name: int = -1
    cites: list[int] = field(default_factory=list)
    shows: bool = False

    def copy(self) -> Step:
        return replace(self, act=dict(self.act), cites=list(self.cites))

    def has(self, **wanted: Any) -> bool:
        return all(self.act.get(key) == value for key, value in wanted.items())


Steps = list[Step]
Way = Callable[[Steps], Steps]


def do(act: str, **fields: Any) -> Step:
    return Step({"act": act, **fields})


# -- small changes ------------------------------------------------------------------------


def right(steps: Steps) -> Steps:
    return steps


def without(*wanted: dict[str, Any]) -> Way:
    """Every act that fits one of these is left out. Raises ValueError where none fits."""

    def way(steps: Steps) -> Steps:
        left = [s for s in steps if not any(s.has(**w) for w in wanted)]
        if len(left) == len(steps):
            raise ValueError(f"nothing left out: {wanted}")
        return left

    return way


def place(steps: Steps, nth: int = 0, **wanted: Any) -> int:
    return [n for n, s in enumerate(steps) if s.has(**wanted)][nth]


def changed(wanted: dict[str, Any], nth: int = 0, **to: Any) -> Way:
    def way(steps: Steps) -> Steps:
        steps[place(steps, nth, **wanted)].act.update(to)
        return steps

    return way


def before(wanted: dict[str, Any], *new: Step, nth: int = 0) -> Way:
    def way(steps: Steps) -> Steps:
        n = place(steps, nth, **wanted)
        return [*steps[:n], *(s.copy() for s in new), *steps[n:]]

    return way


def after(wanted: dict[str, Any], *new: Step, nth: int = 0) -> Way:
    def way(steps: Steps) -> Steps:
        n = place(steps, nth, **wanted) + 1
        return [*steps[:n], *(s.copy() for s in new), *steps[n:]]

    return way


def moved(wanted: dict[str, Any], behind: dict[str, Any], nth: int = 0) -> Way:
    """The first act that fits goes behind another."""

    def way(steps: Steps) -> Steps:
        step = steps.pop(place(steps, **wanted))
        steps.insert(place(steps, nth, **behind) + 1, step)
        return steps

    return way


def swapped(one: dict[str, Any], other: dict[str, Any], key: str = "place") -> Way:
    """Two acts exchange the value of a key: two leads on each other's terminals."""

    def way(steps: Steps) -> Steps:
        a, b = steps[place(steps, **one)], steps[place(steps, **other)]
        a.act[key], b.act[key] = b.act[key], a.act[key]
        return steps

    return way


def all_of(*ways: Way) -> Way:
    def way(steps: Steps) -> Steps:
        for one in ways:
            steps = one(steps)
        return steps

    return way


def until(wanted: dict[str, Any], *new: Step, nth: int = 0) -> Way:
    """Stops before an act and does these instead of all the rest."""

    def way(steps: Steps) -> Steps:
        return [*steps[: place(steps, nth, **wanted)], *(s.copy() for s in new)]

    return way


# -- mistakes that fit many jobs ----------------------------------------------------------

no_own_lock = without({"act": "lock"}, {"act": "tag"}, {"act": "unlock"})
no_tag = without({"act": "tag"})
not_reproved = without({"act": "measure", "why": "re-prove"})
no_gloves = without({"act": "put on"})
no_second_look = without({"act": "second look"})
no_warning = without({"act": "tell", "who": "everybody near the unit"})
not_tugged = without({"act": "tug"})
no_photographs = without({"act": "photograph"}, {"act": "label"})
not_handed_over = without(
    {"act": "hand over"}, {"act": "sign off"}, {"act": "clean up"}, {"act": "record"},
    {"act": "label unit"},
)  # fmt: skip


def dead_at_once(steps: Steps) -> Steps:
    """Declared dead with nothing tested and nothing emptied."""
    return [
        s for s in steps
        if s.act.get("why", "") not in ("known source", "test", "re-prove")
        and s.act["act"] != "discharge"
    ]  # fmt: skip


def nothing_on_dc(steps: Steps) -> Steps:
    """Discharged, and never shown empty."""
    found, dc = [], False
    for step in steps:
        if step.act["act"] == "select":
            dc = step.act["setting"] == "V dc"
        if not (dc and step.act["act"] == "measure"):
            found.append(step)
    return found


def cover_off_at_power(cover: str) -> Way:
    return all_of(
        without({"act": "put back", "cover": cover}),
        before({"act": "clean up"}, do("put back", cover=cover)),
    )


def left_off(cover: str) -> Way:
    return without({"act": "put back", "cover": cover})


def invented(what: str, value: str) -> Way:
    return before({"act": "sign off"}, do("record", what=what, value=value))


# -- the same work in another legal order --------------------------------------------------


def sources_late(steps: Steps) -> Steps:
    """Sources listed only once one stands before what opens them; the plate read at the start."""
    listed = [s for s in steps if s.act["act"] == "list source"]
    rest = [s for s in steps if s.act["act"] != "list source"]
    opens = [n for n, s in enumerate(rest) if s.act["act"] in ("open", "self check")]
    return [*rest[: opens[0]], *listed, *rest[opens[0] :]]


def emptied_first(steps: Steps) -> Steps:
    """Capacitors emptied and read on dc before the test for volts, not after it."""
    a = place(steps, act="self check") - 1
    b = place(steps, act="discharge")
    c = place(steps, act="measure", why="re-prove") - 1
    if not steps[a].has(act="select"):
        raise ValueError("no range is chosen before the tester is checked")
    return [*steps[:a], *steps[b:c], *steps[a:b], *steps[c:]]


def on_second_ground(steps: Steps) -> Steps:
    """The ground conductor as the reference, and no proof of the chassis."""
    found = []
    for step in steps:
        if step.act["act"] == "measure" and "chassis" in (step.act["red"], step.act["black"]):
            if step.has(why="known source"):
                continue
            if step.has(why="test"):
                step.act["black"] = "disconnect.PE"
        found.append(step)
    return found


def by_tester(steps: Steps) -> Steps:
    """Volts by the two-pole tester, which shows alternating and direct volts alike."""
    for step in steps:
        if step.has(act="select", instrument="meter"):
            step.act.update(instrument="tester", setting="on")
        elif step.act.get("instrument") == "meter":
            step.act["instrument"] = "tester"
    return steps


another_order = all_of(sources_late, emptied_first)
