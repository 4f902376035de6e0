"""What of a circuit is recorded for a start: the lines a report reads, by fixed names.

A line is there only when the circuit has what it measures. Knows elements and roles; must know
no outcome.
"""

from __future__ import annotations

from collections.abc import Iterator

from trainer.circuit.channels import Channel
from trainer.circuit.elements import (
    Capacitive,
    Coil,
    Elements,
    Machine,
    Ptc,
    Resistor,
    Sense,
    Switch,
    Thermal,
)
from trainer.study.build import Roles

#: Amps out of the supply's legs; out of the compressor's common; through its windings.
LINE = ("line_1", "line_2")
COMMON, MAIN, AUX = "common", "main", "aux"
#: Volts between the compressor's terminals.
V_SC, V_SR, V_CR = "v_sc", "v_sr", "v_cr"
START_CAP_V, START_CAP_A, RUN_CAP_V = "start_capacitor_v", "start_capacitor_a", "run_capacitor_v"
START_CONTACT_A, PTC_V = "start_contact_a", "ptc_v"
#: What the start relay's coil feels (volts, or amps of a current relay), and its cycle rms.
RELAY, RELAY_RMS, CONTACTOR_V = "relay_coil", "relay_coil_rms", "contactor_v"
SPEED, TORQUE = "speed_rad_s", "torque_nm"
#: Volts of the supply's legs to neutral, and from leg to leg.
LEGS = ("leg_1", "leg_2", "leg_to_leg")
MAIN_C, AUX_C = "main_c", "aux_c"
#: Temperature of a device: this and its name.
WARM = "warm:"


def channels_for(elements: Elements, roles: Roles) -> list[Channel]:
    """Everything worth recording about this circuit's start."""
    return [
        *_supply(elements, roles),
        *_compressor(elements, roles),
        *_start_gear(elements, roles),
        *_warm(elements),
    ]


def compressor(elements: Elements, roles: Roles) -> Machine | None:
    """The watched compressor's machine, if the study has one."""
    name = roles.element("compressor", "machine")
    return next((m for m in elements.machines if m.name == name), None)


def start_capacitor(elements: Elements, roles: Roles) -> Capacitive | None:
    name = roles.start_capacitor
    return next((c for c in elements.capacitives if c.name == name), None)


def start_contact(elements: Elements, roles: Roles) -> Switch | None:
    """The contact that takes the start capacitor out; None without start gear."""
    name = roles.start_contact
    return next((s for s in elements.switches if s.name == name), None)


def ptc_pill(elements: Elements, roles: Roles) -> Resistor | None:
    name = roles.element("relay", "pill")
    return next((r for r in elements.resistors if r.name == name), None)


def line_names(elements: Elements, roles: Roles) -> list[str]:
    """The branches that carry the amps of the watched supply's legs."""
    first = roles.element("supply", "line")
    if first is None:
        return []
    return [n for n in (first, f"{first[:-1]}2") if elements.amps_of(n)]


def _amps(*names: str) -> Sense:
    return Sense(amps=tuple((name, 1.0) for name in names))


def _supply(elements: Elements, roles: Roles) -> Iterator[Channel]:
    for name, branch in zip(LINE, line_names(elements, roles), strict=False):
        yield Channel(name, _amps(branch))
    one, two = roles.legs
    if one == two:
        return
    if roles.neutral is not None and roles.neutral not in roles.legs:
        yield Channel(LEGS[0], Sense(volts=(one, roles.neutral)))
        yield Channel(LEGS[1], Sense(volts=(two, roles.neutral)))
    yield Channel(LEGS[2], Sense(volts=(one, two)))


def _compressor(elements: Elements, roles: Roles) -> Iterator[Channel]:
    machine = compressor(elements, roles)
    if machine is None:
        return
    m = machine.name
    yield Channel(COMMON, _amps(f"{m}.main", f"{m}.aux"))
    yield Channel(MAIN, _amps(f"{m}.main"))
    yield Channel(AUX, _amps(f"{m}.aux"))
    for name, a, b in ((V_SC, "S", "C"), (V_SR, "S", "R"), (V_CR, "C", "R")):
        ends = roles.at("compressor", a), roles.at("compressor", b)
        if ends[0] is not None and ends[1] is not None:
            yield Channel(name, Sense(volts=(ends[0], ends[1])))
    yield Channel(SPEED, machine=m, quantity="speed_rad_s")
    yield Channel(TORQUE, machine=m, quantity="torque_nm")
    yield Channel(MAIN_C, machine=m, quantity="main_c")
    yield Channel(AUX_C, machine=m, quantity="aux_c")


def _start_gear(elements: Elements, roles: Roles) -> Iterator[Channel]:
    can = start_capacitor(elements, roles)
    if can is not None:
        yield Channel(START_CAP_V, capacitor=can.name)
        yield Channel(START_CAP_A, _amps(can.name))
    run = roles.element("run_capacitor", "capacitor")
    if run is not None:
        yield Channel(RUN_CAP_V, capacitor=run)
    contact = start_contact(elements, roles)
    if contact is not None:
        yield Channel(START_CONTACT_A, _amps(contact.name))
    pill = ptc_pill(elements, roles)
    if pill is not None:
        yield Channel(PTC_V, Sense(volts=(pill.a, pill.b)))
    yield from _coils(elements, roles)


def _coils(elements: Elements, roles: Roles) -> Iterator[Channel]:
    relay, contactor = roles.element("relay", "relay"), roles.element("contactor", "coil")
    for device in elements.devices:
        if isinstance(device, Coil) and device.name == relay:
            yield Channel(RELAY, device.sense)
            yield Channel(RELAY_RMS, device=device.name)
        elif isinstance(device, Coil) and device.name == contactor:
            yield Channel(CONTACTOR_V, device.sense)


def _warm(elements: Elements) -> Iterator[Channel]:
    for device in elements.devices:
        if isinstance(device, Thermal | Ptc):
            yield Channel(WARM + device.name, device=device.name)
