"""Benches to test on: the first unit, as it is and with charge planted behind a lifted lead."""

from dataclasses import replace
from typing import Any

from trainer.session.acts import act_from
from trainer.session.attempt import Running, start
from trainer.session.events import Event
from trainer.session.opening import opening
from trainer.unit.state import Unit


def plain() -> Unit:
    return opening("larkspur-row", 0).unit


def charged(volts: float = 380.0) -> Unit:
    """HERM lead lifted and the compressor's section left charged. Invented."""
    unit = plain()
    unit = unit.with_conductor(unit.conductors["7"].with_end("a", on=None))
    held = {**unit.electrics.capacitor_v, "can~H": volts}
    return replace(unit, electrics=replace(unit.electrics, capacitor_v=held))


def on(unit: Unit) -> Running:
    return start(unit, None, {})


def do(running: Running, act: str, **fields: Any) -> list[Event]:
    return running.do(act_from({"act": act, **fields}))


def kinds(events: list[Event]) -> list[str]:
    return [e.kind for e in events]


def of_kind(events: list[Event], kind: str) -> dict[str, Any]:
    return dict(next(e for e in events if e.kind == kind).data)


def shown(running: Running, red: str, black: str, setting: str) -> float | None:
    do(running, "select", instrument="meter", setting=setting)
    return of_kind(do(running, "measure", red=red, black=black), "read")["shown"]["value"]
