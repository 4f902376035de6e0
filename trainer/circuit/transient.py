"""The start transient: instantaneous volts and amps of any circuit, with moving contacts.

A Transient owns one circuit in motion. Hands move contacts with ``act``; ``run`` steps on and
returns what was recorded; ``snapshot`` says what the circuit remembers. The stepping itself is
compiled (kernel.py) and imported on first use.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence

import numpy as np

from trainer.base.errors import TrainerError
from trainer.circuit import compiled, states
from trainer.circuit import layout as lay
from trainer.circuit.channels import Channel, Event, EventKind, Trace
from trainer.circuit.elements import Elements
from trainer.circuit.plan import Plan, make_plan, port_names
from trainer.circuit.state import CircuitState, MachineState


class Transient:
    """One circuit, stepped from rest or from a remembered state.

    ``channels`` are fixed when it is made (a channel may need a probe in the matrices).
    ``steps_per_cycle`` None picks about 50 us. ``winding_heat`` False keeps winding ohms
    constant (cross-checks against equations without heat).
    """

    def __init__(
        self,
        elements: Elements,
        channels: Sequence[Channel] = (),
        *,
        steps_per_cycle: int | None = None,
        state: CircuitState | None = None,
        winding_heat: bool = True,
    ) -> None:
        plan = make_plan(
            elements,
            list(channels),
            steps_per_cycle=steps_per_cycle,
            state=state,
            winding_heat=winding_heat,
        )
        self._begin(plan, list(channels), state.t_s if state else 0.0, True)

    @classmethod
    def of_plan(cls, plan: Plan, channels: Sequence[Channel]) -> Transient:
        """A circuit laid out before, from its beginning; ``channels`` as it was laid out for.

        The plan is stepped from here on: hand over a copy to begin again (numbers.py). For
        drawing only: no heat and no energy is booked.
        """
        made = cls.__new__(cls)
        made._begin(plan, list(channels), 0.0, False)
        return made

    def _begin(self, plan: Plan, channels: list[Channel], began_s: float, books: bool) -> None:
        self.plan, self.channels, self._began_s, self._books = plan, channels, began_s, books
        plan.core.sizes["books"] = books
        self._acts: list[tuple[int, int, int, bool]] = []
        self._energy0 = stored_energy(plan) if books else 0.0
        self._contacts = {s.name: i for i, s in enumerate(plan.elements.switches)}

    @property
    def t_s(self) -> float:
        """Now, counted in whole steps [s]."""
        return self._began_s + int(self.plan.core.tally["step"]) * self.plan.step_s

    def act(self, at_s: float, switch: str, closed: bool) -> None:
        """A hand or a call moves a contact at ``at_s``. Raises TrainerError for an unknown name."""
        if switch not in self._contacts:
            raise TrainerError(f"this circuit has no contact named {switch!r}")
        step = max(0, round((at_s - self._began_s) / self.plan.step_s))
        heapq.heappush(self._acts, (step, len(self._acts), self._contacts[switch], closed))

    def run(self, until_s: float, *, stride: int = 1, steady_tol: float = 0.0) -> Trace:
        """Step to ``until_s``, recording every ``stride`` steps.

        With ``steady_tol`` stops early once three successive cycles agree within it.
        """
        tally = self.plan.core.tally
        first_step, first_event = int(tally["step"]), int(tally["events"])
        last = max(first_step, round((until_s - self._began_s) / self.plan.step_s))
        rec = np.zeros((len(self.channels), (last - first_step) // stride + 2))
        tally["recorded"] = 0
        while tally["step"] < last:
            self._do_acts()
            self._make_room()
            chunk = min(last, self._acts[0][0] if self._acts else last)
            core = self.plan.core
            steps = chunk - int(tally["step"])
            arguments = (*core, steps, rec, self.plan.recorded, stride, steady_tol)
            compiled.stepper()(*arguments)
            if core.tally["asks"]:
                states.answer(core, self.plan.network, self._books)
            if steady_tol > 0.0 and self.settled() and not self._acts:
                break
        if self._books:
            states.book_all(self.plan.core, self.plan.network)
        return self._trace(rec, first_step, stride, first_event)

    def closed(self) -> dict[str, bool]:
        """Where every contact stands now."""
        stand = self.plan.core.contacts["closed"].tolist()
        names = [s.name for s in self.plan.elements.switches]
        return {name: bool(shut) for name, shut in zip(names, stand, strict=True)}

    def settled(self) -> bool:
        """Whether three successive cycles agreed within the tolerance of the last ``run``."""
        return int(self.plan.core.tally["steady"]) >= 3

    def snapshot(self) -> CircuitState:
        """Everything the circuit remembers now."""
        core, elements = self.plan.core, self.plan.elements
        amps, plates = core.amps[lay.LAST_ROW].tolist(), core.caps[lay.LAST_ROW].tolist()
        contacts = list(zip(elements.switches, core.contacts, strict=True))
        resistors = zip(elements.resistors, self.plan.network.resistors, strict=True)
        return CircuitState(
            t_s=self.t_s,
            capacitor_v={c.name: v for c, v in zip(elements.capacitives, plates, strict=True)},
            inductive_a={i.name: a for i, a in zip(elements.inductives, amps, strict=False)},
            machines={m.name: self._machine_state(j) for j, m in enumerate(elements.machines)},
            closed=self.closed(),
            reasons={s.name: int(c["reasons"]) for s, c in contacts},
            holders=self.plan.devices.names,
            welded=frozenset(s.name for s, c in contacts if c["welded"]),
            devices=self.plan.devices.snapshot(core),
            source_turns=tuple(core.sources["turns"].tolist()),
            source_peak=tuple(core.sources["peak"].tolist()),
            source_hz=tuple(core.sources["hz"].tolist()),
            resistor_ohms={r.name: float(1.0 / c["siemens"]) for r, c in resistors},
        )

    def _do_acts(self) -> None:
        core = self.plan.core
        while self._acts and self._acts[0][0] <= core.tally["step"]:
            _, _, contact, closed = heapq.heappop(self._acts)
            if closed:
                core.contacts["reasons"][contact] &= ~(1 << lay.HAND_BIT)
            else:
                core.contacts["reasons"][contact] |= 1 << lay.HAND_BIT
                self.plan.devices.reset(core, contact)

    def _make_room(self) -> None:
        """The kernel comes back when its table of events is nearly full."""
        core = self.plan.core
        if core.tally["events"] > len(core.events) - lay.EVENT_ROOM:
            self.plan.core = core._replace(events=np.concatenate([core.events, core.events]))

    def _machine_state(self, m: int) -> MachineState:
        core = self.plan.core
        axes, machine = core.axes[2 * m : 2 * m + 2], core.machines[m]
        flux, shaft = core.flux[lay.LAST_ROW, 2 * m : 2 * m + 2], core.shaft[lay.LAST_ROW, m]
        stator, rotor, warm = (
            flux["stator"].tolist(),
            flux["rotor"].tolist(),
            axes["warm_c"].tolist(),
        )
        return MachineState(
            stator[0],
            stator[1],
            rotor[0],
            rotor[1],
            float(shaft["speed"]),
            float(shaft["angle"]),
            float(machine["lift"]),
            float(machine["pocket"]),
            warm[0],
            warm[1],
        )

    def _trace(self, rec: np.ndarray, first_step: int, stride: int, first_event: int) -> Trace:
        n = int(self.plan.core.tally["recorded"])
        first = (first_step // stride + 1) * stride
        t = self._began_s + (first + stride * np.arange(n)) * self.plan.step_s
        values = {ch.name: rec[j, :n] for j, ch in enumerate(self.channels)}
        events = self._events(first_event)
        if not self._books:
            return Trace(t, values, events)
        heat = heat_of(self.plan)
        return Trace(t, values, events, heat, self._energies(heat))

    def _events(self, first: int) -> list[Event]:
        core = self.plan.core
        names = [s.name for s in self.plan.elements.switches]
        names += [r.device.name for r in self.plan.devices.rows]
        return [
            Event(self._began_s + step * self.plan.step_s, _kind(kind), names[index], value)
            for step, kind, index, value in core.events[first : core.tally["events"]].tolist()
        ]

    def _energies(self, heat: dict[str, float]) -> dict[str, float]:
        """Where the source energy went since the beginning [J]; ``residual`` should be nothing."""
        tally = self.plan.core.tally
        out = {
            "source": float(tally["source_j"]),
            "heat": sum(heat.values()),
            "rotor": float(tally["rotor_j"]),
            "shaft": float(tally["shaft_j"]),
            "damping": float(tally["damping_j"]),
            "stored": stored_energy(self.plan) - self._energy0,
        }
        spent = out["heat"] + out["rotor"] + out["shaft"] + out["damping"] + out["stored"]
        out["residual"] = out["source"] - spent
        return out


def _kind(number: int) -> EventKind:
    return lay.EVENT_NAMES[number]  # type: ignore[return-value]


def heat_of(plan: Plan) -> dict[str, float]:
    """Joules in every resistance so far, by element name (windings as machine.main, .aux)."""
    core, elements = plan.core, plan.elements
    booked = plan.network.resistors["joules"].tolist()
    joules = {r.name: j for r, j in zip(elements.resistors, booked, strict=True)}
    joules |= {
        s.name: j for s, j in zip(elements.switches, core.contacts["joules"].tolist(), strict=True)
    }
    ports = core.ports["joules"].tolist()
    return joules | {name: ports[j] for name, j in port_names(elements).items()}


def stored_energy(plan: Plan) -> float:
    """Field energy of inductances, capacitors and machines now [J]."""
    core, elements = plan.core, plan.elements
    amps, plates = core.amps[lay.LAST_ROW].tolist(), core.caps[lay.LAST_ROW].tolist()
    total = sum(0.5 * i.henries * amps[j] ** 2 for j, i in enumerate(elements.inductives))
    total += sum(0.5 * c.farads * plates[j] ** 2 for j, c in enumerate(elements.capacitives))
    return total + sum(machine_energy(plan, m) for m in range(len(elements.machines)))


def machine_energy(plan: Plan, m: int) -> float:
    """Field energy of one machine [J]: leakages, and the magnetising path up to its flux.

    W = sum l i^2/2 over the leakages + integral of i_m d(flux), with
    i_m = flux/L (1 + gain max(0, flux/knee - 1)^2) and the resultant flux of both axes.
    """
    core, machine = plan.core, plan.core.machines[m]
    leak, flux2 = 0.0, 0.0
    for w in (2 * m, 2 * m + 1):
        k, at = core.axes[w], core.flux[lay.LAST_ROW, w]
        ls, lm, lr, extra = k["ls"], k["lm"], k["lr"], at["extra"]
        det, f, fr = ls * lr - lm * lm, at["stator"] + lm * extra, at["rotor"] + lm * extra
        i, ir = (lr * f - lm * fr) / det, (ls * fr - lm * f) / det
        leak += 0.5 * ((ls - lm) * i * i + (lr - lm) * ir * ir)
        flux2 += (lm * (i + ir - extra) * k["to_main"]) ** 2
    knee = machine["sat_knee"]
    over = max(0.0, flux2**0.5 / knee - 1.0)
    iron = machine["sat_gain"] * knee**2 * (over**4 / 4.0 + over**3 / 3.0)
    return float(leak + (0.5 * flux2 + iron) / core.axes[2 * m]["lm"])
