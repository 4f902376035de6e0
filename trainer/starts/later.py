"""What a unit does after its start: minutes and hours in which overloads trip and reset.

Goes on from the end of a recorded start. Knows the long run; must know no finding about a start.
"""

from __future__ import annotations

from dataclasses import dataclass

from trainer.circuit.channels import Event
from trainer.circuit.longrun import LongRun
from trainer.parts.slow import rules_of
from trainer.starts.recording import Recording
from trainer.study.model import Study


@dataclass(frozen=True)
class Later:
    """Happenings after the record, and how the compressor stood at ``until_s``."""

    until_s: float
    events: tuple[Event, ...]
    speed_rad_s: float | None
    main_c: float | None
    aux_c: float | None


def go_on(study: Study, record: Recording, until_s: float) -> Later:
    """From the end of a record to ``until_s``, with the acts that are still to come."""
    watch = record.roles.watch
    rules = rules_of(study.parts, record.elements, watch.get("compressor"), watch.get("fan"))
    run = LongRun(record.elements, rules=rules, state=record.end)
    for move in record.acts:
        if move.at_s > record.end_s:
            run.act(*move)
    history = run.run(until_s)
    name = record.roles.element("compressor", "machine") or ""
    machine, view = run.state().machines.get(name), run.view()
    steady = view.solution.speeds.get(name) if view and view.solution else None
    if machine is None:
        return Later(until_s, tuple(history.events), None, None, None)
    # a running shaft swings about its mean twice a cycle: the mean is what is told
    speed = machine.speed_rad_s if steady is None else steady
    return Later(until_s, tuple(history.events), speed, machine.main_c, machine.aux_c)
