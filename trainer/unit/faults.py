"""The table of faults: each is a change of wiring, of a part's values or of a joint, nothing else.

What a fault does to currents and volts is the circuit's business; no outcome is written here.
Knows changes of a unit; must know no solver, no reading and no mark.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from trainer.base.errors import NotFoundError, TrainerError, quoted
from trainer.unit.changes import (
    add,
    alter,
    ends_on,
    far_end_to,
    first_on,
    join,
    lift,
    remake,
    swap,
    the,
)
from trainer.unit.circuit import parts_of
from trainer.unit.state import Unit

Change = Callable[[Unit], Unit]

#: Values of planted conditions; every one is invented.
PITTED_OHMS = "0.5 ohm"
TOUCH_OHMS = 0.05
#: A screw hole empties a small circuit in minutes.
HOLE = "120 s"
#: An open coil as the parts know it: volts and gigohms so far up that it neither draws nor moves.
OPEN_COIL = {"coil": "5000 V", "coil_resistance": "1000 Mohm"}


@dataclass(frozen=True)
class Fault:
    """A planted condition and the change that makes it; ``kind`` wiring, part or supply."""

    name: str
    kind: str
    change: Change


def plant(unit: Unit, fault: str) -> Unit:
    """The unit with one fault. Raises TrainerError when the unit has not what it takes."""
    if fault not in FAULTS:
        raise NotFoundError(f"there is no fault {quoted(fault)}", hint="F01 to F60")
    return FAULTS[fault].change(unit)


def swapped(kinds: tuple[str, ...], one: str, other: str) -> Change:
    """Two terminals of a part exchanged."""

    def change(unit: Unit) -> Unit:
        name = the(unit, *kinds)
        return swap(unit, f"{name}.{one}", f"{name}.{other}")

    return change


def altered(kinds: tuple[str, ...], **fields: Any) -> Change:
    """A part with other values."""
    return lambda unit: alter(unit, the(unit, *kinds), **fields)


def lifted(kinds: tuple[str, ...], terminal: str) -> Change:
    """Every conductor off a terminal."""
    return lambda unit: lift(unit, f"{the(unit, *kinds)}.{terminal}")


def moved(kinds: tuple[str, ...], terminal: str, goal: str) -> Change:
    """The far end of a terminal's conductor on the contactor's ``goal`` instead."""

    def change(unit: Unit) -> Unit:
        return far_end_to(
            unit, f"{the(unit, *kinds)}.{terminal}", f"{the(unit, 'contactor')}.{goal}"
        )

    return change


def _between(unit: Unit, one: str, other: str) -> tuple[str, str]:
    """(tag, side on ``one``) of a conductor between two terminals."""
    far = {tag for tag, _ in ends_on(unit, other)}
    return next(((t, s) for t, s in ends_on(unit, one) if t in far), first_on(unit, one))


def can_feed_off(unit: Unit) -> Unit:
    can, contactor = the(unit, "dual_capacitor"), the(unit, "contactor")
    tag, side = _between(unit, f"{can}.C", f"{contactor}.T2")
    return unit.with_conductor(unit.conductors[tag].with_end(side, on=None))  # type: ignore[arg-type]


def fan_after_starter(unit: Unit) -> Unit:
    fan, starter = the(unit, "fan_motor"), the(unit, "soft_starter")
    return far_end_to(unit, f"{fan}.1", f"{starter}.OUT")


def gear_left_in(unit: Unit) -> Unit:
    """Relay and start capacitor as they were before the starter was cut into the common."""
    can, starter = the(unit, "dual_capacitor"), the(unit, "soft_starter")
    relay = ("G1", "pr.5", f"{starter}.OUT:a"), ("G2", "pr.2", f"{can}.H:b")
    unit = add(unit, "pr", "potential-relay-C", *relay)
    return add(unit, "sc", "start-88-108", ("G3", "pr.1", "sc.1"), ("G4", "sc.2", f"{can}.C:c"))


def heater_after_retrofit(unit: Unit) -> Unit:
    contactor, heater = the(unit, "contactor"), the(unit, "crankcase_heater")
    unit = alter(unit, contactor, "contactor-2p-30")
    return far_end_to(unit, f"{heater}.2", f"{contactor}.T1")


def ground_off(unit: Unit) -> Unit:
    return lift(unit, f"{the(unit, 'disconnect')}.PE")


def line_on_control(unit: Unit) -> Unit:
    contactor = the(unit, "contactor")
    return join(unit, f"{contactor}.T1", f"{contactor}.A1", TOUCH_OHMS)


def y_on_chassis(unit: Unit) -> Unit:
    indoor = the(unit, "thermostat_supply")
    unit = alter(unit, indoor, secondary_grounded=True)
    return join(unit, f"{the(unit, 'contactor')}.A1", "chassis", TOUCH_OHMS)


def strand_bridge(unit: Unit) -> Unit:
    """Too much bared at FAN with a strand astray: it lies against HERM of the same can."""
    return remake(unit, f"{the(unit, 'dual_capacitor')}.F", strands="stray", stripped_mm=30.0)


def two_under_a_screw(unit: Unit) -> Unit:
    """The compressor's lead joins the fan's under the T1 screw: the second is not held."""
    contactor, comp = the(unit, "contactor"), the(unit, "compressor")
    tag, side = _between(unit, f"{contactor}.T1", f"{comp}.C")
    fan_tag, fan_side = _between(unit, f"{contactor}.T1", f"{the(unit, 'fan_motor')}.1")
    bare = {"on": f"{contactor}.T1", "fitting": "none", "crimp": "none"}
    unit = unit.with_conductor(unit.conductors[fan_tag].with_end(fan_side, **bare, torque_nm=2.5))  # type: ignore[arg-type]
    return unit.with_conductor(unit.conductors[tag].with_end(side, **bare, torque_nm=None))  # type: ignore[arg-type]


def leg_lost(unit: Unit) -> Unit:
    return lift(unit, f"{the(unit, 'breaker')}.2i")


def inverter_for_generator(unit: Unit) -> Unit:
    """Too small an inverter where the generator stood."""
    return alter(unit, the(unit, "generator"), "inverter-8", rating="3 kVA")


def turning_back(unit: Unit) -> Unit:
    """A scroll that standing pressure drives backwards at the moment power returns."""
    name = the(unit, "compressor")
    machines = dict(unit.electrics.machines)
    was = machines[name]
    machines[name] = replace(was, speed_rad_s=-300.0, lift=1.0)
    return replace(unit, electrics=replace(unit.electrics, machines=machines), settled=False)


CAN, COMP, FAN, RELAY = ("dual_capacitor",), ("compressor",), ("fan_motor",), ("potential_relay",)
SC, PTC, CT, SX = ("start_capacitor",), ("ptc",), ("contactor",), ("soft_starter",)
INDOOR, BOARD, TIMER, VALVE = (
    ("thermostat_supply",), ("defrost_control",), ("delay_timer",), ("reversing_valve",),
)  # fmt: skip
SERVICE = ("split_phase_service",)


#: Limits so far off that the switch is open at standing pressure: opens_at, closes_at. Invented.
STUCK = {"high": ("1000 kPa", "800 kPa"), "low": ("2000 kPa", "2200 kPa")}


def _switch_open(unit: Unit, side: str) -> Unit:
    """The pressure switch of one side found open, and staying so at the pressures there are."""
    opens, closes = STUCK[side]
    for name, part in parts_of(unit.parts).items():
        if getattr(part, "kind", "") == "pressure_switch" and getattr(part, "on", "") == side:
            return alter(unit, name, closed=False, opens_at=opens, closes_at=closes)
    raise TrainerError(f"this unit has no {side}-pressure switch", hint="another layout")


def _pierced(unit: Unit) -> Unit:
    """A screw through the coil of a unit whose low-pressure switch will feel it."""
    if not any(getattr(p, "on", "") == "low" for p in parts_of(unit.parts).values()):
        raise TrainerError("this unit has no low-pressure switch", hint="another layout")
    return alter(unit, the(unit, "compressor"), leak=HOLE)


FAULTS: dict[str, Fault] = {
    "F01": Fault("C and S swapped", "wiring", swapped(COMP, "C", "S")),
    "F02": Fault("R and S swapped", "wiring", swapped(COMP, "R", "S")),
    "F03": Fault("C and R swapped", "wiring", swapped(COMP, "C", "R")),
    "F04": Fault("HERM and FAN swapped", "wiring", swapped(CAN, "H", "F")),
    "F05": Fault("fan ends 1 and 2 crossed", "wiring", swapped(FAN, "1", "2")),
    "F06": Fault("capacitor C wire off", "wiring", can_feed_off),
    "F07": Fault("relay 5 and 2 swapped", "wiring", swapped(RELAY, "5", "2")),
    "F08": Fault("relay 1 and 2 swapped", "wiring", swapped(RELAY, "1", "2")),
    "F09": Fault("relay 5 off", "wiring", lifted(RELAY, "5")),
    "F10": Fault("relay 5 on the R leg", "wiring", moved(RELAY, "5", "T2")),
    "F11": Fault("start capacitor returned to leg A", "wiring", moved(SC, "2", "T1")),
    "F12": Fault("thermistor across S and C", "wiring", moved(PTC, "a", "T1")),
    "F13": Fault("fan fed after the soft starter", "wiring", fan_after_starter),
    "F14": Fault("soft starter IN and OUT reversed", "wiring", swapped(SX, "IN", "OUT")),
    "F15": Fault("old start gear left in", "wiring", gear_left_in),
    "F16": Fault("line on a 24 V point", "wiring", line_on_control),
    "F17": Fault("O and Y swapped", "wiring", swapped(INDOOR, "O", "Y")),
    "F18": Fault("defrost fan contact bypassed", "wiring", altered(BOARD, fan_contact_welded=True)),
    "F19": Fault("heater dead after a two-pole retrofit", "wiring", heater_after_retrofit),
    "F20": Fault("equipment ground not landed", "wiring", ground_off),
    "F21": Fault("HERM section open", "part", altered(CAN, herm_condition="open")),
    "F22": Fault("HERM section weak", "part", altered(CAN, herm="26 uF")),
    "F23": Fault("HERM section shorted", "part", altered(CAN, herm_condition="shorted")),
    "F24": Fault("FAN section open", "part", altered(CAN, fan_condition="open")),
    "F25": Fault("start capacitor open", "part", altered(SC, condition="open")),
    "F26": Fault("start capacitor shorted", "part", altered(SC, condition="shorted")),
    "F27": Fault("relay contact stuck open", "part", altered(RELAY, contact_found="stuck_open")),
    "F28": Fault("relay contact welded", "part", altered(RELAY, contact_found="welded")),
    "F29": Fault("relay coil open", "part", altered(RELAY, coil_found="open")),
    "F30": Fault("relay of too low a class", "part", altered(RELAY, relay_class="A")),
    "F31": Fault("thermistor open", "part", altered(PTC, found="open")),
    "F32": Fault("thermistor still hot", "part", altered(PTC, temperature="170 degC")),
    "F33": Fault("thermistor shorted", "part", altered(PTC, found="shorted")),
    "F34": Fault("contactor coil open", "part", altered(
        CT, **OPEN_COIL, sealed="0.01 VA", inrush="0.011 VA", pickup="4000 V", dropout="3000 V")),
    "F35": Fault("contactor welded", "part", altered(CT, welded="both")),
    "F36": Fault("pitted pole", "part", altered(CT, first_contact=PITTED_OHMS)),
    "F37": Fault("chatter: too small a transformer", "part", altered(INDOOR, rating="8 VA")),
    "F38": Fault("start winding open", "part", altered(COMP, found="aux_open")),
    "F39": Fault("run winding open", "part", altered(COMP, found="main_open")),
    "F40": Fault("internal protector open", "part", altered(COMP, found="overload_open")),
    "F41": Fault("winding to shell", "part", altered(
        COMP, insulation="2 ohm", insulation_at="main_end")),
    "F42": Fault("locked rotor", "part", altered(COMP, load={"locked": True})),
    "F43": Fault("fan seized", "part", altered(FAN, seized=True)),
    "F44": Fault("high-pressure switch open", "part", lambda unit: _switch_open(unit, "high")),
    "F45": Fault("low-pressure switch open", "part", lambda unit: _switch_open(unit, "low")),
    "F46": Fault("timer dead", "part", altered(TIMER, delay="10000000 s")),
    "F47": Fault("defrost sensor off", "part", lifted(("coil_sensor",), "1")),
    "F48": Fault("reversing valve coil open", "part", altered(
        VALVE, **OPEN_COIL, volt_amps="0.01 VA")),
    "F49": Fault("loose spade on R", "wiring", lambda unit: remake(
        unit, f"{the(unit, 'compressor')}.R", seated=0.3)),
    "F50": Fault("low volts on starting", "supply", altered(
        SERVICE, transformer="3 kVA", length="200 ft")),
    "F51": Fault("leg lost", "supply", leg_lost),
    "F52": Fault("high volts", "supply", altered(SERVICE, volts="270 V")),
    "F53": Fault("generator droops", "supply", altered(("generator",), rating="4 kVA")),
    "F54": Fault("inverter limits", "supply", inverter_for_generator),
    "F55": Fault("a dip reversed the scroll", "supply", turning_back),
    "F56": Fault("Y to chassis", "wiring", y_on_chassis),
    "F57": Fault("strand bridge", "wiring", strand_bridge),
    "F58": Fault("two conductors under one screw", "wiring", two_under_a_screw),
    "F59": Fault("a screw in the coil", "part", _pierced),
    "F60": Fault("leakage to ground", "part", altered(COMP, insulation="15 kohm")),
}  # fmt: skip
