"""Jobs done hastily or wrongly, as scripts of acts: what a picture of each outcome is made from.

What comes of them is computed like anything else. Knows names of shipped jobs and their places;
must know no outcome and no shape.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from trainer.view.posing import Act, Play, acts_of, once
from trainer.view.state import App

#: What a hasty hand leaves of a job: it wires and switches on.
HASTY = ("mount", "take wire", "strip", "crimp", "land", "torque", "put back", "unlock", "stand",
         "close", "open", "lift", "take down", "fit", "take off", "lock")  # fmt: skip
CALL: Act = {"act": "thermostat", "to": "call"}
OFF: Act = {"act": "thermostat", "to": "off"}


@once
def hasty(
    name: str,
    landed: tuple[tuple[str, str], ...] = (),
    renamed: tuple[tuple[str, str], ...] = (),
    wait_s: float = 1.0,
    without: tuple[str, ...] = (),
) -> App:
    """A job wired without a test and energised once.

    ``landed`` gives ends another place, ``renamed`` takes one part for another, ``without`` leaves
    out acts by their wire.
    """
    where, names = dict(landed), dict(renamed)
    made = _hastily(name, where, names, without)
    return Play(name, (*made, CALL, {"act": "wait", "seconds": wait_s}, OFF)).whole()


def _hastily(
    name: str,
    where: Mapping[str, str],
    names: Mapping[str, str],
    without: tuple[str, ...] = (),
) -> list[Act]:
    """Acts of a job up to its last call that wire and switch on, and no other."""
    acts = acts_of(name)
    last = max(
        n for n, act in enumerate(acts) if act["act"] == "thermostat" and act["to"] == "call"
    )
    return [
        _changed(act, where, names)
        for act in acts[:last]
        if act["act"] in HASTY and str(act.get("wire")) not in without
    ]


def _changed(act: Act, where: Mapping[str, str], names: Mapping[str, str]) -> dict[str, Any]:
    found = {k: _renamed(v, names) for k, v in act.items()}
    end = f"{act.get('wire')}.{act.get('end')}"
    if act["act"] == "land" and end in where:
        found["place"] = where[end]
    return found


def _renamed(value: Any, names: Mapping[str, str]) -> Any:
    if isinstance(value, str):
        part, dot, rest = value.partition(".")
        return names.get(part, part) + dot + rest
    return value


def _lead(wire: str, a: str, b: str) -> list[Act]:
    """A new lead from one place to another."""
    found: list[Act] = [{"act": "take wire", "wire": wire, "length": "2 ft"}]
    for end, place in (("a", a), ("b", b)):
        found += [{"act": what, "wire": wire, "end": end} for what in ("strip", "crimp")]
        found.append({"act": "land", "wire": wire, "end": end, "place": place})
    return found


@once
def kit_fitted() -> App:
    """A start kit in a unit that starts without one."""
    covers = ("top-tray", "corner-post", "terminal-cap")
    return Play("no-aid-is-the-right-answer", [
        {"act": "open", "part": "disconnect"}, {"act": "open", "part": "indoor"},
        *({"act": "take off", "cover": c} for c in covers),
        {"act": "mount", "part": "pr"}, {"act": "mount", "part": "sc"},
        *_lead("31", "pr.5", "contactor.T1:c"), *_lead("32", "pr.2", "rc.2:a"),
        *_lead("33", "pr.1", "sc.1"), *_lead("34", "sc.2", "fc.1:a"),
        *({"act": "put back", "cover": c} for c in covers),
        {"act": "close", "part": "indoor"}, {"act": "close", "part": "disconnect"},
        CALL, {"act": "wait", "seconds": 3.0}, OFF,
    ]).whole()  # fmt: skip


@once
def shorted() -> App:
    """A lead left from pole to pole of a contactor, the unit wired and switched on."""
    job = "dual-capacitor-unit"
    made = [*_lead("41", "contactor.T1:c", "contactor.T2:c"), *_hastily(job, {}, {})]
    return Play(job, (*made, CALL, {"act": "wait", "seconds": 1.0}, OFF)).whole()


@once
def touched() -> App:
    """A thumb on the line side with only the thermostat off."""
    return Play("hum-and-no-turn", [
        OFF, {"act": "take off", "cover": "control-panel"},
        {"act": "lift", "wire": "7", "end": "a"}, {"act": "touch", "place": "contactor.L2"},
    ]).whole()  # fmt: skip


@once
def flashed() -> App:
    """A blade that slips across the line side."""
    return Play("growl-after-repair", [
        OFF, {"act": "take off", "cover": "plate"},
        {"act": "short", "a": "contactor.L1", "b": "contactor.L2"},
    ]).whole()  # fmt: skip


@once
def left_running() -> App:
    """A unit that growls, left to run until something opens."""
    return Play("growl-after-repair", [CALL, {"act": "wait", "seconds": 120.0}, OFF]).whole()


@once
def burnt_meter() -> App:
    """Ohms chosen on a contactor that is fed."""
    return Play("hum-and-no-turn", [
        {"act": "take off", "cover": "control-panel"},
        {"act": "select", "instrument": "meter", "setting": "ohms"},
        {"act": "measure", "red": "contactor.L1", "black": "contactor.L2"},
    ]).whole()  # fmt: skip
