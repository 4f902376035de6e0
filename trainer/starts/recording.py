"""One study energised: its circuit, what was recorded, and where contacts stood when.

Knows how to run a study and read its record; must know no finding.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from trainer.circuit.channels import Event, Trace
from trainer.circuit.elements import Elements
from trainer.circuit.state import CircuitState
from trainer.circuit.transient import Transient
from trainer.starts.signals import moving_rms
from trainer.starts.watching import channels_for
from trainer.study.build import Move, Roles, build, moves
from trainer.study.model import Study

Floats = NDArray[np.float64]

#: A record of more samples than this is thinned; 20 s at 50 us still keeps 100 a cycle. Invented.
MOST_SAMPLES = 130_000
#: A start is stepped so long; what comes after belongs to ``later``. Invented. [s]
LONGEST_START_S = 60.0


@dataclass(frozen=True)
class Recording:
    """What one run of a circuit left behind. ``first_closed`` is before anything happened."""

    elements: Elements
    roles: Roles
    trace: Trace
    first_closed: dict[str, bool]
    step_s: float
    end: CircuitState
    acts: tuple[Move, ...] = ()
    _rms: dict[str, Floats] = field(default_factory=dict, repr=False, compare=False)

    @property
    def t_s(self) -> Floats:
        return self.trace.t_s

    @property
    def events(self) -> list[Event]:
        return self.trace.events

    @property
    def end_s(self) -> float:
        return float(self.t_s[-1])

    @cached_property
    def per_cycle(self) -> int:
        """Samples in one cycle of the line."""
        return max(1, round(1.0 / (self.roles.hz * self.step_s)))

    def has(self, name: str) -> bool:
        return name in self.trace.values

    def __getitem__(self, name: str) -> Floats:
        return self.trace.values[name]

    def cycle_rms(self, name: str) -> Floats:
        """One-cycle rms of a recorded line at every sample."""
        if name not in self._rms:
            self._rms[name] = moving_rms(self[name], self.per_cycle)
        return self._rms[name]

    def index(self, t_s: float) -> int:
        """The first sample at or after a time, within the record."""
        return int(np.clip(np.searchsorted(self.t_s, t_s - 1e-12), 0, self.t_s.size - 1))

    def between(self, name: str, t0_s: float, t1_s: float) -> Floats:
        """Samples of a line from one time to another."""
        return self[name][self.index(t0_s) : self.index(t1_s) + 1]

    def closed_at(self, t_s: float) -> dict[str, bool]:
        """Where every contact stood just after a time; a parted one that still conducts is shut."""
        closed = dict(self.first_closed)
        for event in self.events:
            if event.t_s > t_s + 1e-9:
                break
            if event.kind in ("closed", "opened"):
                closed[event.name] = event.kind == "closed"
        return closed


def record(
    study: Study, until_s: float | None = None, steps_per_cycle: int | None = None
) -> Recording:
    """Energise a study and record its start."""
    elements, roles = build(study)
    until = min(LONGEST_START_S, study.until if until_s is None else until_s)
    return record_circuit(elements, roles, moves(study), until, steps_per_cycle)


def record_circuit(
    elements: Elements,
    roles: Roles,
    acts: tuple[Move, ...],
    until_s: float,
    steps_per_cycle: int | None = None,
) -> Recording:
    """Energise a circuit, its acts in order, to ``until_s``."""
    transient = Transient(elements, channels_for(elements, roles), steps_per_cycle=steps_per_cycle)
    first = dict(transient.snapshot().closed)
    for move in acts:
        transient.act(*move)
    step = transient.plan.step_s
    stride = 1 + int(until_s / step / MOST_SAMPLES)
    trace = transient.run(until_s, stride=stride)
    return Recording(
        elements, roles, trace, first, step * stride, transient.snapshot(), tuple(acts)
    )
