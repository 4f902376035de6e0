"""Starts of one motor for cross-checks: how they are wired, and what is read off a record.

Knows no other program's answer. Motor values name their sources where they are made.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from tests.circuit.build import Bench
from trainer.circuit.channels import Channel, Trace
from trainer.circuit.elements import Sense
from trainer.circuit.transient import Transient
from trainer.motor.params import LoadParams, MotorParams

#: Cycles compared at the end of a run.
TEN_CYCLES = 10


@dataclass(frozen=True)
class Start:
    """A motor with its capacitors and supply; the contact parts at the speed ratio ``opens_at``."""

    params: MotorParams
    volts_rms: float
    load: LoadParams
    run_f: float | None
    run_ohms: float = 0.1
    start_f: float | None = None
    start_ohms: float = 0.1
    opens_at: float = 0.8
    phase_rad: float = 0.0
    source_ohms: float = 1e-3
    source_henries: float = 0.0
    hz: float = 60.0

    @property
    def sync_rad_s(self) -> float:
        return self.params.synchronous_rad_s(self.hz)


CHANNELS = ("line_a", "main_a", "aux_a", "start_a", "torque", "speed", "v_aux", "v_run", "v_start")


def wired(start: Start) -> Bench:
    """Line to run terminal, common at the chassis, capacitors from line to start terminal."""
    bench = Bench()
    bench.line(
        "line", "R", "chassis", start.volts_rms, start.hz, start.phase_rad,
        start.source_ohms, start.source_henries,
    )  # fmt: skip
    bench.machine("m", "chassis", "S", "R", start.params, start.load)
    if start.run_f is not None:
        bench.c("run", "R", "S", start.run_f, start.run_ohms)
    if start.start_f is not None:
        bench.s("contact", "R", "K", ohms=1e-3)
        bench.c("start", "K", "S", start.start_f, start.start_ohms - 1e-3)
    return bench


def channels(bench: Bench) -> list[Channel]:
    """Everything the cross-checks look at that this circuit has."""
    found = [
        Channel("line_a", Sense(amps=(("line.z", 1.0),))),
        Channel("main_a", Sense(amps=(("m.main", 1.0),))),
        Channel("aux_a", Sense(amps=(("m.aux", 1.0),))),
        Channel("v_aux", Sense(volts=(bench.node("S"), 0))),
        Channel("torque", machine="m", quantity="torque_nm"),
        Channel("speed", machine="m", quantity="speed_rad_s"),
    ]
    held = {c.name for c in bench.elements.capacitives}
    found += [Channel(f"v_{name}", capacitor=name) for name in sorted(held)]
    if "start" in held:
        found.append(Channel("start_a", Sense(amps=(("contact", 1.0),))))
    return found


def run(start: Start, until_s: float, **options: object) -> tuple[Trace, float | None]:
    """The transient, its contact parted when the shaft first reaches ``opens_at``.

    A first run without the act tells when that is: the two are the same up to there.
    """
    bench = wired(start)
    parted = None
    if start.start_f is not None:
        trial = transient(bench, **options).run(until_s)
        parted = first_time(trial, "speed", start.opens_at * start.sync_rad_s)
    tr = transient(bench, **options)
    if parted is not None:
        tr.act(parted, "contact", False)
    return tr.run(until_s), parted


def transient(bench: Bench, **options: object) -> Transient:
    """A transient without winding heat: the other programs know none."""
    return Transient(bench.elements, channels(bench), winding_heat=False, **options)  # type: ignore[arg-type]


def first_time(trace: Trace, name: str, level: float) -> float | None:
    """When a channel first reaches a level, straight between samples [s]."""
    over = np.nonzero(trace[name] >= level)[0]
    if len(over) == 0:
        return None
    k = int(over[0])
    if k == 0:
        return float(trace.t_s[0])
    low, high = trace[name][k - 1], trace[name][k]
    return float(
        trace.t_s[k - 1] + (level - low) / (high - low) * (trace.t_s[k] - trace.t_s[k - 1])
    )


def tail(t_s: np.ndarray, values: np.ndarray, cycles: int = TEN_CYCLES, hz: float = 60.0):
    """The last whole cycles of a record."""
    return values[t_s > t_s[-1] - cycles / hz + 1e-9]


def rms(values: np.ndarray) -> float:
    return float(math.sqrt(np.mean(values**2)))


def constant(torque_nm: float, rise_nm: float = 0.0) -> LoadParams:
    """The same torque at rest and turning, and a part that grows with the square of speed."""
    return LoadParams(coulomb_nm=torque_nm, breakaway_nm=torque_nm, fan_nm=rise_nm)


def linear(params: MotorParams) -> MotorParams:
    """The same motor with iron that does not saturate."""
    return replace(params, sat_gain=0.0)
