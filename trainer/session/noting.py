"""Acts of record and finish: tools in and out, parts exchanged, photographs, values, hand-over.

Knows these acts only; whether a value is right is not asked here.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from trainer.session import acts
from trainer.session.doing import Doing, Refused
from trainer.session.times import cost_ms
from trainer.unit.catalogue import type_of
from trainer.unit.conductor import SIDES, part_of
from trainer.unit.state import Placed


def tool(doing: Doing, act: acts.Tool) -> None:
    if act.to == "out" and act.name not in doing.bench.tools:
        raise Refused(f"There is no {act.name} in the cabinet.")
    doing.pass_time(cost_ms(act.act))
    doing.emit("tool", tool=act.name, inside=act.to == "in")


def fit(doing: Doing, act: acts.Fit) -> None:
    unit = doing.bench.unit
    if act.part not in unit.parts:
        raise Refused(f"There is no {act.part} to exchange.")
    if doing.cover_over(act.part):
        raise Refused(f"You cannot get at {act.part}: the {doing.cover_over(act.part)} is on.")
    landed = [
        tag
        for tag, c in unit.conductors.items()
        for side in SIDES
        if c.end(side).on and part_of(str(c.end(side).on)) == act.part
    ]
    if landed:
        raise Refused(f"Wires {', '.join(landed)} are still on {act.part}.")
    type_of(act.type)
    doing.pass_time(cost_ms(act.act))
    doing.catch_up()
    placed = Placed(type=act.type, where=unit.parts[act.part].where)
    doing.emit("part", name=act.part, part=placed.model_dump(mode="json"))


def route(doing: Doing, act: acts.Route) -> None:
    if act.wire not in doing.bench.unit.conductors:
        raise Refused(f"There is no wire {act.wire}.")
    doing.pass_time(cost_ms(act.act))
    doing.did("route", f"{act.wire} {act.past}".strip())


def mount(doing: Doing, act: acts.Mount) -> None:
    if act.part not in doing.bench.unit.parts:
        raise Refused(f"There is no {act.part} to mount.")
    doing.pass_time(cost_ms(act.act))
    doing.did("mount", f"{act.part}{' looked behind' if act.looked_behind else ''}")


def photograph(doing: Doing, act: acts.Photograph) -> None:
    if act.what in doing.bench.unit.parts and doing.cover_over(act.what):
        raise Refused(f"{act.what} is behind the {doing.cover_over(act.what)}.")
    doing.pass_time(cost_ms(act.act))
    doing.did("photograph", act.what)


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
    "record": record, "name fault": name_fault, "second look": _simple, "clean up": _simple,
    "sign off": _simple, "hand over": hand_over,
}  # fmt: skip
