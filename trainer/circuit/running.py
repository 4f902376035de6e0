"""Running: a unit whose cycles repeat, as phasors plus the states that take minutes.

Heat of windings and thermal elements, pressures, thermistors, timers and trapped charge move;
contacts do not. ``Steady`` steps as far as nothing can switch and stops where something wants
to: a coil off its limits, a trip, a timer run out, a rule of the unit, a shaft that cannot
hold its load. longrun.py then hands the unit to the transient.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Protocol

from trainer.circuit.charge import Decay
from trainer.circuit.elements import Coil, Elements, Machine, Ptc, Sense, Thermal, Timer
from trainer.circuit.equilibrium import Load, equilibrium
from trainer.circuit.instant import at_instant, plates_at
from trainer.circuit.phasor import PreparedPhasor, prepared_again
from trainer.circuit.phasor_solution import PhasorSolution
from trainer.circuit.state import CircuitState, DeviceState, MachineState
from trainer.motor.params import LoadParams

#: Longest step of the slow states, and the first one after a switching [s].
LONGEST_S, FIRST_S = 300.0, 0.25
#: No step lets a winding move by more than this, or a pressure by more than this share.
MOST_K, MOST_LIFT = 4.0, 0.05
#: Trapped direct volts below this are forgotten.
TRAPPED_V = 0.01
#: A winding with more than this in it is energised [A rms]. Invented; well under a fan's.
FED_A = 0.02


@dataclass(frozen=True)
class SlowView:
    """What a rule may look at: now, and the steady solution that holds (None in a transient)."""

    t_s: float
    state: CircuitState
    solution: PhasorSolution | None


class SlowRule(Protocol):
    """A slow state that moves contacts: a pressure switch, a thermostat, a defrost board."""

    def advance(self, view: SlowView, dt_s: float) -> None:
        """Move the rule's own state on by ``dt_s``."""

    def moves(self, view: SlowView) -> tuple[tuple[str, bool], ...]:
        """Contacts that should now stand otherwise: (name, closed). Asked once a step."""

    def patience_s(self, view: SlowView) -> float:
        """How long it may be left alone."""


def mean_load(load: LoadParams, lift: float, sync_rad_s: float, speed: float) -> float:
    """Mean shaft torque at a speed, signed against rotation; at rest what breaks it away [N m]."""
    if load.locked:
        return math.inf
    r = abs(speed) / sync_rad_s
    share = (1.0 - lift) * (load.at_rest + (load.at_speed - load.at_rest) * r * r) + lift
    gas = load.run_nm * share
    if speed == 0.0:
        return load.breakaway_nm + (0.0 if load.drives_back else gas)
    rub = load.coulomb_nm + load.fan_nm * r * r + load.viscous_nms * abs(speed)
    if load.drives_back:
        return math.copysign(rub, speed) + (gas if speed > 0.0 else 0.0)
    return math.copysign(rub + gas, speed)


class Steady:
    """One stretch of running from a remembered state; contacts stand as in that state.

    ``why`` says afterwards what ended it: "time", or the name of what wants to switch; ``moves``
    are the contacts that rules of the unit want moved.
    """

    def __init__(
        self, elements: Elements, state: CircuitState, rules: Sequence[SlowRule] = ()
    ) -> None:
        self.elements, self.state, self.rules = elements, state, list(rules)
        self.t_s = state.t_s
        self.why = "time"
        self.moves: tuple[tuple[str, bool], ...] = ()
        self.hz = state.source_hz[0] if state.source_hz else 60.0
        self._turn0 = self._turn_of(state)
        self._began_s = state.t_s
        self.speeds = {n: m.speed_rad_s for n, m in state.machines.items()}
        self._prepared: PreparedPhasor | None = None
        self._prepared_ohms: Mapping[str, float] = {}
        self.solution = self._solve()
        self._trap()
        self._dt = FIRST_S if self._fed_windings() else min(LONGEST_S, self._allowed())

    # --- solving -------------------------------------------------------------------------

    def _solve(self) -> PhasorSolution:
        prepared = self._prepare()
        loads = {m.name: self._load(m) for m in self.elements.machines}
        found = equilibrium(prepared, loads, self.speeds)
        for name, speed in found.speeds.items():
            if speed == 0.0 and abs(self.speeds[name]) > 1.0:
                self.why = f"{name} slows"
        self.speeds = found.speeds
        return prepared.at(found.speeds)

    def _prepare(self) -> PreparedPhasor:
        """The contact state reduced to its machines: again only when a thermistor has moved.

        Winding temperatures enter at the terminals, after the reduction.
        """
        s = self.state
        temps = {n: (m.main_c, m.aux_c) for n, m in s.machines.items()}
        if self._prepared is None or self._prepared_ohms != s.resistor_ohms:
            emf = {
                source.name: cmath.rect(peak / math.sqrt(2.0), source.phase_rad)
                for source, peak in zip(self.elements.sources, s.source_peak, strict=True)
            }
            self._prepared = prepared_again(
                self.elements, s.closed, self.hz, ohms=s.resistor_ohms, emf=emf, temps=temps
            )
            self._prepared_ohms = s.resistor_ohms
        self._prepared = self._prepared.at_temperatures(temps)
        return self._prepared

    def fed(self, machine: str) -> bool:
        """Whether a winding of a machine carries current."""
        return any(abs(self.solution.amps(f"{machine}.{w}")) > FED_A for w in ("main", "aux"))

    def _fed_windings(self) -> bool:
        """Whether any winding carries current or any shaft turns."""
        return any(self.speeds.values()) or any(self.fed(m.name) for m in self.elements.machines)

    @property
    def trapped_v(self) -> dict[str, float]:
        """Direct volts on every capacitor at the beginning, beside the alternating ones [V]."""
        if self._decay is None:
            return dict.fromkeys(self.state.capacitor_v, 0.0)
        return self._decay.at(0.0)

    @property
    def is_quiet(self) -> bool:
        """Whether no winding is fed and nothing wants to switch now."""
        self._look()
        return self.why == "time" and not self._fed_windings()

    def _load(self, machine: Machine) -> Load:
        sync = machine.params.synchronous_rad_s(self.hz)
        lift = self.state.machines[machine.name].lift
        return lambda speed: mean_load(machine.load, lift, sync, speed)

    def _turn_of(self, s: CircuitState) -> float:
        if not self.elements.sources:
            return 0.0
        return 2.0 * math.pi * s.source_turns[0] - self.elements.sources[0].phase_rad

    def _trap(self) -> None:
        """Direct volts that are on the capacitors beside the alternating ones."""
        live = plates_at(self.solution, self._turn0)
        trapped = {name: volts - live[name] for name, volts in self.state.capacitor_v.items()}
        self._decay = None
        if trapped and max(abs(v) for v in trapped.values()) > TRAPPED_V:
            self._decay = Decay(
                self.elements, self.state.closed, trapped, ohms=self.state.resistor_ohms
            )

    # --- stepping ------------------------------------------------------------------------

    def run(self, until_s: float) -> None:
        """Step to ``until_s`` or to where something wants to switch, which may be at once."""
        self._look()
        while self.why == "time" and self.t_s < until_s - 1e-9:
            dt = min(self._dt, until_s - self.t_s, self._patience())
            dt = max(dt, 1e-3)
            self._advance(dt)
            self._dt = min(LONGEST_S, 2.0 * self._dt, self._allowed())
            self.solution = self._solve()
            self._look()

    def view(self) -> SlowView:
        return SlowView(self.t_s, self.state, self.solution)

    def instant(self) -> CircuitState:
        """The state now, for the transient to take over."""
        turn = self._turn0 + 2.0 * math.pi * self.hz * (self.t_s - self._began_s)
        trapped: Mapping[str, float] = {}
        if self._decay is not None:
            trapped = self._decay.at(self.t_s - self._began_s)
        turns = tuple(
            math.fmod((turn + s.phase_rad) / (2.0 * math.pi), 1.0) for s in self.elements.sources
        )
        base = replace(self.state, t_s=self.t_s, source_turns=turns)
        devices = {n: replace(d, rms=self._rms_of(n, d)) for n, d in base.devices.items()}
        return at_instant(self.solution, replace(base, devices=devices), turn, trapped)

    def rms(self, sense: Sense) -> float:
        """Cycle rms of a sense in the present steady state."""
        if sense.volts is not None:
            return abs(self.solution.volts(*sense.volts))
        return abs(sum(sign * self.solution.amps(name) for name, sign in sense.amps))

    def _rms_of(self, name: str, old: DeviceState) -> float:
        for d in self.elements.devices:
            if d.name == name and isinstance(d, (Coil, Timer)):
                return self.rms(d.sense)
        return old.rms

    def _patience(self) -> float:
        view = self.view()
        waits = [rule.patience_s(view) for rule in self.rules]
        for d in self.elements.devices:
            s = self.state.devices.get(d.name)
            if s is None:
                continue
            if isinstance(d, Thermal):
                waits.append(self._crossing_s(d, s))
            elif isinstance(d, Timer) and not s.values[0] and self._fed(d):
                waits.append(max(d.delay_s - s.values[1], 0.0) + 1e-6)
        return min([w for w in waits if w > 0.0], default=LONGEST_S)

    def _fed(self, d: Timer) -> bool:
        return self.rms(d.sense) >= d.threshold_rms

    def _thermal_end(self, d: Thermal) -> tuple[float, float]:
        """(temperature it heads for, time constant) of a thermal element."""
        around = d.ambient_c
        if d.machine is not None:
            around = self._copper_c(d.machine)
        heat = d.ohms * self.rms(d.sense) ** 2
        return around + heat * d.r_k_per_w, d.c_j_per_k * d.r_k_per_w

    def _copper_c(self, name: str) -> float:
        m = next(m for m in self.elements.machines if m.name == name)
        s = self.state.machines[name]
        c_main, c_aux = m.params.c_main_j_per_k, m.params.c_aux_j_per_k
        return (c_main * s.main_c + c_aux * s.aux_c) / (c_main + c_aux)

    def _crossing_s(self, d: Thermal, s: DeviceState) -> float:
        """Time until a thermal element trips or resets along its exponential."""
        tripped, now = bool(s.values[0]), s.values[1]
        level = d.resets_c if tripped else d.trips_c
        if level is None:
            return math.inf
        end, tau = self._thermal_end(d)
        if (end - level) * (now - level) >= 0.0:
            return math.inf
        return tau * math.log((now - end) / (level - end)) + 1e-6

    def _allowed(self) -> float:
        """Longest step that keeps windings and pressures within their grain."""
        best = LONGEST_S
        for m in self.elements.machines:
            s, point = self.state.machines[m.name], self.solution.machines[m.name]
            p = m.params
            for heat, c, at in (
                (point.main_copper_w, p.c_main_j_per_k, s.main_c),
                (point.aux_copper_w, p.c_aux_j_per_k, s.aux_c),
            ):
                rate = abs(heat - (at - p.ohms_at_c) / p.r_winding_k_per_w) / c
                best = min(best, MOST_K / max(rate, 1e-9))
            rate = self._lift_rate(m, s)
            best = min(best, MOST_LIFT / max(abs(rate), 1e-9))
        for d in self.elements.devices:
            if isinstance(d, Ptc):
                s_ptc = self.state.devices[d.name]
                end, tau = self._ptc_end(d, s_ptc)
                rate = abs(end - s_ptc.values[1]) / tau
                best = min(best, MOST_K / max(rate, 1e-9))
        return best

    def _lift_rate(self, m: Machine, s: MachineState) -> float:
        r = min(1.0, max(0.0, s.speed_rad_s / m.params.synchronous_rad_s(self.hz)))
        if r > 0.05:
            return r * (1.0 - s.lift) / m.load.pull_down_s
        return -s.lift / m.load.equalise_s

    def _ptc_end(self, d: Ptc, s: DeviceState) -> tuple[float, float]:
        resistor = next(r for r in self.elements.resistors if r.name == d.resistor)
        volts = abs(self.solution.volts(resistor.a, resistor.b))
        heat = volts**2 / s.values[0]
        return d.ambient_c + heat * d.r_k_per_w, d.c_j_per_k * d.r_k_per_w

    def _advance(self, dt: float) -> None:
        """Move every slow state on by ``dt``, its drive held as it is."""
        machines = {m.name: self._machine_after(m, dt) for m in self.elements.machines}
        devices = dict(self.state.devices)
        ohms = dict(self.state.resistor_ohms)
        for d in self.elements.devices:
            old = devices.get(d.name)
            if old is None:
                continue
            if isinstance(d, Thermal):
                end, tau = self._thermal_end(d)
                devices[d.name] = _with(old, 1, end + (old.values[1] - end) * math.exp(-dt / tau))
            elif isinstance(d, Ptc):
                end, tau = self._ptc_end(d, old)
                warm = end + (old.values[1] - end) * math.exp(-dt / tau)
                value = ptc_ohms(d, warm)
                ohms[d.resistor] = value
                devices[d.name] = _with(_with(old, 1, warm), 0, value)
            elif isinstance(d, Timer):
                column = 1 if self._fed(d) else 3
                devices[d.name] = _with(old, column, old.values[column] + dt)
        view = self.view()
        for rule in self.rules:
            rule.advance(view, dt)
        self.t_s += dt
        self.state = replace(
            self.state, t_s=self.t_s, machines=machines, devices=devices, resistor_ohms=ohms
        )

    def _machine_after(self, m: Machine, dt: float) -> MachineState:
        s, point, p = self.state.machines[m.name], self.solution.machines[m.name], m.params
        values = []
        for heat, c, at in (
            (point.main_copper_w, p.c_main_j_per_k, s.main_c),
            (point.aux_copper_w, p.c_aux_j_per_k, s.aux_c),
        ):
            end = p.ohms_at_c + heat * p.r_winding_k_per_w
            values.append(end + (at - end) * math.exp(-dt / (c * p.r_winding_k_per_w)))
        speed = self.speeds[m.name]
        s = replace(s, speed_rad_s=speed)
        rate = self._lift_rate(m, s)
        goal = 1.0 if rate > 0.0 else 0.0
        gap = goal - s.lift
        lift = goal - gap * math.exp(-dt * rate / gap) if gap != 0.0 else s.lift
        pocket = mean_pocket(m.load, lift, speed / p.synchronous_rad_s(self.hz))
        return replace(
            s,
            main_c=values[0],
            aux_c=values[1],
            lift=lift,
            pocket=pocket,
            angle_rad=math.fmod(s.angle_rad + speed * dt, 2.0 * math.pi),
        )

    # --- watching ------------------------------------------------------------------------

    def _look(self) -> None:
        """Does anything want to switch? Protection first, then control, then rules."""
        if self.why != "time":
            return
        for d in self.elements.devices:
            s = self.state.devices.get(d.name)
            if s is not None and self._wants(d, s):
                self.why = d.name
                return
        view = self.view()
        asked = [move for rule in self.rules for move in rule.moves(view)]
        self.moves = tuple(m for m in asked if self.state.closed.get(m[0]) != m[1])
        if self.moves:
            self.why = self.moves[0][0]

    def _wants(self, d: object, s: DeviceState) -> bool:
        match d:
            case Coil():
                rms = self.rms(d.sense)
                return rms > d.pickup_rms if not s.values[0] else rms < d.dropout_rms
            case Thermal():
                if s.values[0]:
                    return d.resets_c is not None and s.values[1] < d.resets_c
                return s.values[1] > d.trips_c
            case Timer():
                fed = self._fed(d)
                if s.values[0]:
                    return not fed
                ready = s.values[3] + s.values[1] - d.delay_s >= d.lockout_s
                return fed and s.values[1] >= d.delay_s and ready
        return False


def mean_pocket(load: LoadParams, lift: float, ratio: float) -> float:
    """Filling of a scroll pocket at a steady relative speed (see kernel_machine.pressures)."""
    if ratio <= 0.0:
        return 0.0
    r = min(1.0, ratio)
    share = (1.0 - lift) * (load.at_rest + (load.at_speed - load.at_rest) * r * r) + lift
    return share * min(1.0, 4.0 * r)


def ptc_ohms(d: Ptc, celsius: float) -> float:
    """Resistance of a thermistor at a temperature; see elements.Ptc."""
    if celsius <= d.switch_c:
        return d.cold_ohms
    return min(d.hot_ohms, d.cold_ohms * math.exp(d.b_per_k * (celsius - d.switch_c)))


def _with(s: DeviceState, column: int, value: float) -> DeviceState:
    values = list(s.values)
    values[column] = value
    return replace(s, values=tuple(values))
