"""Lays the devices of a circuit out as the columns that kernel_devices.py reads.

Knows each device's fields and which column holds them; does no physics. Order is the rule
for ties at one instant: protection, then control, then sources.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Protocol

import numpy as np

from trainer.circuit import layout as lay
from trainer.circuit.elements import (
    Coil,
    Device,
    Elements,
    Generator,
    Inverter,
    Magnetic,
    PhaseControl,
    Ptc,
    Residual,
    Sense,
    Thermal,
    Timer,
)
from trainer.circuit.state import DeviceState

if TYPE_CHECKING:
    from trainer.circuit.layout import Core

NEVER_C = -1e9
_ORDER: tuple[type, ...] = (
    Magnetic,
    Residual,
    Thermal,
    Coil,
    Timer,
    PhaseControl,
    Ptc,
    Generator,
    Inverter,
)
_RINGED = (Residual, Coil, Timer, PhaseControl, Generator, Inverter)


class SenseColumns(Protocol):
    """What devices need of the probes: where a sense or a voltage is found in y."""

    def sense(self, sense: Sense) -> int: ...
    def volts(self, a: int, b: int) -> int: ...
    def column(self, index: int) -> int: ...


@dataclass
class Row:
    """One device: integer columns, parameters and first state."""

    device: Device
    kind: int
    sense: int
    params: tuple[float, ...]
    state: tuple[float, ...] = ()
    makes: tuple[int, ...] = ()
    breaks: tuple[int, ...] = ()
    machine: int = -1
    a: int = -1
    b: int = -1
    a_is_column: bool = False
    b_is_column: bool = False
    value: int = 2  # which state column a channel of this device shows


@dataclass
class DeviceTable:
    """All rows, in the order in which they act."""

    rows: list[Row]
    elements: Elements
    _i: np.ndarray = field(default_factory=lambda: np.zeros((0, lay.DI_SIZE), dtype=np.int64))

    def index(self, name: str) -> int:
        return [r.device.name for r in self.rows].index(name)

    def value_column(self, name: str) -> tuple[int, int, int]:
        """(1, row, state column) of what a channel of this device shows."""
        d = self.index(name)
        return 1, d, self.rows[d].value

    def driven_shut(self) -> set[int]:
        """Contacts whose rest position a device decides."""
        driven: set[int] = set()
        for r in self.rows:
            driven.update(r.makes)
            if r.kind == lay.DEV_PHASE:
                driven.update((r.a, *r.breaks))
            elif r.kind in (lay.DEV_COIL, lay.DEV_TIMER):
                driven.update(r.breaks)
        return driven

    def settle(self, probes: SenseColumns) -> None:
        """Fill the integer columns once every probe is known."""
        self._i = np.full((len(self.rows), lay.DI_SIZE), -1, dtype=np.int64)
        ring = 0
        for d, r in enumerate(self.rows):
            row = self._i[d]
            row[lay.DI_KIND], row[lay.DI_MACHINE] = r.kind, r.machine
            row[lay.DI_SENSE] = probes.column(r.sense)
            row[lay.DI_A] = probes.column(r.a) if r.a_is_column else r.a
            row[lay.DI_B] = probes.column(r.b) if r.b_is_column else r.b
            if isinstance(r.device, _RINGED):
                row[lay.DI_RING] = ring
                ring += 1
            row[lay.DI_MAKES : lay.DI_MAKES + len(r.makes)] = r.makes
            row[lay.DI_BREAKS : lay.DI_BREAKS + len(r.breaks)] = r.breaks

    def arrays(self) -> dict:
        f = np.zeros((len(self.rows), lay.DF_SIZE))
        s = np.zeros((len(self.rows), lay.DS_SIZE))
        for d, r in enumerate(self.rows):
            f[d, : len(r.params)] = r.params
            s[d, : len(r.state)] = r.state
        fast = [d for d, r in enumerate(self.rows) if r.kind == lay.DEV_PHASE]
        rings = max(1, sum(isinstance(r.device, _RINGED) for r in self.rows))
        return {
            "di": self._i,
            "df": f,
            "ds": s,
            "rings": np.zeros((rings, lay.TICKS_PER_CYCLE + 1)),
            "fast": np.array(fast, dtype=np.int64),
        }

    def at_rest(self, core: Core) -> None:
        """Bits of devices that hold contacts open while nothing is energised; source rows."""
        for d, r in enumerate(self.rows):
            bit = 1 << (d % 60)
            for s in r.makes:
                core.si[s, lay.SI_REASONS] |= bit
            if r.kind == lay.DEV_PHASE:
                core.si[r.a, lay.SI_REASONS] |= bit
            if r.kind == lay.DEV_INVERTER:
                self._arm_inverter(core, d, r)
            if r.kind == lay.DEV_GENERATOR:
                for q in r.breaks:
                    core.src[q, lay.SRC_HZ] = core.ds[d, 2]

    def _arm_inverter(self, core: Core, d: int, r: Row) -> None:
        device = r.device
        assert isinstance(device, Inverter)
        for q in device.sources:
            core.src[q, lay.SRC_FOLD] = device.fold_ohms
            core.src[q, lay.SRC_LIMIT] = device.limit_a_peak
            core.src[q, lay.SRC_SENSE] = core.di[d, lay.DI_SENSE]

    def snapshot(self, core: Core) -> dict[str, DeviceState]:
        out = {}
        for d, r in enumerate(self.rows):
            ring = core.di[d, lay.DI_RING]
            rms = math.sqrt(core.rings[ring, : lay.TICKS_PER_CYCLE].mean()) if ring >= 0 else 0.0
            out[r.device.name] = DeviceState(tuple(core.ds[d].tolist()), rms)
        return out

    def restore(self, core: Core, states: dict[str, DeviceState]) -> None:
        for d, r in enumerate(self.rows):
            s = states.get(r.device.name)
            if s is None:
                continue
            core.ds[d, : len(s.values)] = s.values
            if core.di[d, lay.DI_RING] >= 0:
                ring = core.rings[core.di[d, lay.DI_RING]]
                ring[:] = s.rms**2
                ring[lay.TICKS_PER_CYCLE] = s.rms**2 * lay.TICKS_PER_CYCLE

    def reset(self, core: Core, contact: int) -> None:
        """A hand resets a tripped device that holds this contact (a breaker handle moved off)."""
        for d, r in enumerate(self.rows):
            if contact in r.breaks and r.kind in (
                lay.DEV_MAGNETIC,
                lay.DEV_RESIDUAL,
                lay.DEV_THERMAL,
            ):
                if r.kind == lay.DEV_THERMAL and core.ds[d, 1] > core.df[d, 3] - 10.0:
                    continue  # a bimetal still hot does not latch
                core.ds[d, 0] = 0.0
                if r.kind != lay.DEV_THERMAL:
                    core.ds[d, 1:3] = 0.0
                for s in r.breaks:
                    core.si[s, lay.SI_REASONS] &= ~(1 << (d % 60))


def lay_devices(elements: Elements, probes: SenseColumns) -> DeviceTable:
    """Rows for every device, sorted into the order in which they act."""
    devices = sorted(elements.devices, key=lambda d: _ORDER.index(type(d)))
    contacts = {s.name: i for i, s in enumerate(elements.switches)}
    machines = {m.name: i for i, m in enumerate(elements.machines)}
    rows = [_row(d, elements, probes, contacts, machines) for d in devices]
    return DeviceTable(rows, elements)


def _row(
    d: Device,
    elements: Elements,
    probes: SenseColumns,
    contacts: dict[str, int],
    machines: dict[str, int],
) -> Row:
    def numbers(names: tuple[str, ...]) -> tuple[int, ...]:
        return tuple(contacts[n] for n in names)

    match d:
        case Coil():
            limits = (d.pickup_rms, d.dropout_rms, d.operate_s, d.release_s)
            return Row(
                d,
                lay.DEV_COIL,
                probes.sense(d.sense),
                limits,
                (),
                numbers(d.makes),
                numbers(d.breaks),
            )
        case Thermal():
            reset = NEVER_C if d.resets_c is None else d.resets_c
            params = (d.ohms, d.c_j_per_k, d.r_k_per_w, d.trips_c, reset, d.ambient_c)
            machine = -1 if d.machine is None else machines[d.machine]
            return Row(
                d,
                lay.DEV_THERMAL,
                probes.sense(d.sense),
                params,
                (0.0, d.start_c),
                breaks=numbers(d.breaks),
                machine=machine,
                value=1,
            )
        case Magnetic():
            return Row(
                d,
                lay.DEV_MAGNETIC,
                probes.sense(d.sense),
                (d.peak_a, d.delay_s),
                breaks=numbers(d.breaks),
            )
        case Residual():
            return Row(
                d,
                lay.DEV_RESIDUAL,
                probes.sense(d.sense),
                (d.trip_a_rms, d.k_a, d.exponent),
                breaks=numbers(d.breaks),
            )
        case Timer():
            return Row(
                d,
                lay.DEV_TIMER,
                probes.sense(d.sense),
                (d.threshold_rms, d.delay_s, d.lockout_s),
                (0.0, 0.0, 0.0, d.off_before_s),
                numbers(d.makes),
                numbers(d.breaks),
            )
        case Ptc():
            return _ptc(d, elements, probes)
        case PhaseControl():
            return Row(
                d,
                lay.DEV_PHASE,
                probes.sense(d.current_sense),
                (
                    d.first_delay_s,
                    d.ramp_s,
                    d.limit_a_rms,
                    d.settled_ratio,
                    d.boost_most_s,
                    d.give_up_s,
                ),
                (0.0, 0.0, d.first_delay_s),
                numbers(d.bypass),
                numbers(d.boost),
                a=contacts[d.pair],
                b=probes.sense(d.sense),
                b_is_column=True,
                value=4,
            )
        case Generator():
            return _generator(d, elements, probes)
        case Inverter():
            sources = (*d.sources, -1)
            return Row(
                d,
                lay.DEV_INVERTER,
                probes.sense(d.sense),
                (d.surge_s, d.rated_a_rms),
                breaks=numbers(d.breaks),
                a=sources[0],
                b=sources[1],
            )
    raise TypeError(f"{d!r} is not a device")


def _ptc(d: Ptc, elements: Elements, probes: SenseColumns) -> Row:
    number = [r.name for r in elements.resistors].index(d.resistor)
    r = elements.resistors[number]
    params = (
        d.cold_ohms,
        d.hot_ohms,
        d.switch_c,
        d.b_per_k,
        d.c_j_per_k,
        d.r_k_per_w,
        d.ambient_c,
    )
    return Row(
        d,
        lay.DEV_PTC,
        probes.volts(r.a, r.b),
        params,
        (r.ohms, d.start_c),
        a=number,
        value=1,
    )


def _generator(d: Generator, elements: Elements, probes: SenseColumns) -> Row:
    """Nameplate volts are those of its first source times its branch scales, seen at no load."""
    source = elements.sources[d.sources[0]]
    volts = d.volts
    scale = sum(abs(i.source_scale) for i in elements.inductives if i.source in d.sources)
    rated = source.volts_peak / math.sqrt(2.0) * scale
    params = (
        d.rated_w,
        d.extra_ohms,
        d.subtransient_s,
        d.regulator_s,
        d.ceiling,
        d.inertia_s,
        d.governor_s,
        d.droop,
        rated,
        source.hz,
        source.hz,
        source.volts_peak,
        0.5,
        d.stall_hz,
    )
    state = (0.0, 1.0, source.hz * (1.0 + 0.5 * d.droop), 0.0, 0.0, 0.0, 0.0, rated**2)
    return Row(
        d,
        lay.DEV_GENERATOR,
        probes.sense(d.sense),
        params,
        state,
        breaks=d.sources,
        a=probes.sense(volts),
        a_is_column=True,
    )
