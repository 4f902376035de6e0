"""States of a unit that take minutes and move its contacts: pressure, shell heat, frost.

Small models for drill, not refrigeration: pressures follow how far the compressor has parted
them and whether the fan turns; frost is a coil that gets cold while the unit heats. Each rule
reads the running unit and says which contact should stand otherwise. Knows parts and the
running layer's view; must know no report.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from trainer.circuit.dead import Dead, ohms
from trainer.circuit.elements import Elements
from trainer.circuit.running import SlowRule, SlowView
from trainer.parts.heatpump import CoilSensor, DefrostControl
from trainer.parts.motors import Compressor
from trainer.parts.part import Part
from trainer.parts.resistive import CrankcaseHeater
from trainer.parts.safeties import PressureSwitch

#: Gauge pressures of the order of R410A: equalised near 24 degC; suction at 45 degF and
#: discharge at 115 degF saturated are about 130 and 390 psi (from memory). [Pa]
EQUAL_PA, SUCTION_PA, DISCHARGE_PA = 1.45e6, 0.90e6, 2.69e6
#: With the fan standing the discharge side goes this much further. Invented.
STILL_FAN = 2.4
#: Share of the charge below which no liquid is left, so that even standing pressure falls.
#: Invented, of the order of vapour against liquid density in such a circuit.
ALL_VAPOUR = 0.15
#: Pressures follow their goal with this time constant. Invented. [s]
PRESSURE_S = 30.0
#: Shell: towards ambient, ambient + this while running, + this per watt of heater. Invented.
SHELL_S, RUNNING_K, HEATER_K_PER_W = 2400.0, 35.0, 0.5
AMBIENT_C = 25.0
#: Outdoor coil in heating, and in defrost, and how fast. Invented.
FROST_C, FROST_S, THAW_C, THAW_S = -8.0, 900.0, 40.0, 200.0
#: A rule looks again after this at the latest. [s]
LOOK_S = 60.0
#: A coil with more amps than this is energised. Invented, far under any 24 V coil.
ENERGISED_A = 0.05


def turning(view: SlowView, machine: str | None) -> bool:
    """Whether a shaft turns forward at more than a crawl."""
    return machine is not None and view.state.machines[machine].speed_rad_s > 10.0


def towards(now: float, goal: float, tau_s: float, dt_s: float) -> float:
    """First-order approach to a goal."""
    return goal + (now - goal) * math.exp(-dt_s / tau_s)


def reaches_s(now: float, goal: float, level: float, tau_s: float) -> float:
    """When a first-order approach passes a level; LOOK_S at the most."""
    if (goal - level) * (now - level) >= 0.0:
        return LOOK_S
    return min(LOOK_S, tau_s * math.log((now - goal) / (level - goal)) + 1e-3)


class PressureRule:
    """One pressure switch on the side of the machine it watches.

    ``charge`` is the share of refrigerant left; through a hole it goes with ``leak_s``. What is
    drawn up by the compressor and what it adds go down with the charge, standing pressure only
    when no liquid is left.
    """

    def __init__(
        self,
        contact: str,
        switch: PressureSwitch,
        compressor: str | None,
        fan: str | None,
        leak_s: float = math.inf,
    ) -> None:
        self.contact, self.high = contact, switch.on == "high"
        self.opens, self.closes = switch.limits
        self.compressor, self.fan = compressor, fan
        self.leak_s = leak_s
        self.pressure_pa = EQUAL_PA
        self.charge = 1.0

    def goal(self, view: SlowView) -> float:
        """Where the pressure heads [Pa gauge]."""
        standing = EQUAL_PA * min(1.0, self.charge / ALL_VAPOUR)
        if not turning(view, self.compressor) or self.compressor is None:
            return standing
        lift = view.state.machines[self.compressor].lift
        if not self.high:
            return standing + lift * (SUCTION_PA * self.charge - standing)
        still = self.fan is not None and not turning(view, self.fan)
        more = (DISCHARGE_PA - EQUAL_PA) * (STILL_FAN if still else 1.0)
        return standing + lift * more * self.charge

    def advance(self, view: SlowView, dt_s: float) -> None:
        self.charge *= math.exp(-dt_s / self.leak_s)
        self.pressure_pa = towards(self.pressure_pa, self.goal(view), PRESSURE_S, dt_s)

    def moves(self, view: SlowView) -> tuple[tuple[str, bool], ...]:
        beyond = (self.pressure_pa > self.opens) if self.high else (self.pressure_pa < self.opens)
        back = (self.pressure_pa < self.closes) if self.high else (self.pressure_pa > self.closes)
        return switch_if(view, self.contact, opens=beyond, closes=back)

    def patience_s(self, view: SlowView) -> float:
        level = self.opens if view.state.closed.get(self.contact, True) else self.closes
        return reaches_s(self.pressure_pa, self.goal(view), level, PRESSURE_S)


class HeaterRule:
    """The thermostat of a crankcase heater on the compressor's shell."""

    def __init__(self, name: str, heater: CrankcaseHeater, compressor: str | None) -> None:
        self.name, self.heater, self.compressor = name, heater, compressor
        self.contact = f"{name}~contact"
        self.shell_c = AMBIENT_C if heater.closed is False else heater.closes_below

    def goal(self, view: SlowView) -> float:
        goal = AMBIENT_C + (RUNNING_K if turning(view, self.compressor) else 0.0)
        if view.solution is not None:
            goal += HEATER_K_PER_W * view.solution.power(self.name)
        return goal

    def advance(self, view: SlowView, dt_s: float) -> None:
        self.shell_c = towards(self.shell_c, self.goal(view), SHELL_S, dt_s)

    def moves(self, view: SlowView) -> tuple[tuple[str, bool], ...]:
        warm = self.shell_c > self.heater.opens_above
        cold = self.shell_c < self.heater.closes_below
        return switch_if(view, self.contact, opens=warm, closes=cold)

    def patience_s(self, view: SlowView) -> float:
        shut = view.state.closed.get(self.contact, True)
        level = self.heater.opens_above if shut else self.heater.closes_below
        return reaches_s(self.shell_c, self.goal(view), level, SHELL_S)


class DefrostRule:
    """The board's clock and what its sensor tells it; the coil frosts while the unit heats.

    The board reads its sensor through the wiring: ohms between d1 and d2 as they are. A sensor
    that is off or open reads colder than any coil, so the board defrosts by the clock and ends
    by the clock.
    """

    def __init__(
        self,
        name: str,
        board: DefrostControl,
        elements: Elements,
        sensors: Mapping[str, CoilSensor],
        valve_coil: str | None,
        compressor: str | None,
    ) -> None:
        self.name, self.board, self.elements = name, board, elements
        self.sensors, self.valve_coil, self.compressor = sensors, valve_coil, compressor
        self.coil_c = AMBIENT_C
        self.clock_s = 0.0
        self.defrosting = board.defrosting

    def heats(self, view: SlowView) -> bool:
        """An O valve is energised in cooling, so a valve without current heats."""
        if not turning(view, self.compressor) or view.solution is None:
            return False
        if self.valve_coil is None:
            return True
        return abs(view.solution.amps(self.valve_coil)) < ENERGISED_A

    def advance(self, view: SlowView, dt_s: float) -> None:
        if not turning(view, self.compressor):
            self.coil_c = towards(self.coil_c, AMBIENT_C, FROST_S, dt_s)
            return
        goal, tau = (FROST_C, FROST_S) if self.heats(view) else (THAW_C, THAW_S)
        self.coil_c = towards(self.coil_c, goal, tau, dt_s)
        self.clock_s += dt_s

    def sensed_c(self, view: SlowView) -> float:
        """Coil temperature as the board reads it through the wiring [deg C]."""
        now = {name: sensor.ohms(self.coil_c) for name, sensor in self.sensors.items()}
        dead = Dead(self.elements, view.state.closed, ohms=now)
        nodes = (self.elements.node(f"{self.name}.d1"), self.elements.node(f"{self.name}.d2"))
        read = ohms(dead, *nodes).value
        sensor = next(iter(self.sensors.values()), CoilSensor())
        if read is None or not math.isfinite(read) or read <= 0.0:
            return -273.0
        inverse = 1.0 / 298.15 + math.log(read / sensor.at_25_degc) / sensor.beta
        return 1.0 / inverse - 273.15

    def moves(self, view: SlowView) -> tuple[tuple[str, bool], ...]:
        due = self.clock_s >= (self.board.longest if self.defrosting else self.board.interval)
        if not self.defrosting:
            if not due:
                return ()
            self.clock_s = 0.0
            if not self.heats(view) or self.sensed_c(view) > self.board.begins_below:
                return ()
            self.defrosting = True
            return self.board.hand(self.name)["defrost"]
        if due or self.sensed_c(view) > self.board.ends_above:
            self.defrosting, self.clock_s = False, 0.0
            return self.board.hand(self.name)["end_defrost"]
        return ()

    def patience_s(self, view: SlowView) -> float:
        wait = (self.board.longest if self.defrosting else self.board.interval) - self.clock_s
        return min(max(wait, 1e-3), 5.0 if self.defrosting else LOOK_S)


def switch_if(
    view: SlowView, contact: str, *, opens: bool, closes: bool
) -> tuple[tuple[str, bool], ...]:
    """The move of one contact with hysteresis, if it stands otherwise now."""
    shut = view.state.closed.get(contact, True)
    if opens and shut:
        return ((contact, False),)
    if closes and not shut:
        return ((contact, True),)
    return ()


def leaking_s(part: Part) -> float:
    """Time constant with which a compressor's circuit loses its charge; inf when it is tight."""
    leak = part.leak if isinstance(part, Compressor) else None
    return math.inf if leak is None else leak


def rules_of(
    parts: Mapping[str, Part],
    elements: Elements,
    compressor: str | None,
    fan: str | None = None,
) -> list[SlowRule]:
    """Every slow rule of these parts; ``compressor`` and ``fan`` name what they watch."""
    sensors = {n: p for n, p in parts.items() if isinstance(p, CoilSensor)}
    valves = [n for n, p in parts.items() if p.role == "reversing_valve"]
    found: list[SlowRule] = []
    for name in parts:
        rule = _rule(name, parts, elements, compressor, fan, sensors, valves)
        if rule is not None:
            found.append(rule)
    return found


def _rule(
    name: str,
    parts: Mapping[str, Part],
    elements: Elements,
    compressor: str | None,
    fan: str | None,
    sensors: Mapping[str, CoilSensor],
    valves: list[str],
) -> SlowRule | None:
    part = parts[name]
    if isinstance(part, PressureSwitch):
        leak_s = leaking_s(parts[compressor]) if compressor else math.inf
        return PressureRule(f"{name}~contact", part, compressor, fan, leak_s)
    if isinstance(part, CrankcaseHeater) and part.thermostat:
        return HeaterRule(name, part, compressor)
    if isinstance(part, DefrostControl):
        valve = f"{valves[0]}~coil" if valves else None
        return DefrostRule(name, part, elements, sensors, valve, compressor)
    return None
