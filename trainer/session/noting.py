"""Acts of record and finish: tools in and out, parts exchanged, photographs, values, hand-over.

Knows these acts only; whether a value is right is not asked here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from trainer.session import acts
from trainer.session.doing import Doing, Refused
from trainer.session.planning import part_in_words
from trainer.session.times import cost_ms
from trainer.unit.catalogue import type_of
from trainer.unit.conductor import SIDES, Conductor, End, part_of
from trainer.unit.state import Placed

#: A screw longer than this goes through the sheet, and how near a region is too near. Invented.
THROUGH_MM, MARGIN_MM = 15.0, 25.0


def tool(doing: Doing, act: acts.Tool) -> None:
    if act.to == "out" and act.name not in doing.bench.tools:
        raise Refused(f"There is no {act.name} in the cabinet.")
    doing.pass_time(cost_ms(act.act))
    doing.emit("tool", tool=act.name, inside=act.to == "in")


def fit(doing: Doing, act: acts.Fit) -> None:
    unit, tray = doing.bench.unit, doing.bench.tray
    if act.part not in unit.parts:
        raise Refused(f"There is no {act.part} to exchange.")
    _bare(doing, act.part)
    type_of(act.type)
    ready = {p.type: p for p in (tray or {}).values()}
    if tray is not None and act.type not in ready:
        raise Refused(f"There is no {act.type} on the tray; there are {_names(ready)}.")
    doing.pass_time(cost_ms(act.act))
    doing.catch_up()
    where = unit.parts[act.part].where
    taken = ready.get(act.type, Placed(type=act.type)).model_copy(update={"where": where})
    doing.emit("part", name=act.part, part=taken.model_dump(mode="json"))


def _names(of: Iterable[str]) -> str:
    return ", ".join(of) or "none"


def _bare(doing: Doing, part: str) -> None:
    """Refuse a part that is covered or still has wires on it."""
    if doing.cover_over(part):
        raise Refused(f"You cannot get at {part}: the {doing.cover_over(part)} is on.")
    landed = [
        tag
        for tag, c in doing.bench.unit.conductors.items()
        for side in SIDES
        if c.end(side).on and part_of(str(c.end(side).on)) == part
    ]
    if landed:
        raise Refused(f"Wires {', '.join(landed)} are still on {part}.")


def take_down(doing: Doing, act: acts.TakeDown) -> None:
    placed = doing.bench.unit.parts.get(act.part)
    if placed is None or placed.where != "unit":
        raise Refused(f"There is no {act.part} in the unit to take down.")
    _bare(doing, act.part)
    doing.pass_time(cost_ms(act.act))
    doing.catch_up()
    doing.emit("part out", name=act.part)


def take_wire(doing: Doing, act: acts.TakeWire) -> None:
    if act.wire in doing.bench.unit.conductors:
        raise Refused(f"There is a wire {act.wire} already; give this one another number.")
    doing.pass_time(cost_ms(act.act))
    cut_end = End(stripped_mm=0.0)
    made = Conductor(
        tag=act.wire, gauge=act.gauge, colour=act.colour, length_m=float(act.length), a=cut_end,
        b=cut_end, factory=False,
    )  # fmt: skip
    doing.emit("conductor", conductor=made.model_dump(mode="json"))


def take_out(doing: Doing, act: acts.TakeOut) -> None:
    conductor = doing.bench.unit.conductors.get(act.wire)
    if conductor is None:
        raise Refused(f"There is no wire {act.wire}.")
    held = [str(e.on) for side in SIDES if (e := conductor.end(side)).on]
    if held:
        raise Refused(f"Wire {act.wire} is still on {' and '.join(held)}.")
    doing.pass_time(cost_ms(act.act))
    doing.emit("conductor out", wire=act.wire)


def route(doing: Doing, act: acts.Route) -> None:
    if act.wire not in doing.bench.unit.conductors:
        raise Refused(f"There is no wire {act.wire}.")
    doing.pass_time(cost_ms(act.act))
    doing.did("route", f"{act.wire} {act.past}".strip())


def mount(doing: Doing, act: acts.Mount) -> None:
    unit, tray = doing.bench.unit, doing.bench.tray or {}
    if act.part not in unit.parts and act.part not in tray:
        raise Refused(f"There is no {act.part} to mount; on the tray: {_names(tray)}.")
    doing.pass_time(cost_ms(act.act))
    if act.part not in unit.parts:
        doing.catch_up()
        doing.emit("part", name=act.part, part=tray[act.part].model_dump(mode="json"))
    facts = f"arrow {act.arrow}, screw {act.screw_mm:g} mm{', strapped' if act.strap else ''}"
    doing.did("mount", f"{act.part}, {facts}{', looked behind' if act.looked_behind else ''}")
    if act.x is not None and act.y is not None and act.screw_mm > THROUGH_MM:
        for zone in _behind(doing, act.x, act.y):
            doing.emit("pierced", zone=zone, x=act.x, y=act.y)


def _behind(doing: Doing, x: float, y: float) -> list[str]:
    """Regions of the layout at a spot in which a conductor or a screw comes to harm."""
    return [
        name
        for name, (left, top, wide, high) in doing.site.zones.items()
        if left - MARGIN_MM <= x <= left + wide + MARGIN_MM
        and top - MARGIN_MM <= y <= top + high + MARGIN_MM
    ]


def look_behind(doing: Doing, act: acts.LookBehind) -> None:
    doing.pass_time(cost_ms(act.act))
    found = _behind(doing, act.x, act.y)
    doing.say(f"Behind it: {_names(found)}." if found else "There is nothing behind it.")
    doing.did("look behind", f"{act.x:g} {act.y:g}")


def dress(doing: Doing, act: acts.Dress) -> None:
    if act.wire not in doing.bench.unit.conductors:
        raise Refused(f"There is no wire {act.wire}.")
    doing.pass_time(cost_ms(act.act))
    doing.did("dress", f"{act.wire} {act.how}")


def scrape(doing: Doing, act: acts.Scrape) -> None:
    doing.reach(act.place)
    doing.pass_time(cost_ms(act.act))
    doing.did("scrape", act.place)


def label_unit(doing: Doing, act: acts.LabelUnit) -> None:
    doing.pass_time(cost_ms(act.act))
    doing.did("label unit", act.text)


def dispose(doing: Doing, act: acts.Dispose) -> None:
    doing.pass_time(cost_ms(act.act))
    doing.did("dispose", f"{act.what} to {act.to}")


def photograph(doing: Doing, act: acts.Photograph) -> None:
    if act.what not in doing.bench.unit.parts:
        raise Refused(f"There is no {act.what} to photograph.")
    if doing.cover_over(act.what):
        raise Refused(f"{act.what} is behind the {doing.cover_over(act.what)}.")
    doing.pass_time(cost_ms(act.act))
    doing.emit("photographed", what=act.what, shows=part_in_words(doing, act.what))
    doing.did("photograph", act.what)


def see_photograph(doing: Doing, act: acts.Photos) -> None:
    shows = doing.bench.photographs.get(act.what)
    if shows is None:
        raise Refused(f"There is no photograph of {act.what}.")
    doing.pass_time(cost_ms(act.act))
    doing.say(f"The photograph: {shows}")


def hint(doing: Doing, act: acts.Hint) -> None:
    if len(doing.bench.hints) < act.tier or not doing.bench.hints[act.tier - 1]:
        raise Refused("There is nobody to ask on this job.")
    doing.pass_time(cost_ms(act.act))
    doing.emit("hint", tier=act.tier, text=doing.bench.hints[act.tier - 1])


def record(doing: Doing, act: acts.RecordIt) -> None:
    doing.pass_time(cost_ms(act.act))
    doing.did("record", f"{act.what} = {act.value} [{act.reading}]")


def name_fault(doing: Doing, act: acts.NameFault) -> None:
    doing.pass_time(cost_ms(act.act))
    doing.did("name fault", f"{act.fault} {list(act.evidence)}")


def _simple(doing: Doing, act: acts.Act) -> None:
    doing.pass_time(cost_ms(act.act))
    doing.did(act.act)


def hand_over(doing: Doing, act: acts.HandOver) -> None:
    doing.pass_time(cost_ms(act.act))
    doing.catch_up()
    doing.did("hand over", act.words)
    doing.emit("over")


DO: dict[str, Callable[[Doing, Any], None]] = {
    "tool": tool, "fit": fit, "route": route, "mount": mount, "photograph": photograph,
    "take down": take_down, "take wire": take_wire, "take out": take_out,
    "look behind": look_behind,
    "dress": dress,
    "scrape": scrape,
    "label unit": label_unit,
    "dispose": dispose,
    "see photograph": see_photograph, "hint": hint,
    "record": record, "name fault": name_fault, "second look": _simple, "clean up": _simple,
    "sign off": _simple, "hand over": hand_over,
}  # fmt: skip
