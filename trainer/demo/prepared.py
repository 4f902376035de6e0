"""A study prepared for sliders: its start drawn again for other values, without a new file.

The circuit is laid out once. A changed value rewrites the one part it belongs to, its numbers go
into a copy of the laid-out arrays, and contact states whose inputs stayed are not solved again;
steps, contacts and iron are those of any start. Knows studies, plans and reports; must know no
screen and no clock.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np

from trainer.base.errors import TrainerError
from trainer.circuit.channels import Channel, Trace
from trainer.circuit.numbers import keep_solved, with_numbers
from trainer.circuit.plan import Plan, make_plan
from trainer.circuit.state import CircuitState
from trainer.circuit.transient import Transient
from trainer.demo.dials import dials_of, turned
from trainer.demo.so_far import SoFar, so_far
from trainer.starts import thinning
from trainer.starts import watching as w
from trainer.starts.at_rest import AtRest
from trainer.starts.evidence import Evidence, gather
from trainer.starts.feeding import first_where
from trainer.starts.marks import Mark, marks_of
from trainer.starts.recording import Floats, Recording
from trainer.starts.report import StartReport
from trainer.starts.run import reference_of, run_start
from trainer.starts.summary import summary
from trainer.starts.thresholds import thresholds
from trainer.study.build import build, moves, roles_in
from trainer.study.load import find_study, load_study
from trainer.study.model import Study
from trainer.study.rewriting import rewritten

#: What is drawn from energising on [s].
NEAR_S = thinning.NEAR_S
#: One sample in so many steps of about 50 us is drawn; the rules see a cycle in 84 of them.
STRIDE = 4
#: The lines that are drawn.
DRAWN = (w.LINE[0], w.V_SC, w.START_CAP_V, w.SPEED, w.TORQUE)
#: What else the rules look at; all of it currents that the solver has at hand.
_JUDGED = (w.MAIN, w.AUX, w.START_CAP_A, w.PTC_V)


@dataclass(frozen=True)
class Lines:
    """The first of a start: ``t_s`` since energising and a line for each of ``DRAWN`` it has.

    ``energised_at_s`` is on the clock of the study, None when the compressor is not fed.
    """

    t_s: Floats
    values: Mapping[str, Floats]
    energised_at_s: float | None
    record: Recording
    _rest: AtRest
    _reference: StartReport | None

    def __getitem__(self, name: str) -> Floats:
        return self.values[name]

    @cached_property
    def evidence(self) -> Evidence:
        reference = self._reference.as_reference() if self._reference else None
        return gather(self.record, thresholds(), reference, self._rest)

    @property
    def marks(self) -> list[Mark]:
        """Instants worth a name, since energising."""
        return marks_of(self.record, self.evidence)

    @property
    def so_far(self) -> SoFar:
        """What the start can be called by now."""
        return so_far(self.evidence, self.record.end_s, thresholds())


@dataclass(frozen=True)
class Start:
    """A whole start: its report's data and text, and its lines thinned (starts/thinning.py)."""

    data: dict[str, Any]
    text: str
    near: dict[str, Any]
    far: dict[str, Any]


def opened(path_or_name: str | Path) -> Prepared:
    """A study by path or bare name, prepared. Raises Faults, NotFoundError or TrainerError."""
    path = find_study(path_or_name)
    return Prepared(load_study(path_or_name), path.parent)


class Prepared:
    """``beside`` is the folder in which a reference given as a path lies."""

    def __init__(self, study: Study, beside: Path | None = None) -> None:
        self.study, self.beside = study, beside
        self.dials = dials_of(study)
        self._elements, self._roles = build(study)
        self._moves = moves(study)
        self._channels = _channels(w.channels_for(self._elements, self._roles))
        self._plan = make_plan(self._elements, self._channels)
        self._rest = AtRest(self._elements, self._roles, thresholds())
        self._reference = reference_of(study, beside)
        self._until_s = max((move.at_s for move in self._moves), default=0.0) + NEAR_S
        stepped, own = self._near(study)
        keep_solved(self._plan, stepped)
        if own.energised_at_s is not None:
            self._until_s = own.energised_at_s + NEAR_S + own.record.step_s

    def near(self, values: Mapping[str, float]) -> Lines:
        """The first of the start with these sliders; one not named stands at its own value."""
        return self._near(turned(self.study, self.dials, values))[1]

    def whole(self, values: Mapping[str, float]) -> Start:
        """All of the start, as ``energise`` reports it."""
        found = run_start(turned(self.study, self.dials, values), beside=self.beside)
        start = found.evidence.energised_at_s
        near, far = thinning.near(found.record, start), thinning.far(found.record)
        return Start(found.as_data(), summary(found), near, far)

    def _near(self, study: Study) -> tuple[Plan, Lines]:
        elements = rewritten(self._elements, self.study, study)
        roles = roles_in(study.parts, self._roles.watch, self._roles.nodes, self._roles.wires)
        transient = Transient.of_plan(with_numbers(self._plan, elements), self._channels)
        first = transient.closed()
        for move in self._moves:
            transient.act(*move)
        rest = AtRest(elements, roles, thresholds(), self._rest)
        trace = transient.run(self._until_s, stride=STRIDE)
        step = transient.plan.step_s * STRIDE
        while True:
            _check(trace)
            end = CircuitState(t_s=transient.t_s)  # nobody goes on from here
            record = Recording(elements, roles, trace, first, step, end, self._moves)
            start = first_where(record, rest.fed)
            wanted = 0.0 if start is None else start + NEAR_S + step
            if wanted <= transient.t_s + step:
                break
            trace = _joined(trace, transient.run(wanted, stride=STRIDE))
        drawn = slice(None) if start is None else slice(*_window(record, start))
        lines = {name: trace[name][drawn] for name in DRAWN if name in trace.values}
        t = trace.t_s[drawn] - (start or 0.0)
        return transient.plan, Lines(t, lines, start, record, rest, self._reference)


def _channels(every: list[Channel]) -> list[Channel]:
    kept = {*DRAWN, *_JUDGED}
    return [c for c in every if c.name in kept or c.name.startswith(w.WARM)]


def _window(record: Recording, start_s: float) -> tuple[int, int]:
    return record.index(start_s), record.index(start_s + NEAR_S) + 1


def _joined(a: Trace, b: Trace) -> Trace:
    lines = {name: np.concatenate([a[name], b[name]]) for name in a.values}
    return replace(a, t_s=np.concatenate([a.t_s, b.t_s]), values=lines, events=a.events + b.events)


def _check(trace: Trace) -> None:
    """Numbers that a computer could not hold are told, not drawn."""
    if all(np.isfinite(line[-1:]).all() for line in trace.values.values()):
        return
    raise TrainerError(
        "this circuit cannot be solved with these values: its volts or amps grow without end",
        hint="turn a slider back, or look at the smallest ohms and farads of the file",
    )
