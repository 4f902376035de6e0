"""A unit over minutes and hours: transient while anything moves, running while cycles repeat.

The transient hands over when three successive cycles agree within ``STEADY_TOL`` and no contact
is about to move; it takes back, with charges, currents, fluxes, speed and shaft angle, at every
act, every switching and every threshold crossing. Knows both, and no physics of its own.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from dataclasses import dataclass, field

from trainer.circuit.channels import Channel, Event, Trace
from trainer.circuit.elements import Elements
from trainer.circuit.running import SlowRule, SlowView, Steady
from trainer.circuit.state import CircuitState
from trainer.circuit.transient import Transient

#: Cycle-rms amps of every branch agree within this over three successive cycles.
STEADY_TOL = 1e-3
#: A transient is left to run at least this long after an act [s].
LEAST_S = 0.1
#: After so long without three agreeing cycles (a shaft beating against the line) it goes on
#: in stretches of this length [s].
STRETCH_S = 5.0


@dataclass(frozen=True)
class Stretch:
    """One mode of operation from ``t0_s`` to ``t1_s``; ``why`` it ended."""

    mode: str
    t0_s: float
    t1_s: float
    why: str


@dataclass
class LongTrace:
    """Transients as recorded, a view at the end of every running step, and what ended what."""

    traces: list[Trace] = field(default_factory=list)
    stretches: list[Stretch] = field(default_factory=list)
    events: list[Event] = field(default_factory=list)


class LongRun:
    """One circuit whose time is moved by ``run`` alone."""

    def __init__(
        self,
        elements: Elements,
        channels: Sequence[Channel] = (),
        *,
        rules: Sequence[SlowRule] = (),
        state: CircuitState | None = None,
        stride: int = 4,
        winding_heat: bool = True,
    ) -> None:
        self.elements, self.channels, self.rules = elements, list(channels), list(rules)
        self.stride, self.winding_heat = stride, winding_heat
        self.history = LongTrace()
        self._acts: list[tuple[float, int, str, bool]] = []
        self._steady: Steady | None = None
        self._transient: Transient | None = self._new_transient(state)
        self._moved_s = self.t_s

    @property
    def t_s(self) -> float:
        if self._steady is not None:
            return self._steady.t_s
        assert self._transient is not None
        return self._transient.t_s

    @property
    def mode(self) -> str:
        return "running" if self._steady is not None else "transient"

    def act(self, at_s: float, switch: str, closed: bool) -> None:
        """A hand or a call moves a contact at ``at_s``."""
        heapq.heappush(self._acts, (at_s, len(self._acts), switch, closed))

    def state(self) -> CircuitState:
        """What the unit remembers now."""
        if self._steady is not None:
            return self._steady.instant()
        assert self._transient is not None
        return self._transient.snapshot()

    def view(self) -> SlowView | None:
        """The steady solution that holds now, or None during a transient."""
        return self._steady.view() if self._steady is not None else None

    def run(self, until_s: float) -> LongTrace:
        """Move time to ``until_s``; returns everything recorded since the beginning.

        A transient taken over between two steps of the clock ends within half a step of it.
        """
        while self.t_s < until_s - self._nearest_s():
            if self._steady is not None:
                self._run_steady(until_s)
            else:
                self._run_transient(until_s)
        return self.history

    def _nearest_s(self) -> float:
        return 1e-6 if self._transient is None else 0.51 * self._transient.plan.step_s

    def _new_transient(self, state: CircuitState | None) -> Transient:
        return Transient(self.elements, self.channels, state=state, winding_heat=self.winding_heat)

    def _run_transient(self, until_s: float) -> None:
        transient = self._transient
        assert transient is not None
        t0 = transient.t_s
        self._hand_acts(transient, t0)
        stop = min([until_s, *[a[0] for a in self._acts[:1]]])
        least = min(stop, max(t0, self._moved_s + LEAST_S))
        if least > t0 + 0.5 * transient.plan.step_s:
            self._keep(transient.run(least, stride=self.stride))
        if stop > transient.t_s + 0.5 * transient.plan.step_s:
            stretch = min(stop, transient.t_s + STRETCH_S)
            self._keep(transient.run(stretch, stride=self.stride, steady_tol=STEADY_TOL))
        view = SlowView(transient.t_s, transient.snapshot(), None)
        for rule in self.rules:
            rule.advance(view, transient.t_s - t0)
        why = "time"
        if transient.settled() and transient.t_s < until_s - self._nearest_s():
            why = "cycles agree"
            self._steady = Steady(self.elements, transient.snapshot(), self.rules)
            self._transient = None
        self.history.stretches.append(Stretch("transient", t0, self.t_s, why))

    def _run_steady(self, until_s: float) -> None:
        steady = self._steady
        assert steady is not None
        t0 = steady.t_s
        first = self._acts[0][0] if self._acts else until_s
        steady.run(min(until_s, first))
        self.history.stretches.append(Stretch("running", t0, steady.t_s, steady.why))
        if steady.why == "time" and (not self._acts or self._acts[0][0] > steady.t_s + 1e-6):
            return
        self._transient = self._new_transient(steady.instant())
        self._steady = None
        self._moved_s = self._transient.t_s
        for contact, closed in steady.moves:
            self._transient.act(self._transient.t_s, contact, closed)

    def _hand_acts(self, transient: Transient, now_s: float) -> None:
        while self._acts and self._acts[0][0] <= now_s + 0.5 * transient.plan.step_s:
            _, _, switch, closed = heapq.heappop(self._acts)
            transient.act(now_s, switch, closed)
            self._moved_s = now_s

    def _keep(self, trace: Trace) -> None:
        self.history.traces.append(trace)
        self.history.events.extend(trace.events)
        moved = [e.t_s for e in trace.events if e.kind in ("closed", "opened")]
        if moved:
            self._moved_s = max(self._moved_s, moved[-1])
