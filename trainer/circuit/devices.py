"""Lays the devices of a circuit out as the records that kernel_devices.py reads.

Knows each device's fields and which parameter holds them; does no physics. Order is the rule
for ties at one instant: protection, then control, then sources.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from trainer.circuit import layout as lay
from trainer.circuit.arrays import records
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
    Thermal,
    Timer,
)
from trainer.circuit.probes import Place, Probes
from trainer.circuit.state import CircuitState, DeviceState

if TYPE_CHECKING:
    from trainer.circuit.layout import Core

NEVER_C = -1e9
#: Device d owns bit d % BITS of a contact's reasons to be open.
BITS = 60
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
STATE_NAMES = tuple(f"s{n}" for n in range(lay.STATES))
_LATCHING = (lay.DEV_MAGNETIC, lay.DEV_RESIDUAL, lay.DEV_THERMAL)
_RINGED = (Residual, Coil, Timer, PhaseControl, Generator, Inverter)


@dataclass
class Row:
    """One device: what it looks at, parameters, first state, what it moves."""

    device: Device
    kind: int
    sense: Place
    params: tuple[float, ...]
    state: tuple[float, ...] = ()
    makes: tuple[int, ...] = ()
    breaks: tuple[int, ...] = ()
    machine: int = -1
    contact: int = -1
    resistor: int = -1
    across: Place | None = None
    shows: int = 2  # which state a channel or an event of this device shows

    def values(self) -> dict[str, float]:
        """Parameters, first state and what is shown, by the names of layout.DEVICE."""
        return {
            **{f"p{n}": value for n, value in enumerate(self.params)},
            **{f"s{n}": value for n, value in enumerate(self.state)},
            "shown": dict(enumerate(self.state)).get(self.shows, 0.0),
        }


@dataclass
class DeviceTable:
    """All rows, in the order in which they act."""

    rows: list[Row]
    elements: Elements

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(r.device.name for r in self.rows)

    def index(self, name: str) -> int:
        return self.names.index(name)

    def taken_over(self, reasons: int, holders: tuple[str, ...]) -> int:
        """Reasons to be open of a circuit with other devices, each bit at its owner's new place.

        A device that is gone holds nothing any more.
        """
        if not holders or holders == self.names:
            return reasons
        kept = reasons & 1 << lay.HAND_BIT
        places = {name: d % BITS for d, name in enumerate(self.names)}
        for d, name in enumerate(holders):
            if reasons >> (d % BITS) & 1 and name in places:
                kept |= 1 << places[name]
        return kept

    def watch(self) -> bool:
        """Whether something must look at every step: a fast device, or an emf that folds back."""
        return any(r.kind in (lay.DEV_PHASE, lay.DEV_INVERTER) for r in self.rows)

    def driven_shut(self) -> set[int]:
        """Contacts whose rest position a device decides."""
        driven: set[int] = set()
        for r in self.rows:
            driven.update(r.makes)
            if r.kind == lay.DEV_PHASE:
                driven.update((r.contact, *r.breaks))
            elif r.kind in (lay.DEV_COIL, lay.DEV_TIMER):
                driven.update(r.breaks)
        return driven

    def arrays(self, probes: Probes) -> dict:
        """Records and rings, once every probe has its column."""
        ringed = [isinstance(r.device, _RINGED) for r in self.rows]
        moves: list[tuple[int, bool]] = []
        rows: list[dict[str, float]] = []
        for d, r in enumerate(self.rows):
            first = len(moves)
            moves += [(s, True) for s in r.makes] + [(s, False) for s in r.breaks]
            rows.append(
                {
                    "kind": r.kind,
                    "sense": probes.column(r.sense),
                    "across": -1 if r.across is None else probes.column(r.across),
                    "ring": sum(ringed[:d]) if ringed[d] else -1,
                    "machine": r.machine,
                    "contact": r.contact,
                    "resistor": r.resistor,
                    "first": first,
                    "end": len(moves),
                    **r.values(),
                }
            )
        fast = [d for d, r in enumerate(self.rows) if r.kind == lay.DEV_PHASE]
        return {
            "devices": records(lay.DEVICE, rows),
            "moves": np.array(moves, dtype=lay.MOVE),
            "rings": np.zeros((sum(ringed), lay.TICKS_PER_CYCLE + 1)),
            "fast": np.array(fast, dtype=np.int64),
        }

    def at_rest(self, core: Core) -> None:
        """Bits of devices that hold contacts open while nothing is energised; source rows."""
        reasons = core.contacts["reasons"]
        for d, r in enumerate(self.rows):
            bit = 1 << (d % BITS)
            for s in r.makes:
                reasons[s] |= bit
            if r.kind == lay.DEV_PHASE:
                reasons[r.contact] |= bit
        self.take_sources(core)

    def take_sources(self, core: Core) -> None:
        """The sources that a device drives are its own from the beginning."""
        for d, r in enumerate(self.rows):
            if isinstance(r.device, Inverter | Generator):
                self._take_sources(core, d, r.device)

    def _take_sources(self, core: Core, d: int, device: Inverter | Generator) -> None:
        for q in device.sources:
            source = core.sources[q]
            source["device"] = d
            if isinstance(device, Generator):
                source["hz"] = core.devices[d]["s2"]
            else:
                source["fold"], source["limit"] = device.fold_ohms, device.limit_a_peak
                source["sense"] = core.devices[d]["sense"]

    def snapshot(self, core: Core) -> dict[str, DeviceState]:
        out = {}
        for r, d in zip(self.rows, core.devices, strict=True):
            ring = d["ring"]
            rms = math.sqrt(core.rings[ring, : lay.TICKS_PER_CYCLE].mean()) if ring >= 0 else 0.0
            values = tuple(float(d[name]) for name in STATE_NAMES)
            out[r.device.name] = DeviceState(values, rms)
        return out

    def restore(self, core: Core, states: dict[str, DeviceState]) -> None:
        for r, d in zip(self.rows, core.devices, strict=True):
            s = states.get(r.device.name)
            if s is None:
                continue
            for name, value in zip(STATE_NAMES, s.values, strict=False):
                d[name] = value
            d["shown"] = d[STATE_NAMES[r.shows]]
            if d["ring"] >= 0:
                ring = core.rings[d["ring"]]
                ring[:] = s.rms**2
                ring[lay.TICKS_PER_CYCLE] = s.rms**2 * lay.TICKS_PER_CYCLE

    def reset(self, core: Core, contact: int) -> None:
        """A hand resets a tripped device that holds this contact (a breaker handle moved off)."""
        for d, r in enumerate(self.rows):
            if contact not in r.breaks or r.kind not in _LATCHING:
                continue
            record = core.devices[d]
            if r.kind == lay.DEV_THERMAL and record["s1"] > record["p3"] - 10.0:
                continue  # a bimetal still hot does not latch
            record["s0"] = 0.0
            if r.kind != lay.DEV_THERMAL:
                record["s1"] = record["s2"] = 0.0
            for s in r.breaks:
                core.contacts["reasons"][s] &= ~(1 << (d % BITS))


def acting_order(elements: Elements) -> list[Device]:
    """Devices in the order in which they act, which is also that of their bits."""
    return sorted(elements.devices, key=lambda d: _ORDER.index(type(d)))


def remembered_sources(elements: Elements, state: CircuitState) -> set[int]:
    """Sources that a device drives and has been driving: all others are as their parts say."""
    return {
        q
        for device in elements.devices
        if isinstance(device, Generator | Inverter) and device.name in state.devices
        for q in device.sources
    }


def lay_devices(elements: Elements, probes: Probes) -> DeviceTable:
    """Rows for every device, sorted into the order in which they act."""
    devices = acting_order(elements)
    rows = [row_of(d, elements, probes) for d in devices]
    return DeviceTable(rows, elements)


def row_of(device: Device, elements: Elements, probes: Probes) -> Row:
    contacts = {s.name: i for i, s in enumerate(elements.switches)}
    machines = {m.name: i for i, m in enumerate(elements.machines)}
    return _row(device, elements, probes, contacts, machines)


def _row(
    d: Device,
    elements: Elements,
    probes: Probes,
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
                shows=1,
            )
        case Magnetic():
            return Row(
                d,
                lay.DEV_MAGNETIC,
                probes.sense(d.sense),
                (d.peak_a, d.delay_s),
                breaks=numbers(d.breaks),
                shows=3,
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
                contact=contacts[d.pair],
                across=probes.sense(d.sense),
                shows=4,
            )
        case Generator():
            return _generator(d, elements, probes)
        case Inverter():
            return Row(
                d,
                lay.DEV_INVERTER,
                probes.sense(d.sense),
                (d.surge_s, d.rated_a_rms),
                breaks=numbers(d.breaks),
            )
    raise TypeError(f"{d!r} is not a device")


def _ptc(d: Ptc, elements: Elements, probes: Probes) -> Row:
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
        resistor=number,
        shows=1,
    )


def _generator(d: Generator, elements: Elements, probes: Probes) -> Row:
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
        across=probes.sense(volts),
    )
