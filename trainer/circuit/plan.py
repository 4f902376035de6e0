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
    ints,
    iron_amps,
    machine_arrays,
    moving_arrays,
    network_arrays,
    port_arrays,
    stamp,
    state_arrays,
)
from trainer.circuit.channels import Channel
from trainer.circuit.devices import DeviceTable, lay_devices
from trainer.circuit.elements import Elements, Sense
from trainer.circuit.state import CircuitState, MachineState

MOST_EVENTS = 20000
MOST_CONTACTS = 62
MOST_MACHINES = 4
#: Each device owns one bit of a contact's reasons to be open.
MOST_DEVICES = 60
DEFAULT_HZ = 60.0


def steps_for(hz: float, about_s: float = 50e-6) -> int:
    """Steps per cycle: the multiple of TICKS_PER_CYCLE nearest to ``about_s`` a step."""
    return lay.TICKS_PER_CYCLE * max(1, round(1.0 / (hz * about_s * lay.TICKS_PER_CYCLE)))


@dataclass
class Probes:
    """Readings that are no port: volts between nodes or amps of resistors, and sums of them."""

    elements: Elements
    first: int  # column of y of the first contact current
    nodes: list[tuple[int, int, int]]  # and the resistor whose amps are read, -1 for volts
    combos: list[list[tuple[int, float]]]
    ports: dict[str, int]
    port_count: int

    def volts(self, a: int, b: int) -> int:
        return self._probe((a, b, -1))

    def amps(self, name: str) -> int:
        """Column of y with the current of a named element. Raises TrainerError if there is none."""
        if name in self.ports:
            return self.port_count + self.ports[name]
        for s, switch in enumerate(self.elements.switches):
            if switch.name == name:
                return self.first + s
        for number, r in enumerate(self.elements.resistors):
            if r.name == name:
                return self._probe((r.a, r.b, number))
        raise TrainerError(f"no element named {name!r} carries a current that can be sensed")

    def sense(self, sense: Sense) -> int:
        """Column of y for a sense; sums get a column of their own, resolved by finish()."""
        if sense.volts is not None:
            return self.volts(*sense.volts)
        terms = [(self.amps(name), sign) for name, sign in sense.amps]
        if len(terms) == 1 and terms[0][1] == 1.0:
            return terms[0][0]
        if len(terms) > 4:
            raise TrainerError("a sense adds up at most four currents")
        if terms not in self.combos:
            self.combos.append(terms)
        return -1 - self.combos.index(terms)

    def column(self, index: int) -> int:
        """A column as it is once all probes are known: sums come after them."""
        if index >= 0:
            return index
        return self.first + len(self.elements.switches) + len(self.nodes) + (-1 - index)

    def _probe(self, nodes: tuple[int, int, int]) -> int:
        if nodes not in self.nodes:
            self.nodes.append(nodes)
        return self.first + len(self.elements.switches) + self.nodes.index(nodes)


@dataclass
class Plan:
    """The arrays, and where each named thing is in them."""

    core: lay.Core
    elements: Elements
    devices: DeviceTable
    hz: float
    columns: dict[str, int]
    slow_columns: dict[str, tuple[int, int, int]]

    @property
    def step_s(self) -> float:
        return self.core.h


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
    ports = port_names(elements)
    p, n_l, n_c = len(ports), len(elements.inductives), len(elements.capacitives)
    machine_at = 2 * p + n_l + n_c
    first = machine_at + lay.MS_SIZE * len(elements.machines)
    probes = Probes(elements, first, [], [], ports, p)
    devices = lay_devices(elements, probes)
    columns, slow = lay_channels(elements, channels, probes, ports, machine_at, devices)
    devices.settle(probes)
    columns = {name: probes.column(i) for name, i in columns.items()}
    n_probes = len(probes.nodes)
    ny = first + len(elements.switches) + n_probes + len(probes.combos)
    dims = np.zeros(lay.D_SIZE, dtype=np.int64)
    dims[lay.D_NODES] = len(elements.nodes) - 1
    dims[lay.D_L], dims[lay.D_C], dims[lay.D_M] = n_l, n_c, len(elements.machines)
    dims[lay.D_PER_TICK] = per_cycle // lay.TICKS_PER_CYCLE
    dims[lay.D_MACHINE], dims[lay.D_FIRST] = machine_at, first
    dims[lay.D_P], dims[lay.D_S], dims[lay.D_Q] = p, len(elements.switches), n_probes
    core = lay.Core(
        dims=dims,
        h=h,
        **network_arrays(elements),
        **port_arrays(elements, h, p),
        **probe_arrays(probes),
        **machine_arrays(elements, hz, winding_heat),
        **state_arrays(len(elements.nodes) - 1, p, len(elements.switches) + n_probes),
        **moving_arrays(elements, ny, p),
        **devices.arrays(),
        acc=np.zeros(lay.EN_SIZE),
        counts=np.zeros(lay.N_SIZE, dtype=np.int64),
        events=np.zeros((MOST_EVENTS, 4)),
        cycle=np.zeros((2, p + len(elements.machines))),
    )
    core.counts[lay.N_PAD] = lay.WHOLE  # the first step starts damped: port volts are not known yet
    plan = Plan(core, elements, devices, hz, columns, slow)
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


def probe_arrays(probes: Probes) -> dict:
    index = np.full((len(probes.combos), 4), -1, dtype=np.int64)
    sign = np.zeros((len(probes.combos), 4))
    for q, terms in enumerate(probes.combos):
        for t, (column, factor) in enumerate(terms):
            index[q, t], sign[q, t] = column, factor
    return {
        "qi": ints(probes.nodes, 3),
        "ci": index,
        "cf": sign,
    }


def lay_channels(
    elements: Elements,
    channels: list[Channel],
    probes: Probes,
    ports: dict[str, int],
    machine_at: int,
    devices: DeviceTable,
) -> tuple[dict[str, int], dict[str, tuple[int, int, int]]]:
    """Where each recorded channel is found: a column of y, or slow machine or device state."""
    columns: dict[str, int] = {}
    slow: dict[str, tuple[int, int, int]] = {}
    machines = [m.name for m in elements.machines]
    in_y = {"speed_rad_s": lay.MS_SPEED, "torque_nm": lay.MS_TORQUE, "angle_rad": lay.MS_ANGLE}
    in_slow = {"lift": lay.SL_LIFT, "main_c": lay.SL_MAIN_C, "aux_c": lay.SL_AUX_C}
    for ch in channels:
        if ch.sense is not None:
            columns[ch.name] = probes.sense(ch.sense)
        elif ch.machine is not None and ch.quantity is not None:
            m = machines.index(ch.machine)
            if ch.quantity in in_y:
                columns[ch.name] = machine_at + m * lay.MS_SIZE + in_y[ch.quantity]
            else:
                slow[ch.name] = (0, m, in_slow[ch.quantity])
        elif ch.capacitor is not None:
            number = [c.name for c in elements.capacitives].index(ch.capacitor)
            columns[ch.name] = 2 * len(ports) + len(elements.inductives) + number
        else:
            slow[ch.name] = devices.value_column(cast(str, ch.device))
    return columns, slow


def start_contacts(plan: Plan) -> None:
    """Reasons to be open at the beginning: the hand's, and those of devices at rest."""
    core = plan.core
    driven = plan.devices.driven_shut()
    for s, switch in enumerate(plan.elements.switches):
        if not switch.closed and s not in driven:
            core.si[s, lay.SI_REASONS] |= 1 << lay.HAND_BIT
    plan.devices.at_rest(core)
    for s in range(len(plan.elements.switches)):
        core.si[s, lay.SI_CLOSED] = int(core.si[s, lay.SI_REASONS] == 0)


def restore(plan: Plan, state: CircuitState) -> None:
    """Put a remembered state into the arrays; names it does not mention stay as they are."""
    core, elements = plan.core, plan.elements
    p, n_l = int(core.dims[lay.D_P]), len(elements.inductives)
    for j, inductive in enumerate(elements.inductives):
        core.y[p + j] = state.inductive_a.get(inductive.name, core.y[p + j])
    for j, cap in enumerate(elements.capacitives):
        at = 2 * p + n_l + j
        core.y[at] = state.capacitor_v.get(cap.name, core.y[at])
    for m, machine in enumerate(elements.machines):
        if machine.name in state.machines:
            restore_machine(plan, m, state.machines[machine.name])
    for s, switch in enumerate(elements.switches):
        core.si[s, lay.SI_REASONS] = state.reasons.get(switch.name, core.si[s, lay.SI_REASONS])
        core.si[s, lay.SI_CLOSED] = state.closed.get(switch.name, core.si[s, lay.SI_CLOSED])
        core.si[s, lay.SI_WELDED] = int(switch.name in state.welded)
    for j, (turns, peak, hz) in enumerate(
        zip(state.source_turns, state.source_peak, state.source_hz, strict=True)
    ):
        core.src[j, lay.SRC_AMP], core.src[j, lay.SRC_PHASE] = peak, turns
        core.src[j, lay.SRC_HZ] = hz
    for r, resistor in enumerate(elements.resistors):
        if resistor.name in state.resistor_ohms:
            g = 1.0 / state.resistor_ohms[resistor.name]
            stamp(core.g_static, resistor.a, resistor.b, g - core.rf[r, 0])
            core.rf[r, 0] = g
    plan.devices.restore(core, state.devices)
    core.y_old[:] = core.y


def restore_machine(plan: Plan, m: int, s: MachineState) -> None:
    core = plan.core
    b = core.dims[lay.D_MACHINE] + m * lay.MS_SIZE
    core.y[b : b + 6] = (
        s.flux_main,
        s.flux_aux,
        s.flux_rotor_main,
        s.flux_rotor_aux,
        s.speed_rad_s,
        s.angle_rad,
    )
    pairs, ratio = core.mach[m, lay.MC_PAIRS], core.mach[m, lay.MC_RATIO]
    core.y[b + lay.MS_SQ] = core.y[b + lay.MS_SQ2] = (
        pairs / ratio * s.speed_rad_s * s.flux_rotor_aux
    )
    core.y[b + lay.MS_SD] = core.y[b + lay.MS_SD2] = (
        -pairs * ratio * s.speed_rad_s * s.flux_rotor_main
    )
    iron = iron_amps(core.mach[m], core.y[b : b + 4])
    core.y[b + lay.MS_IXQ], core.y[b + lay.MS_IXD] = iron
    core.y[b + lay.MS_FXQ], core.y[b + lay.MS_FXD] = iron
    core.slow[m] = (s.lift, s.pocket, s.main_c, s.aux_c)
    core.mach[m, lay.MC_LAST_MAIN_C], core.mach[m, lay.MC_LAST_AUX_C] = s.main_c, s.aux_c
