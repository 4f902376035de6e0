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
        self.plan: Plan = make_plan(
            elements,
            list(channels),
            steps_per_cycle=steps_per_cycle,
            state=state,
            winding_heat=winding_heat,
        )
        self.channels = list(channels)
        self._acts: list[tuple[int, int, int, bool]] = []
        self._began_s = state.t_s if state else 0.0
        self._energy0 = stored_energy(self.plan)
        self._contacts = {s.name: i for i, s in enumerate(elements.switches)}

    @property
    def t_s(self) -> float:
        """Now, counted in whole steps [s]."""
        return self._began_s + int(self.plan.core.counts[lay.N_STEP]) * self.plan.step_s

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
        from trainer.circuit import kernel, kernel_states

        core = self.plan.core
        steps = round((until_s - self._began_s) / self.plan.step_s) - int(core.counts[lay.N_STEP])
        rec = np.zeros((max(0, steps) // stride + 2, max(1, len(self.channels))))
        index, slow = self._record_columns()
        first_event = int(core.counts[lay.N_EVENTS])
        first_step = int(core.counts[lay.N_STEP])
        core.counts[lay.N_REC] = 0
        last = first_step + max(0, steps)
        while int(core.counts[lay.N_STEP]) < last:
            self._do_acts()
            chunk = min(last, self._acts[0][0] if self._acts else last)
            steps_now = chunk - int(core.counts[lay.N_STEP])
            done = kernel.run(*core, steps_now, rec, index, slow, stride, steady_tol)
            repeats = steady_tol > 0.0 and self.settled()
            if (done == 0 or repeats) and not self._acts:
                break
        kernel_states.book_all(
            core.counts, core.ri, core.rf, core.si, core.sf, core.key, core.xs, core.heat_s, core.h
        )
        return self._trace(rec, first_step, stride, first_event)

    def settled(self) -> bool:
        """Whether three successive cycles agreed within the tolerance of the last ``run``."""
        return int(self.plan.core.counts[lay.N_STEADY]) >= 3

    def snapshot(self) -> CircuitState:
        """Everything the circuit remembers now."""
        core, elements = self.plan.core, self.plan.elements
        p, n_l = int(core.dims[lay.D_P]), len(elements.inductives)
        vc = 2 * p + n_l
        contacts = list(zip(elements.switches, core.si, strict=True))
        return CircuitState(
            t_s=self.t_s,
            capacitor_v={c.name: float(core.y[vc + j]) for j, c in enumerate(elements.capacitives)},
            inductive_a={i.name: float(core.y[p + j]) for j, i in enumerate(elements.inductives)},
            machines={m.name: self._machine_state(j) for j, m in enumerate(elements.machines)},
            closed={s.name: bool(row[lay.SI_CLOSED]) for s, row in contacts},
            reasons={s.name: int(row[lay.SI_REASONS]) for s, row in contacts},
            welded=frozenset(s.name for s, row in contacts if row[lay.SI_WELDED]),
            devices=self.plan.devices.snapshot(core),
            source_turns=tuple(core.src[: len(elements.sources), lay.SRC_PHASE].tolist()),
            source_peak=tuple(core.src[: len(elements.sources), lay.SRC_AMP].tolist()),
            source_hz=tuple(core.src[: len(elements.sources), lay.SRC_HZ].tolist()),
            resistor_ohms={
                r.name: float(1.0 / core.rf[j, 0]) for j, r in enumerate(elements.resistors)
            },
        )

    def _do_acts(self) -> None:
        core = self.plan.core
        while self._acts and self._acts[0][0] <= core.counts[lay.N_STEP]:
            _, _, contact, closed = heapq.heappop(self._acts)
            if closed:
                core.si[contact, lay.SI_REASONS] &= ~(1 << lay.HAND_BIT)
            else:
                core.si[contact, lay.SI_REASONS] |= 1 << lay.HAND_BIT
                self.plan.devices.reset(core, contact)

    def _record_columns(self) -> tuple[np.ndarray, np.ndarray]:
        n = max(1, len(self.channels))
        index = np.zeros(n, dtype=np.int64)
        slow = np.zeros((n, 3), dtype=np.int64)
        for j, ch in enumerate(self.channels):
            if ch.name in self.plan.columns:
                index[j] = self.plan.columns[ch.name]
            else:
                index[j] = -1
                slow[j] = self.plan.slow_columns[ch.name]
        return index, slow

    def _machine_state(self, m: int) -> MachineState:
        core = self.plan.core
        b = core.dims[lay.D_MACHINE] + m * lay.MS_SIZE
        flux = core.y[b : b + 6].tolist()
        return MachineState(*flux, *core.slow[m].tolist())

    def _trace(self, rec: np.ndarray, first_step: int, stride: int, first_event: int) -> Trace:
        core = self.plan.core
        n = int(core.counts[lay.N_REC])
        first = (first_step // stride + 1) * stride
        t = self._began_s + (first + stride * np.arange(n)) * self.plan.step_s
        values = {ch.name: rec[:n, j].copy() for j, ch in enumerate(self.channels)}
        return Trace(t, values, self._events(first_event), heat_of(self.plan), self._energies())

    def _events(self, first: int) -> list[Event]:
        core = self.plan.core
        names = [s.name for s in self.plan.elements.switches]
        names += [r.device.name for r in self.plan.devices.rows]
        last = min(int(core.counts[lay.N_EVENTS]), len(core.events))
        return [
            Event(
                float(self._began_s + row[0] * self.plan.step_s),
                _kind(int(row[1])),
                names[int(row[2])],
                float(row[3]),
            )
            for row in core.events[first:last]
        ]

    def _energies(self) -> dict[str, float]:
        """Where the source energy went since the beginning [J]; ``residual`` should be nothing."""
        core = self.plan.core
        heat = sum(heat_of(self.plan).values())
        e = core.acc
        out = {
            "source": float(e[lay.EN_SOURCE]),
            "heat": heat,
            "rotor": float(e[lay.EN_ROTOR]),
            "shaft": float(e[lay.EN_SHAFT]),
            "damping": float(e[lay.EN_DAMPING]),
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
    heat = {r.name: float(core.rf[j, 1]) for j, r in enumerate(elements.resistors)}
    for j, s in enumerate(elements.switches):
        heat[s.name] = float(core.sf[j, lay.SW_HEAT])
    for name, j in port_names(elements).items():
        heat[name] = float(core.pf[j, lay.PF_HEAT])
    return heat


def stored_energy(plan: Plan) -> float:
    """Field energy of inductances, capacitors and machines now [J]."""
    core, elements = plan.core, plan.elements
    p, n_l, n_c = int(core.dims[lay.D_P]), len(elements.inductives), len(elements.capacitives)
    amps = core.y[p : 2 * p]
    total = 0.5 * float(sum(i.henries * amps[j] ** 2 for j, i in enumerate(elements.inductives)))
    vc = core.y[2 * p + n_l : 2 * p + n_l + n_c]
    total += 0.5 * float(sum(c.farads * vc[j] ** 2 for j, c in enumerate(elements.capacitives)))
    for m in range(len(elements.machines)):
        total += machine_energy(plan, m)
    return total


def machine_energy(plan: Plan, m: int) -> float:
    """Field energy of one machine [J]: leakages, and the magnetising path up to its flux.

    W = sum l i^2/2 over the leakages + integral of i_m d(flux), with
    i_m = flux/L (1 + gain max(0, flux/knee - 1)^2) and the resultant flux of both axes.
    """
    core = plan.core
    k = core.mach[m]
    b = core.dims[lay.D_MACHINE] + m * lay.MS_SIZE
    fq, fd, fqr, fdr = core.y[b : b + 4]
    leak, flux2 = 0.0, 0.0
    for f, fr, ls, lm, lr, extra, turns in (
        (fq, fqr, k[lay.MC_LS_MAIN], k[lay.MC_LM_MAIN], k[lay.MC_LR_MAIN],
         core.y[b + lay.MS_IXQ], 1.0),
        (fd, fdr, k[lay.MC_LS_AUX], k[lay.MC_LM_AUX], k[lay.MC_LR_AUX],
         core.y[b + lay.MS_IXD], k[lay.MC_RATIO]),
    ):  # fmt: skip
        det, f, fr = ls * lr - lm * lm, f + lm * extra, fr + lm * extra
        i, ir = (lr * f - lm * fr) / det, (ls * fr - lm * f) / det
        leak += 0.5 * ((ls - lm) * i * i + (lr - lm) * ir * ir)
        flux2 += (lm * (i + ir - extra) / turns) ** 2
    over = max(0.0, flux2**0.5 / k[lay.MC_SAT_KNEE] - 1.0)
    iron = k[lay.MC_SAT_GAIN] * k[lay.MC_SAT_KNEE] ** 2 * (over**4 / 4.0 + over**3 / 3.0)
    return float(leak + (0.5 * flux2 + iron) / k[lay.MC_LM_MAIN])
