"""A start judged as a start report judges it, for the event that carries it.

The same circuit from the same state and the same hands, recorded on its own with all that a
report asks for, as written and with line volts a little lower and higher: a start whose outcome
changes then is *sensitive*. Knows units and reports; must know no act, no person and no mark.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from trainer.circuit.elements import Elements
from trainer.circuit.state import CircuitState
from trainer.circuit.transient import Transient
from trainer.starts import watching as w
from trainer.starts.recording import Recording
from trainer.starts.report import StartReport, report
from trainer.starts.thinning import far, near
from trainer.starts.thresholds import thresholds
from trainer.study.build import Move
from trainer.unit.circuit import elements_of
from trainer.unit.roles import roles_of
from trainer.unit.state import Unit
from trainer.unit.world import completed

#: A start is recorded so long at least and at most. [s]
LEAST_S, MOST_S = 4.0, 12.0
#: Figures of a report that the event carries.
FIGURES = (
    "outcome", "also", "over_torque", "over_torque_ratio", "peak_line_a", "max_cycle_rms_line_a",
    "clamp_inrush_a", "time_to_90pct_s", "disengage_s", "disengage_speed_ratio", "recloses",
    "contactor_recloses", "speed_rpm", "run_line_rms_a", "start_capacitor_left_v",
    "start_capacitor_energy_j", "start_winding_peak_v", "sag_pct", "trips",
)  # fmt: skip
#: Significant digits kept.
DIGITS = 7


def judged(unit: Unit, acts: Sequence[tuple[str, bool]], until_s: float) -> dict[str, Any]:
    """The start of a unit's compressor after contacts are moved at the beginning."""
    limits = thresholds()
    until = min(max(until_s, LEAST_S), MOST_S)
    found = reported(unit, acts, until)
    step = limits.line_step.value
    others = [reported(unit, acts, until, 1.0 + share).outcome for share in (-step, step)]
    data = found.as_data()
    return {
        "figures": {key: rounded(data[key]) for key in FIGURES},
        "sensitive": any(other != found.outcome for other in others),
        "motors": motors_of(found.record),
        "near": near(found.record, found.evidence.energised_at_s),
        "far": far(found.record),
    }


def reported(
    unit: Unit, acts: Sequence[tuple[str, bool]], until_s: float, line: float = 1.0
) -> StartReport:
    """The report of a start from the unit's own state, with line volts times ``line``."""
    return report("", recorded(unit, acts, until_s, line), thresholds())


def recorded(
    unit: Unit, acts: Sequence[tuple[str, bool]], until_s: float, line: float
) -> Recording:
    elements, _ = elements_of(unit)
    roles = roles_of(unit)
    state = replace(completed(elements, unit.electrics), t_s=0.0)
    if line != 1.0:
        elements, state = with_line(elements, state, line)
    transient = Transient(elements, w.channels_for(elements, roles), state=state)
    first = dict(transient.snapshot().closed)
    moves = tuple(Move(0.0, contact, closed) for contact, closed in acts)
    for move in moves:
        transient.act(*move)
    trace = transient.run(until_s)
    step = transient.plan.step_s
    return Recording(elements, roles, trace, first, step, transient.snapshot(), moves)


def with_line(
    elements: Elements, state: CircuitState, ratio: float
) -> tuple[Elements, CircuitState]:
    """The same circuit with every source stronger."""
    sources = [replace(s, volts_peak=s.volts_peak * ratio) for s in elements.sources]
    peaks = tuple(peak * ratio for peak in state.source_peak)
    return replace(elements, sources=sources), replace(state, source_peak=peaks)


def motors_of(record: Recording) -> dict[str, str]:
    """Every motor by name: runs, stands, or turns backwards, at the end of the record."""
    words = {}
    for machine in record.elements.machines:
        speed = record.end.machines[machine.name].speed_rad_s
        share = speed / machine.params.synchronous_rad_s(record.roles.hz)
        words[machine.name] = (
            "runs"
            if share > 0.5
            else "turns backwards"
            if share < -0.1
            else ("turns slowly" if share > 0.1 else "stands")
        )
    return words


def rounded(value: Any) -> Any:
    """Numbers to so many digits as machines agree on."""
    if isinstance(value, bool) or value is None or isinstance(value, str | int):
        return value
    if isinstance(value, float | np.floating):
        return float(f"{float(value):.{DIGITS}g}") + 0.0
    if isinstance(value, dict):
        return {key: rounded(v) for key, v in value.items()}
    return [rounded(v) for v in value]
