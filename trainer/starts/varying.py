"""One value of a study varied: what may vary, and the study with it changed.

A row of ``VARIES`` is a unit, a meaning and a change of the study; nothing here energises.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from trainer.base.errors import TrainerError, UsageError, quoted
from trainer.motor.machines import entry
from trainer.parts import Part, Supply
from trainer.parts.capacitors import DualCapacitor, RunCapacitor, StartCapacitor
from trainer.parts.machines import InlineMachine
from trainer.parts.motors import Compressor
from trainer.parts.relays import PotentialRelay
from trainer.parts.startgear import TimedStarter
from trainer.study.build import watched
from trainer.study.model import Study

#: Values one sweep takes at the most.
MOST_VALUES = 400


@dataclass(frozen=True)
class Vary:
    """``unit`` of the numbers as they are given; ``least`` is the smallest that makes sense."""

    unit: str
    meaning: str
    change: Callable[[Study, float], Study]
    least: float = 0.0


@dataclass(frozen=True)
class Range:
    """A name and the values it takes."""

    name: str
    values: tuple[float, ...]


def parse_range(text: str, steps: int) -> Range:
    """``start_uf=43..400`` in ``steps`` even values, or ``start_uf=43,98,324``."""
    name, _, given = text.partition("=")
    if name not in VARIES:
        raise UsageError(f"{quoted(name)} cannot vary", hint=f"use one of {', '.join(VARIES)}")
    try:
        values = _values(given, steps)
    except ValueError:
        hint = f"write {name}=LOW..HIGH or {name}=ONE,TWO,THREE in {VARIES[name].unit}"
        raise UsageError(f"{quoted(given)} is no range of numbers", hint=hint) from None
    bad = [v for v in values if not math.isfinite(v) or v < VARIES[name].least]
    if bad:
        least = f"at least {VARIES[name].least:g} {VARIES[name].unit}".rstrip()
        raise UsageError(f"{name} cannot be {bad[0]:g}", hint=f"give numbers of {least}")
    return Range(name, values)


def _values(given: str, steps: int) -> tuple[float, ...]:
    if ".." not in given:
        return tuple(float(part) for part in given.split(","))
    low, high = (float(end) for end in given.split(".."))
    if steps < 2:
        return (low,)
    return tuple(low + (high - low) * k / (steps - 1) for k in range(steps))


def varied(study: Study, name: str, value: float) -> Study:
    """The study with one value changed. Raises TrainerError when it has no such part."""
    return VARIES[name].change(study, value)


def _part(study: Study, role: str) -> Part | None:
    name = watched(study.parts, study.watch).get(role)
    return study.parts[name] if name else None


def _with(study: Study, role: str, kinds: tuple[type[Part], ...], **new: Any) -> Study:
    """The study with fields of the watched part of a role replaced."""
    name = watched(study.parts, study.watch).get(role)
    part = study.parts[name] if name else None
    if name is None or not isinstance(part, kinds):
        what = role.replace("_", " ")
        hint = "vary something the study has"
        raise TrainerError(f"{quoted(study.title)} has no {what} that can vary so", hint=hint)
    changed = part.model_copy(update=new)
    return study.model_copy(update={"parts": {**study.parts, name: changed}})


def _start_uf(study: Study, uf: float) -> Study:
    inside = isinstance(_part(study, "relay"), TimedStarter)
    role = "relay" if inside else "start_capacitor"
    return _with(study, role, (StartCapacitor, TimedStarter), capacitance=uf / 1e6)


def _run_uf(study: Study, uf: float) -> Study:
    dual = isinstance(_part(study, "run_capacitor"), DualCapacitor)
    new = {"herm" if dual else "capacitance": uf / 1e6}
    return _with(study, "run_capacitor", (DualCapacitor, RunCapacitor), **new)


def _relay(study: Study, **new: float) -> Study:
    changed = _with(study, "relay", (PotentialRelay,), **new)
    relay = _part(changed, "relay")
    assert isinstance(relay, PotentialRelay)
    if relay.dropout_v >= relay.pickup_v:
        raise TrainerError(
            f"a relay with {relay.pickup_v:g} V pickup and {relay.dropout_v:g} V drop-out would "
            "close again at or above the volts that open it",
            hint="keep the drop-out below the pickup",
        )
    return changed


def _relay_in_proportion(study: Study, pickup: float) -> Study:
    """A relay for other volts: what it falls back at and stands for ever go with the pickup.

    Coil ohms and armature times stay as they are.
    """
    relay = _part(study, "relay")
    if not isinstance(relay, PotentialRelay):
        return _relay(study, pickup=pickup)
    ratio = pickup / relay.pickup_v
    dropout, continuous = ratio * relay.dropout_v, ratio * relay.continuous_v
    return _relay(study, pickup=pickup, dropout=dropout, continuous=continuous)


def _line_v(study: Study, volts: float) -> Study:
    return _with(study, "supply", (Supply,), volts=volts)


def _closing_deg(study: Study, degrees: float) -> Study:
    return _with(study, "supply", (Supply,), closing_angle=math.radians(degrees))


def _load_nm(study: Study, torque: float) -> Study:
    comp = _part(study, "compressor")
    load = comp.load.model_copy(update={"torque": torque}) if isinstance(comp, Compressor) else None
    return _with(study, "compressor", (Compressor,), load=load)


def _standing(study: Study, there: float) -> Study:
    comp = _part(study, "compressor")
    found = "standing" if there >= 0.5 else "equalised"
    load = (
        comp.load.model_copy(update={"pressures": found}) if isinstance(comp, Compressor) else None
    )
    return _with(study, "compressor", (Compressor,), load=load)


def _inertia(study: Study, kg_m2: float) -> Study:
    """The machine written out in the study with another inertia."""
    comp = _part(study, "compressor")
    if not isinstance(comp, Compressor) or comp.nameplate is not None:
        what = f"{quoted(study.title)} has no compressor whose inertia can vary"
        raise TrainerError(what, hint="name a machine, or write its parameters out")
    own = comp.parameters or entry(comp.machine or "")
    inline = InlineMachine.model_construct(**{**dict(own), "inertia": kg_m2})
    return _with(study, "compressor", (Compressor,), machine=None, parameters=inline)


#: Every name ``sweep --vary`` takes.
VARIES: dict[str, Vary] = {
    "start_uf": Vary("uF", "start capacitor", _start_uf, 0.1),
    "run_uf": Vary("uF", "run capacitor of the compressor", _run_uf, 0.1),
    "pickup_v": Vary("V", "pickup of the potential relay", lambda s, v: _relay(s, pickup=v), 1.0),
    "dropout_v": Vary("V", "its drop-out", lambda s, v: _relay(s, dropout=v), 0.1),
    "relay_v": Vary("V", "pickup, and drop-out in proportion", _relay_in_proportion, 1.0),
    "operate_ms": Vary(
        "ms", "time its armature takes", lambda s, v: _relay(s, operate=1e-3 * v), 0.1
    ),
    "line_v": Vary("V", "no-load volts of the supply", _line_v, 1.0),
    "closing_deg": Vary("deg", "angle of the line at time zero", _closing_deg, -360.0),
    "load_nm": Vary("N.m", "gas torque with the pressures parted", _load_nm, 0.0),
    "standing": Vary("0 or 1", "pressures parted from the first instant (1), or equal", _standing),
    "inertia": Vary("kg.m2", "of the compressor's shaft", _inertia, 1e-6),
}
