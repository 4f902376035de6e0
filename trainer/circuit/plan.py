"""Lays a circuit out as the arrays that the compiled kernel steps.

Knows channels, senses and devices; what each kind of element writes is in arrays.py, the column
names in layout.py. Does no physics. Numbers of ports: inductives, then capacitives, then main
and auxiliary winding of each machine.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

import numpy as np

from trainer.base.errors import TrainerError
from trainer.circuit import layout as lay
from trainer.circuit.arrays import (
    contact_arrays,
    iron_amps,
    machine_arrays,
    network_arrays,
    port_arrays,
    records,
    stamp,
    state_arrays,
    stretch_arrays,
)
from trainer.circuit.channels import Channel
from trainer.circuit.devices import DeviceTable, lay_devices, remembered_sources
from trainer.circuit.elements import Elements
from trainer.circuit.probes import Place, Probes, padded
from trainer.circuit.state import CircuitState, MachineState

#: Events that one call of the kernel has room for; whoever calls it makes more.
EVENT_ROWS = 2000
MOST_CONTACTS = 62
MOST_MACHINES = 4
#: Each device owns one bit of a contact's reasons to be open.
MOST_DEVICES = 60
DEFAULT_HZ = 60.0


def steps_for(hz: float, about_s: float = 50e-6) -> int:
    """Steps per cycle: the multiple of TICKS_PER_CYCLE nearest to ``about_s`` a step."""
    return lay.TICKS_PER_CYCLE * max(1, round(1.0 / (hz * about_s * lay.TICKS_PER_CYCLE)))


@dataclass
class Plan:
    """The arrays, and where each named thing is in them."""

    core: lay.Core
    network: lay.Network
    elements: Elements
    devices: DeviceTable
    hz: float
    recorded: np.ndarray  # what each channel records
    probes: Probes
    winding_heat: bool = True

    @property
    def step_s(self) -> float:
        return float(self.core.sizes["step_s"])


def port_names(elements: Elements) -> dict[str, int]:
    """Number of each port by element name; windings are ``machine.main`` and ``machine.aux``."""
    names: dict[str, int] = {}
    for inductive in elements.inductives:
        names[inductive.name] = len(names)
    for capacitive in elements.capacitives:
        names[capacitive.name] = len(names)
    for machine in elements.machines:
        names[f"{machine.name}.main"] = len(names)
        names[f"{machine.name}.aux"] = len(names)
    return names


def make_plan(
    elements: Elements,
    channels: list[Channel],
    *,
    steps_per_cycle: int | None = None,
    state: CircuitState | None = None,
    winding_heat: bool = True,
) -> Plan:
    """Arrays for one circuit. Raises TrainerError when it is larger than the kernel takes."""
    check_size(elements)
    hz = elements.sources[0].hz if elements.sources else DEFAULT_HZ
    per_cycle = steps_per_cycle or steps_for(hz)
    if per_cycle % lay.TICKS_PER_CYCLE:
        raise TrainerError(f"steps per cycle must be a multiple of {lay.TICKS_PER_CYCLE}")
    h = 1.0 / (hz * per_cycle)
    probes = Probes(elements, port_names(elements))
    devices = lay_devices(elements, probes)
    places = lay_channels(elements, channels, probes, devices)
    probes.settle()
    sizes = lay_sizes(elements, probes, per_cycle // lay.TICKS_PER_CYCLE, devices, h)
    p, wide = int(sizes["ports"]), int(sizes["wide"])
    core = lay.Core(
        sizes=sizes,
        tally=np.zeros(1, dtype=lay.TALLY)[0],
        contacts=contact_arrays(elements, probes.contact_columns()),
        **port_arrays(elements, h, p),
        **machine_arrays(elements, hz, winding_heat),
        **state_arrays(p, wide),
        **stretch_arrays(elements, p, wide, int(sizes["per_tick"])),
        **devices.arrays(probes),
        cycle=np.zeros((2, p + len(elements.machines))),
        events=np.zeros(EVENT_ROWS, dtype=lay.EVENT),
    )
    core.tally["restart"] = lay.WHOLE  # the first step starts damped: port volts are not known yet
    core.tally["loads"] = core.tally["stale"] = 1
    network = network_arrays(elements, probes)
    rows = record_rows(places, probes)
    plan = Plan(core, network, elements, devices, hz, rows, probes, winding_heat)
    start_contacts(plan)
    if state is not None:
        restore(plan, state)
    return plan


def check_size(elements: Elements) -> None:
    """Refuse what the kernel has no room for, in words."""
    if len(elements.switches) > MOST_CONTACTS:
        raise TrainerError(
            f"this circuit has {len(elements.switches)} contacts; "
            f"at most {MOST_CONTACTS} are solved",
            hint="leave out parts that take no part in the start",
        )
    if len(elements.devices) > MOST_DEVICES:
        raise TrainerError(
            f"this circuit has {len(elements.devices)} devices; at most {MOST_DEVICES} are solved",
            hint="leave out parts that take no part in the start",
        )
    if len(elements.machines) > MOST_MACHINES:
        raise TrainerError(f"at most {MOST_MACHINES} motors can be solved together")


def lay_sizes(
    elements: Elements, probes: Probes, per_tick: int, devices: DeviceTable, step_s: float
) -> np.void:
    """How many there are of everything."""
    sizes = {
        "inductives": len(elements.inductives),
        "capacitives": len(elements.capacitives),
        "machines": len(elements.machines),
        "ports": padded(len(probes.ports)),
        "seen": probes.seen,
        "wide": probes.wide,
        "per_tick": per_tick,
        "watch": devices.watch(),
        "books": True,
        "step_s": step_s,
    }
    return cast(np.void, records(lay.SIZES, [sizes])[0])


#: A kind of record, and up to two numbers; a place has its column once probes are settled.
Recorded = tuple[int, int | Place]


def lay_channels(
    elements: Elements, channels: list[Channel], probes: Probes, devices: DeviceTable
) -> list[Recorded]:
    """Where each channel is found."""
    machines = [m.name for m in elements.machines]
    capacitors = [c.name for c in elements.capacitives]
    found: list[Recorded] = []
    for ch in channels:
        if ch.sense is not None:
            found.append((lay.REC_READING, probes.recorded(probes.sense(ch.sense))))
        elif ch.machine is not None and ch.quantity is not None:
            found.append(_of_machine(machines.index(ch.machine), ch.quantity))
        elif ch.capacitor is not None:
            found.append((lay.REC_PLATES, capacitors.index(ch.capacitor)))
        else:
            found.append((lay.REC_DEVICE, devices.index(cast(str, ch.device))))
    return found


def _of_machine(m: int, quantity: str) -> Recorded:
    if quantity in ("main_c", "aux_c"):
        return lay.REC_WARM, 2 * m + (quantity == "aux_c")
    kinds = {
        "speed_rad_s": lay.REC_SPEED,
        "torque_nm": lay.REC_TORQUE,
        "angle_rad": lay.REC_ANGLE,
        "lift": lay.REC_LIFT,
    }
    return kinds[quantity], m


def record_rows(places: list[Recorded], probes: Probes) -> np.ndarray:
    """What ``lay_channels`` found, as the kernel reads it."""
    rows = [
        (kind, probes.column(where) if isinstance(where, Place) else where)
        for kind, where in places
    ]
    return np.array(rows, dtype=lay.RECORDED)


def start_contacts(plan: Plan) -> None:
    """Reasons to be open at the beginning: the hand's, and those of devices at rest."""
    contacts = plan.core.contacts
    driven = plan.devices.driven_shut()
    for s, switch in enumerate(plan.elements.switches):
        if not switch.closed and s not in driven:
            contacts["reasons"][s] |= 1 << lay.HAND_BIT
    plan.devices.at_rest(plan.core)
    contacts["closed"] = contacts["reasons"] == 0


def restore(plan: Plan, state: CircuitState) -> None:
    """Put a remembered state into the arrays; names it does not mention stay as they are."""
    core, elements = plan.core, plan.elements
    amps, plates = core.amps[lay.LAST_ROW], core.caps[lay.LAST_ROW]
    for j, inductive in enumerate(elements.inductives):
        amps[j] = state.inductive_a.get(inductive.name, amps[j])
    for j, cap in enumerate(elements.capacitives):
        plates[j] = state.capacitor_v.get(cap.name, plates[j])
    for m, machine in enumerate(elements.machines):
        if machine.name in state.machines:
            restore_machine(core, m, state.machines[machine.name])
    for switch, contact in zip(elements.switches, core.contacts, strict=True):
        if switch.name in state.reasons:
            held = state.reasons[switch.name]
            contact["reasons"] = plan.devices.taken_over(held, state.holders)
        contact["closed"] = state.closed.get(switch.name, contact["closed"])
        contact["welded"] = switch.name in state.welded
    driven = remembered_sources(elements, state)
    rows = zip(state.source_turns, state.source_peak, state.source_hz, strict=True)
    for q, (turns, peak, hz) in enumerate(rows):
        core.sources["turns"][q] = turns
        if q in driven:
            core.sources["peak"][q], core.sources["hz"][q] = peak, hz
    for resistor, r in zip(elements.resistors, plan.network.resistors, strict=True):
        if resistor.name in state.resistor_ohms:
            siemens = 1.0 / state.resistor_ohms[resistor.name]
            stamp(plan.network.g_static, resistor.a, resistor.b, siemens - r["siemens"])
            r["siemens"] = siemens
    plan.devices.restore(core, state.devices)


def restore_machine(core: lay.Core, m: int, s: MachineState) -> None:
    """Fluxes, shaft, heat and pressures of one machine."""
    axes, machine = core.axes[2 * m : 2 * m + 2], core.machines[m]
    flux, shaft = core.flux[lay.LAST_ROW, 2 * m : 2 * m + 2], core.shaft[lay.LAST_ROW, m]
    shaft["speed"], shaft["angle"] = s.speed_rad_s, s.angle_rad
    flux["stator"] = s.flux_main, s.flux_aux
    flux["rotor"] = s.flux_rotor_main, s.flux_rotor_aux
    flux["speed_v"] = axes["turns"] * s.speed_rad_s * flux["rotor"][::-1]
    flux["speed_v2"] = flux["speed_v"]
    flux["extra"] = flux["felt"] = iron_amps(axes, machine, flux)
    axes["warm_c"] = axes["last_c"] = s.main_c, s.aux_c
    machine["lift"], machine["pocket"] = s.lift, s.pocket
