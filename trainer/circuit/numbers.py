"""The same circuit with other numbers: a plan taken up again where only values have changed.

Laying a circuit out costs as much as a tenth of a second of its start, so whoever turns a value
to and fro keeps the plan. Knows elements and arrays; must know no part and no value that a
person turns. The plan handed in is never stepped: what comes back is.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from trainer.circuit import layout as lay
from trainer.circuit.arrays import (
    axis_records,
    contact_arrays,
    machine_record,
    network_arrays,
    put_capacitive,
    put_inductive,
    shape_arrays,
    source_arrays,
)
from trainer.circuit.devices import DeviceTable, acting_order, row_of
from trainer.circuit.elements import Elements, Generator
from trainer.circuit.plan import Plan
from trainer.circuit.shape import changes

#: Kinds of element whose change leaves solved contact states as they are.
_WITHOUT_MATRIX = ("sources", "devices")


def with_numbers(plan: Plan, elements: Elements) -> Plan:
    """A fresh copy of an unstepped plan for ``elements``, which have the shape of its own."""
    made = copied(plan)
    found = changes(plan.elements, elements)
    if not found:
        return made
    made.elements = elements
    core, h = made.core, float(made.core.sizes["step_s"])
    if found.get("resistors"):
        made.network = network_arrays(elements, made.probes)
    if found.get("switches"):
        _switches(made)
    for j in found.get("inductives", ()):
        put_inductive(core.ports, core.step, j, elements.inductives[j], h)
    for c in found.get("capacitives", ()):
        j, can = len(elements.inductives) + c, elements.capacitives[c]
        put_capacitive(core.ports, core.step, j, can, h)
        core.caps[lay.LAST_ROW, c] = can.volts
    heats = _machines(made, found.get("machines", []), plan)
    _devices(made, "devices" in found, "sources" in found)
    if heats or not set(found) <= {"machines", *_WITHOUT_MATRIX}:
        _forget(made)
    return made


def copied(plan: Plan) -> Plan:
    """Every array of its own, so that stepping the copy leaves the plan as it is.

    A plan that is not stepped has no events, and their many records are slow to copy.
    """
    written = {name: a.copy() for name, a in plan.core._asdict().items() if name != "events"}
    core = plan.core._replace(**written)
    rows = len(core.flux)
    core = core._replace(
        events=np.zeros_like(plan.core.events),
        flux_values=core.flux.view(float).reshape(rows, -1),
        shaft_values=core.shaft.view(float).reshape(rows, -1),
    )
    network = plan.network._replace(
        g_static=plan.network.g_static.copy(),
        resistors=plan.network.resistors.copy(),
        drops=plan.network.drops.copy(),
        modes=dict(plan.network.modes),
    )
    return replace(plan, core=core, network=network)


def keep_solved(fresh: Plan, stepped: Plan) -> bool:
    """Give an unstepped plan the contact states that a run of the same numbers has solved.

    Only while no ohms have changed since the beginning; returns whether it could.
    """
    tally, other = fresh.core.tally, stepped.core
    solved = int(other.tally["states"])
    if solved != other.tally["built"] or solved > len(other.key) or not solved:
        return False
    for mine, theirs in (
        (fresh.core.key, other.key),
        (fresh.core.quiet, other.quiet),
        (fresh.core.mt, other.mt),
        (fresh.core.step, other.step),
        (fresh.network.drops, stepped.network.drops),
    ):
        mine[:] = theirs
    for name in ("ohms", "per_den", "pull", "per_lr", "ys", "ym", "yr"):
        fresh.core.axes[name] = other.axes[name]
    for name in ("per_sync", "per_inertia", "per_knee"):
        fresh.core.machines[name] = other.machines[name]
    fresh.core.ports["ohms"] = other.ports["ohms"]
    fresh.network.modes.update(stepped.network.modes)
    tally["states"], tally["stale"] = solved, 0
    return True


def _forget(plan: Plan) -> None:
    """No contact state is solved any more."""
    plan.core.tally["states"], plan.core.tally["stale"] = 0, 1
    plan.network.modes.clear()


def _switches(plan: Plan) -> None:
    """What a contact is made of; where it stands and why is as it was."""
    made = contact_arrays(plan.elements, plan.probes.contact_columns())
    for name in ("on_siemens", "off_siemens", "weld_a2s", "arcs"):
        plan.core.contacts[name] = made[name]


def _machines(plan: Plan, places: list[int], before: Plan) -> bool:
    """Motors and their loads; returns whether a winding is another."""
    core, windings = plan.core, False
    for m in places:
        machine = plan.elements.machines[m]
        _put(core.machines[m], machine_record(machine, plan.hz, plan.winding_heat))
        if machine.params != before.elements.machines[m].params:
            windings = True
            for w, axis in enumerate(axis_records(machine), start=2 * m):
                _put(core.axes[w], axis)
    if places:
        shape = shape_arrays(plan.elements)
        plan.core = core._replace(shape=np.ascontiguousarray(shape))
    return windings


def _devices(plan: Plan, moved: bool, sources: bool) -> None:
    """Parameters and first states of devices, and the sources that some of them drive."""
    if not (moved or sources):
        return
    core, elements = plan.core, plan.elements
    rows = list(plan.devices.rows)
    for d, device in enumerate(acting_order(elements)):
        # a generator's row holds the volts of its sources too
        if rows[d].device is not device or (sources and isinstance(device, Generator)):
            rows[d] = row_of(device, elements, plan.probes)
            _put(core.devices[d], rows[d].values())
    plan.devices = DeviceTable(rows, elements)
    core.sources[:] = source_arrays(elements)
    plan.devices.take_sources(core)


def _put(record: np.void, values: dict[str, float]) -> None:
    for name, value in values.items():
        record[name] = value
