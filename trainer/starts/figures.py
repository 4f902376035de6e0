"""The figures of a start: amps as instruments show them, peaks of volts, heat, what was left.

Each function reads a record between energising and the instant that is judged. Knows no finding.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from trainer.starts import watching as w
from trainer.starts.disengaging import Disengaging
from trainer.starts.evidence import Evidence
from trainer.starts.recording import Floats, Recording
from trainer.starts.signals import display_max, inrush, peak, rms
from trainer.starts.thresholds import Thresholds

#: Cycles at the end over which running amps and speed are taken.
RUN_CYCLES = 6


@dataclass(frozen=True)
class LineAmps:
    """Of the leg that carries most. ``display_a``: (least, mean, most) over the clock's chance."""

    peak_a: float
    cycle_rms_a: float
    inrush_a: float | None
    display_a: tuple[float, float, float] | None
    run_rms_a: float | None


def line_amps(record: Recording, e: Evidence, limits: Thresholds) -> LineAmps | None:
    """Of the supply's legs, everything on them included; None without a supply."""
    legs = [name for name in w.LINE if record.has(name)]
    if not legs:
        return None
    worst = max(legs, key=lambda name: peak(record[name]))
    amps = record[worst]
    return LineAmps(
        peak_a=peak(amps),
        cycle_rms_a=float(np.max(record.cycle_rms(worst))),
        inrush_a=inrush(
            amps, record.step_s, limits.inrush_window.value, limits.inrush_trigger.value
        ),
        display_a=display_max(amps, record.step_s, limits.display_updates.value),
        run_rms_a=_run_rms(record, worst, e, limits),
    )


def _run_rms(record: Recording, name: str, e: Evidence, limits: Thresholds) -> float | None:
    """rms of the last cycles, None unless the compressor runs then."""
    if e.time_to_full_s is None or e.speed_at_end < limits.full_speed.value:
        return None
    return rms(_last(record, name, e))


def _last(record: Recording, name: str, e: Evidence) -> Floats:
    end = record.index(e.judged_at_s) + 1
    return record[name][max(0, end - RUN_CYCLES * record.per_cycle) : end]


def speed_rpm(record: Recording, e: Evidence) -> float | None:
    """Mean shaft speed over the last judged cycles [rpm]."""
    if not record.has(w.SPEED):
        return None
    return float(np.mean(_last(record, w.SPEED, e))) * 30.0 / np.pi


def end_rms(record: Recording, name: str, e: Evidence) -> float | None:
    """rms of a recorded line over the last judged cycles."""
    return rms(_last(record, name, e)) if record.has(name) else None


def peak_of(record: Recording, name: str) -> float | None:
    return peak(record[name]) if record.has(name) else None


def left_v(record: Recording, aid: Disengaging) -> float | None:
    """Volts on the start capacitor just after it left for good [V]; None if it never left."""
    out = aid.out_for_good_s
    if out is None or not record.has(w.START_CAP_V):
        return None
    return float(abs(record[w.START_CAP_V][record.index(out + record.step_s)]))


def heat_by_part(record: Recording) -> dict[str, float]:
    """Joules in the resistances of each part; wires together; rotors by themselves."""
    heat: dict[str, float] = {}
    for name, part in parts_of(record).items():
        joules = record.trace.heat_j.get(name, 0.0)
        heat[part or name] = heat.get(part or name, 0.0) + joules
    heat["rotors"] = record.trace.energy_j.get("rotor", 0.0)
    return {part: joules for part, joules in heat.items() if joules > 0.0}


def parts_of(record: Recording) -> dict[str, str]:
    """Element (or winding) -> the part its heat is booked to."""
    el = record.elements
    parts = {r.name: r.part for r in el.resistors} | {s.name: s.part for s in el.switches}
    parts |= {i.name: i.part for i in el.inductives} | {c.name: c.part for c in el.capacitives}
    for m in el.machines:
        parts |= {f"{m.name}.main": m.part, f"{m.name}.aux": m.part}
    return parts


def hottest_wire(record: Recording) -> tuple[str, float] | None:
    """The conductor with its joints that took most heat [J]."""
    wires = {n: record.trace.heat_j.get(n, 0.0) for n in record.roles.wires}
    if not wires:
        return None
    name = max(wires, key=lambda n: wires[n])
    return name, wires[name]


def temperatures(record: Recording) -> dict[str, dict[str, float]]:
    """Highest and last temperature of windings, overloads, breakers and PTCs [deg C]."""
    lines = {"main_winding": w.MAIN_C, "start_winding": w.AUX_C}
    lines |= {n.removeprefix(w.WARM): n for n in record.trace.values if n.startswith(w.WARM)}
    return {
        shown: {"most": float(np.max(record[name])), "end": float(record[name][-1])}
        for shown, name in lines.items()
        if record.has(name) and record[name].size
    }
