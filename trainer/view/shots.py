"""Named states of the window for pictures and checks, each reached by acts that were really done.

Knows states and scripts of acts; must know no shape.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache, partial
from typing import Any

from trainer.view.posing import (
    Act,
    Play,
    Pose,
    acts_of,
    debriefed,
    more,
    shipped,
    sized,
)
from trainer.view.state import App

Build = Callable[[], App]
RELAY = "potential-relay-and-start-capacitor"
CAN, SOFT, DEAD = "dual-capacitor-unit", "soft-starter-retrofit", "make-it-dead"
#: What a hasty hand leaves out of a job: it only wires and switches on.
HASTY = ("mount", "take wire", "strip", "crimp", "land", "torque", "put back", "unlock", "stand",
         "close", "lift", "take down")  # fmt: skip
CALL: tuple[Act, ...] = (
    {"act": "thermostat", "to": "call"}, {"act": "wait", "seconds": 1.0},
    {"act": "thermostat", "to": "off"},
)  # fmt: skip


def kind(name: str, **fields: Any) -> Callable[[Act], bool]:
    """Recognises an act by its kind and some of its fields."""
    wanted = {"act": name, **fields}
    return lambda act: all(act.get(k) == v for k, v in wanted.items())


@lru_cache(maxsize=32)
def hasty(name: str, swaps: tuple[tuple[str, str, str], ...] = (), wait_s: float = 1.0) -> App:
    """A job wired without a test and energised once; ``swaps`` are ends landed elsewhere."""
    where = {(wire, end): place for wire, end, place in swaps}
    found: list[Act] = []
    for act in acts_of(name):
        if act["act"] == "thermostat" and act["to"] == "call":
            break
        if act["act"] == "land":
            key = str(act["wire"]), str(act["end"])
            act = {**act, "place": where.get(key, act["place"])}
        if act["act"] in HASTY:
            found.append(act)
    call, wait, off = CALL
    return Play(name, (*found, call, {**wait, "seconds": wait_s}, off)).whole()


def _layout(name: str, off: bool) -> App:
    """A unit as it was built; every cover off or on."""
    pose = Pose().begin(name)
    assert pose.app.job is not None
    if off:
        from trainer.view.board.seen import layout_of

        for cover in layout_of(pose.app.job.bench).covers:
            pose.act({"act": "take off", "cover": cover})
    return pose.app


def _layouts() -> dict[str, Build]:
    from trainer.unit.layout import layout_names

    found: dict[str, Build] = {}
    for name in layout_names():
        found[f"layout-{name}"] = partial(_layout, name, True)
    found["layout-covers-on"] = partial(_layout, "larkspur-row", False)
    return found


def _sheet(app: App, sheet: str) -> App:
    return more(app, ("sheet", sheet))


def _form(name: str, app: Build | None = None) -> Build:
    return lambda: more(app() if app else dead(), ("form", name))


def dead() -> App:
    """The unit tested and declared dead."""
    return shipped(RELAY).after(kind("declare dead"))


def mid_test() -> App:
    """One probe on, the other to come."""
    app = shipped(RELAY).after(kind("measure", why="test"), 3)
    return more(app, ("tool", "meter"), ("place", "contactor.T1"))


BENCH: Mapping[str, Build] = {
    "bench": lambda: shipped(RELAY).upto(0),
    "bench-mid-test": mid_test,
    "trace": lambda: _sheet(shipped(RELAY).after(kind("wait", seconds=3.0)), "trace"),
    "home": lambda: _home(),
    "debrief": lambda: debriefed(shipped(RELAY).whole()),
}


def _home() -> App:
    pose = Pose()
    from trainer.view.posing import TODAY

    pose.ask({"ask": "home", "folder": "nowhere", "today": TODAY})
    return pose.app


def shots() -> dict[str, Build]:
    """Every picture by name, in the order in which they are drawn."""
    return {**BENCH, **_layouts()}


__all__ = ["shots", "sized"]
