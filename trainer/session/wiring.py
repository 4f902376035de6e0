"""Acts on conductors: lift, cut, strip, crimp, land, torque, tug, cap, park, label.

Every one that touches metal is a hand on that metal. What workmanship does to electricity is the
unit's business. Knows these acts only.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from trainer.instruments.meeting import meet
from trainer.parts.conductors import table
from trainer.session import acts, hazards
from trainer.session.doing import Doing, Refused
from trainer.session.passing import activity, fresh
from trainer.session.times import cost_ms
from trainer.unit.catalogue import Place, place_in
from trainer.unit.circuit import end_name, wire_name
from trainer.unit.conductor import SIDES, Conductor, End

#: Amps that draw an arc when a conductor comes off under load. Invented.
ARC_A = 0.5
#: A cut takes this much off a conductor. [m]
CUT_M = 0.02
#: Threads give way this far over the window. Invented.
STRIPS_AT = 2.0


def _end(doing: Doing, act: Any) -> tuple[Conductor, End]:
    conductor = doing.bench.unit.conductors.get(act.wire)
    if conductor is None:
        raise Refused(f"There is no wire {act.wire}.")
    end = conductor.end(act.end)
    if end.on is not None and doing.cover_over(end.on):
        raise Refused(f"You cannot get at {end.on}: the {doing.cover_over(end.on)} is on.")
    return conductor, end


def _place(doing: Doing, name: str) -> Place | None:
    types = {n: p.type for n, p in doing.bench.unit.parts.items()}
    return place_in(types, name)


def _begin(doing: Doing, act: Any, metal: bool = True) -> None:
    doing.pass_time(cost_ms(act.act))
    if metal:
        hazards.touch(doing, end_name(act.wire, act.end))


def _change(doing: Doing, conductor: Conductor) -> None:
    """The conductor as it is now; the unit takes a breath when that stirs or charges anything."""
    doing.emit("conductor", conductor=conductor.model_dump(mode="json"))
    bench = doing.bench
    now = (bench.moving, bench.charged, bench.hums)
    if bench.moving or bench.charged or activity(bench.unit) != now:
        doing.step(20)


def lift(doing: Doing, act: acts.Lift) -> None:
    conductor, end = _end(doing, act)
    if end.on is None:
        raise Refused(f"End {act.end} of wire {act.wire} is on nothing.")
    _begin(doing, act)
    if not fresh(doing.bench):
        doing.catch_up()
    amps = meet(doing.bench.unit).amps([(wire_name(act.wire), 1.0)])
    if amps > ARC_A:
        doing.emit(
            "arc", a=end.on, b=act.wire, volts_ac=0.0, joules=0.0, peak_a=round(amps, 2), fed=True
        )
    pulled = act.by == "wire" and end.fitting != "none"
    tug = "slipped" if pulled and end.crimp != "full" else end.tug
    _change(doing, conductor.with_end(act.end, on=None, torque_nm=None, tug=tug))
    doing.did("lift", f"{act.wire} {act.end} by the {act.by}")


def loosen(doing: Doing, act: acts.Loosen) -> None:
    conductor, end = _end(doing, act)
    if not end.torque_nm:
        raise Refused(f"There is no tightened screw on end {act.end} of wire {act.wire}.")
    _begin(doing, act)
    _change(doing, conductor.with_end(act.end, torque_nm=None))


def cut(doing: Doing, act: acts.Cut) -> None:
    conductor, _ = _loose(doing, act)
    if conductor.length_m <= 2.0 * CUT_M:
        raise Refused(f"There is not enough of wire {act.wire} left to cut.")
    _begin(doing, act, metal=False)
    shorter = conductor.model_copy(update={"length_m": round(conductor.length_m - CUT_M, 6)})
    fresh = {
        "fitting": "none", "crimp": "none", "stripped_mm": 0.0, "strands": "whole", "tug": "no",
        "capped": False, "parked": False,
    }  # fmt: skip
    _change(doing, shorter.with_end(act.end, **fresh))


def _loose(doing: Doing, act: Any) -> tuple[Conductor, End]:
    conductor, end = _end(doing, act)
    if end.on is not None:
        raise Refused(f"End {act.end} of wire {act.wire} is on {end.on}; lift it first.")
    return conductor, end


def strip(doing: Doing, act: acts.Strip) -> None:
    conductor, end = _loose(doing, act)
    if end.fitting != "none":
        raise Refused("There is a fitting on that end; cut it off first.")
    if act.mm < end.stripped_mm:
        raise Refused(f"It is bare for {end.stripped_mm:g} mm already; cut it first.")
    _begin(doing, act)
    strands = {"knife": "scraped", "wrong notch": "severed"}.get(act.tool, end.strands)
    _change(doing, conductor.with_end(act.end, stripped_mm=act.mm, strands=strands))


def crimp(doing: Doing, act: acts.Crimp) -> None:
    conductor, end = _loose(doing, act)
    if end.fitting != "none" and end.crimp != "none":
        raise Refused("There is a crimped fitting on that end; cut it off first.")
    if end.stripped_mm <= 0.0:
        raise Refused("There is no bare copper on that end; strip it first.")
    if act.fitting == "none":
        raise Refused("Name the fitting to crimp on.")
    _begin(doing, act)
    made = {"ratchet": "full", "pliers": "pliers", "wrong die": "wrong_die"}[act.tool]
    _change(doing, conductor.with_end(act.end, fitting=act.fitting, crimp=made, tug="no"))


def land(doing: Doing, act: acts.Land) -> None:
    conductor, end = _loose(doing, act)
    doing.reach(act.place)
    place = _place(doing, act.place)
    if place is None and act.place != "chassis":
        raise Refused(f"{act.place} takes no conductor.")
    if place is not None:
        _room(doing, conductor, end, act.place, place)
    _begin(doing, act)
    hazards.touch(doing, act.place)
    seated = 1.0 if act.push == "fully" else 0.4
    landed = {"on": act.place, "seated": seated, "capped": False, "parked": False, "tug": "no"}
    _change(doing, conductor.with_end(act.end, torque_nm=None, **landed))
    doing.did("land", f"{act.wire} {act.end} {act.place}")


def _room(doing: Doing, conductor: Conductor, end: End, name: str, place: Place) -> None:
    taken = sum(c.end(s).on == name for c in doing.bench.unit.conductors.values() for s in SIDES)
    if taken >= place.holds:
        raise Refused(f"There is no room on {name}.")
    ohms = {gauge: row.ohm_per_kft for gauge, row in table().conductors.items()}
    if end.fitting == "none" and ohms[conductor.gauge] < 0.95 * ohms[place.gauges[1]]:
        raise Refused(f"{conductor.gauge} does not go into {name}.")


def torque(doing: Doing, act: acts.Torque) -> None:
    conductor, end = _end(doing, act)
    place = _place(doing, end.on) if end.on else None
    if end.on is None or (place is not None and place.torque is None):
        raise Refused(f"There is no screw on end {act.end} of wire {act.wire} to tighten.")
    _begin(doing, act)
    given = act.nm
    if place is not None and place.torque is not None and given > STRIPS_AT * place.torque[1]:
        doing.say("The screw turns on and on: the thread has given way.")
        given = 0.1
    _change(doing, conductor.with_end(act.end, torque_nm=given))
    doing.did("torque", f"{act.wire} {act.end} {act.nm:g} by {act.means}")


def tug(doing: Doing, act: acts.Tug) -> None:
    conductor, end = _end(doing, act)
    if end.on is None and end.fitting == "none":
        raise Refused(f"There is nothing on end {act.end} of wire {act.wire} to tug at.")
    _begin(doing, act, metal=False)
    result, words = _tugged(doing, end)
    doing.say(words)
    changed: dict[str, object] = {"tug": result}
    if words.endswith("off."):
        changed |= {"on": None, "torque_nm": None}
    _change(doing, conductor.with_end(act.end, **changed))


def _tugged(doing: Doing, end: End) -> tuple[str, str]:
    """Half-seated or never tightened comes off; a weak crimp slips."""
    place = _place(doing, end.on) if end.on else None
    if end.fitting != "none" and end.crimp in ("none", "light", "pliers"):
        return "slipped", "The conductor moves in its fitting."
    screwed = place is not None and place.torque is not None
    if end.on and ((screwed and not end.torque_nm) or end.seated < 0.5):
        return "no", "It comes off."
    return "held", "It holds."


def inspect(doing: Doing, act: acts.Inspect) -> None:
    conductor, end = _end(doing, act)
    _begin(doing, act, metal=False)
    where = f"on {end.on}" if end.on else "loose"
    words = [f"Wire {act.wire} end {act.end}: {where}", f"{conductor.gauge} {conductor.colour}"]
    words += [f"bare {end.stripped_mm:g} mm", f"strands {end.strands}"]
    words += [f"fitting {end.fitting}, crimp {end.crimp}"] if end.fitting != "none" else []
    words += ["half seated"] if end.seated < 0.5 else []
    words += ["capped"] if end.capped else []
    words += [f"labelled {end.label}"] if end.label else []
    doing.say("; ".join(words) + ".")
    doing.did("inspect", f"{act.wire} {act.end}")


def cap(doing: Doing, act: acts.Cap) -> None:
    conductor, _ = _loose(doing, act)
    _begin(doing, act)
    _change(doing, conductor.with_end(act.end, capped=True))


def park(doing: Doing, act: acts.Park) -> None:
    conductor, _ = _loose(doing, act)
    _begin(doing, act, metal=False)
    _change(doing, conductor.with_end(act.end, parked=True))


def label(doing: Doing, act: acts.Label) -> None:
    conductor, _ = _end(doing, act)
    _begin(doing, act, metal=False)
    changed = conductor.with_end(act.end, label=act.text)
    doing.emit("conductor", conductor=changed.model_dump(mode="json"))


DO: dict[str, Callable[[Doing, Any], None]] = {
    "lift": lift, "loosen": loosen, "cut": cut, "strip": strip, "crimp": crimp, "land": land,
    "torque": torque, "tug": tug, "inspect": inspect, "cap": cap, "park": park, "label": label,
}  # fmt: skip
