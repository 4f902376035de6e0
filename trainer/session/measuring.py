"""Acts with instruments, the discharge tool, a blade and a bare hand. Knows these acts only."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from trainer.circuit.channels import Channel, Trace
from trainer.circuit.elements import Sense
from trainer.instruments.clamp import INRUSH
from trainer.instruments.meeting import meet
from trainer.instruments.multimeter import EXTREMES
from trainer.instruments.shown import Shown
from trainer.instruments.table import INSTRUMENTS, read
from trainer.session import acts, hazards
from trainer.session.doing import Doing, Refused
from trainer.session.passing import Step, electrics, fresh
from trainer.session.times import cost_ms
from trainer.starts.thinning import packed
from trainer.unit.circuit import Link
from trainer.unit.testing import tested

#: The discharge tool: 20 kohm wire-wound (common practice, no source).
TOOL_OHMS = 20e3
SCOPE = "scope"
#: The insulation tester is held on so long, and shows this when it will not test. [s]
TEST_S, REFUSED = 10.0, "----"
HARMS = {"ohms burnt": "ohms_burnt", "destroyed": "destroyed"}


def select(doing: Doing, act: acts.Select) -> None:
    kind = INSTRUMENTS.get(act.instrument)
    if kind is None:
        raise Refused(f"There is no {act.instrument} on the tray; there are {_tray()}.")
    if act.setting not in kind.settings:
        settings = ", ".join(kind.settings)
        raise Refused(f"The {kind.name} has no setting {act.setting}; it has {settings}.")
    doing.pass_time(cost_ms(act.act))
    doing.emit("selected", instrument=act.instrument, setting=act.setting)


def _tray() -> str:
    return ", ".join(INSTRUMENTS)


def self_check(doing: Doing, act: acts.SelfCheck) -> None:
    _known(act.instrument)
    doing.pass_time(cost_ms(act.act))
    health = doing.bench.health_of(act.instrument)
    bad = health.destroyed or health.lead_open or health.battery == "flat"
    ohms = act.instrument == "meter" and health.ohms_burnt
    doing.say("The self-check fails." if bad or ohms else "The self-check passes.")
    doing.did("self check", act.instrument)


def inspect_leads(doing: Doing, act: acts.InspectLeads) -> None:
    _known(act.instrument)
    doing.pass_time(cost_ms(act.act))
    cracked = doing.bench.health_of(act.instrument).lead_open
    doing.say("One lead is broken at the plug." if cracked else "The leads are whole.")
    doing.did("inspect leads", act.instrument)


def _known(instrument: str) -> None:
    if instrument not in INSTRUMENTS:
        raise Refused(f"There is no {instrument} on the tray; there are {_tray()}.")


def measure(doing: Doing, act: acts.Measure) -> None:
    name = doing.bench.instrument
    if not name or not INSTRUMENTS[name].contact:
        raise Refused("You have no instrument with two probes in hand.")
    for place in (act.red, act.black):
        doing.reach(place)
    _read(doing, act.act, name, {"red": act.red, "black": act.black}, act.why)
    if name == "meter" and doing.bench.setting_of(name) == EXTREMES:
        doing.emit("leads", red=act.red, black=act.black)


def scope(doing: Doing, act: acts.Scope) -> None:
    """Both tips against the clip, and the clip is a wire to the chassis while it is on."""
    tips = [tip for tip in (act.one, act.two) if tip]
    for place in (*tips, act.clip):
        doing.reach(place)
    doing.pass_time(cost_ms(act.act))
    doing.catch_up()
    meeting = meet(doing.bench.unit)
    clip = meeting.at(act.clip)
    seen = [Channel(f"{SCOPE}{n}", Sense(volts=(meeting.at(t), clip))) for n, t in enumerate(tips)]
    ms = round(act.ms)
    if clip:
        stepped = hazards.bridge(doing, act.clip, "chassis", SCOPE, ms, seen)
    else:
        stepped = doing.step(ms, more=seen)
    _draw(doing, tips, act.clip, stepped.traces)


def _draw(doing: Doing, tips: list[str], clip: str, traces: Sequence[Trace]) -> None:
    """The picture: thinned lines, and what a blind hand is told of them."""
    drawn: dict[str, Any] = {}
    words = []
    for n, tip in enumerate(tips):
        rows = [t for t in traces if f"{SCOPE}{n}" in t.values and t.t_s.size > 1]
        if not rows:
            continue
        volts = np.concatenate([t.values[f"{SCOPE}{n}"] for t in rows])
        drawn["t_s"] = packed(np.concatenate([t.t_s for t in rows]))
        drawn[tip] = packed(volts)
        rms = float(np.sqrt(np.mean(volts * volts)))
        words.append(f"{tip} against {clip}: {rms:.1f} V rms, {np.abs(volts).max():.1f} V peak")
    doing.emit("trace", clip=clip, lines=drawn, text="; ".join(words) or "a flat line")


def sense(doing: Doing, act: acts.Sense) -> None:
    doing.reach(act.place)
    doing.emit("selected", instrument="pen", setting="on")
    _read(doing, act.act, "pen", {"tip": act.place}, "")


def clamp(doing: Doing, act: acts.Clamp) -> None:
    tags = [w.strip().removeprefix("-") for w in act.wires.split(",")]
    for tag in tags:
        if tag not in doing.bench.unit.conductors:
            raise Refused(f"There is no wire {tag} to put the jaws round.")
    jaws = ",".join(w.strip() for w in act.wires.split(","))
    if jaws != doing.bench.jaws:  # jaws put on earlier stay on under a cover
        for tag in tags:
            _bare(doing, tag)
    doing.emit("jaws", jaws=jaws)
    if doing.bench.setting_of("clamp") not in INSTRUMENTS["clamp"].settings:
        doing.emit("selected", instrument="clamp", setting="A ac")
    _read(doing, act.act, "clamp", {"jaws": jaws}, "")


def _bare(doing: Doing, tag: str) -> None:
    """Jaws go round a conductor that can be got at on one end at least."""
    conductor = doing.bench.unit.conductors[tag]
    places = [end.on for end in (conductor.a, conductor.b)]
    if all(place and doing.cover_over(place) for place in places):
        raise Refused(f"Wire {tag} is behind covers at both ends.")


def _read(doing: Doing, act: str, name: str, leads: dict[str, str], why: str) -> None:
    doing.pass_time(cost_ms(act))
    setting = doing.bench.setting_of(name)
    if not (setting.startswith("V ") and fresh(doing.bench)):
        doing.catch_up()
    if name == "clamp" and setting == INRUSH:
        doing.say("The clamp is round it and armed for inrush.")
        return
    shown = read(name, doing.bench.unit, leads, setting, doing.bench.health_of(name))
    _show(doing, name, setting, leads, shown, why)
    if name == "insulation" and setting != "off" and shown.text not in ("", REFUSED):
        _drive(doing, leads["red"], leads["black"])


def _drive(doing: Doing, red: str, black: str) -> None:
    """What the tester's own volts leave behind: charge, and electronics that are no more."""
    unit, killed = tested(doing.bench.unit, red, black, TEST_S)
    parts = {name: unit.parts[name] for name in killed}
    charged = replace(unit, parts=doing.bench.unit.parts)
    later, event = electrics(doing.bench, charged, {}, [])
    doing.take(Step(later, (event,)))
    for name, placed in parts.items():
        doing.emit("part", name=name, part=placed.model_dump(mode="json"))
        doing.emit("killed", part=name)


def _show(
    doing: Doing, name: str, setting: str, leads: dict[str, str], shown: Shown, why: str
) -> None:
    doing.emit(
        "read", instrument=name, setting=setting, leads=leads,
        shown=shown.model_dump(mode="json"), why=why,
    )  # fmt: skip
    if shown.harm in HARMS:
        doing.emit("harmed", instrument=name, what=HARMS[shown.harm])


def discharge(doing: Doing, act: acts.Discharge) -> None:
    """The resistor tool across two places for some seconds."""
    for place in (act.a, act.b):
        doing.reach(place)
    doing.pass_time(cost_ms(act.act))
    doing.catch_up()
    meeting = meet(doing.bench.unit)
    a, b = meeting.at(act.a), meeting.at(act.b)
    live = meeting.volts_ac(a, b, TOOL_OHMS)
    if a != b:
        doing.step(round(1000.0 * act.seconds), extra=(Link("tool", act.a, act.b, TOOL_OHMS),))
    doing.say("The resistor gets hot." if live > 100.0 else "The resistor stays on its clips.")
    doing.emit("did", what="discharge", to=f"{act.a} {act.b} {act.seconds:g} s")


def short(doing: Doing, act: acts.Short) -> None:
    for place in (act.a, act.b):
        doing.reach(place)
    doing.pass_time(cost_ms(act.act))
    hazards.short(doing, act.a, act.b)
    doing.did("short", f"{act.a} {act.b}")


def touch(doing: Doing, act: acts.Touch) -> None:
    for place in (act.place, act.other):
        doing.reach(place)
    doing.pass_time(cost_ms(act.act))
    doing.did("touch", act.place)
    hazards.touch(doing, act.place, act.other)


DO: dict[str, Callable[[Doing, Any], None]] = {
    "scope": scope,
    "select": select, "self check": self_check, "inspect leads": inspect_leads,
    "measure": measure, "sense": sense, "clamp": clamp, "discharge": discharge, "short": short,
    "touch": touch,
}  # fmt: skip
