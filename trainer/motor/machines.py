"""Reads the motors that ship with the program from ``machines.yaml``.

Each entry gives ohms at its frequency and where they come from. Knows the file, the two
parameter records and nothing of circuits.
"""

from __future__ import annotations

import math
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from typing import Literal

from pydantic import Field

from trainer.base import fields as f
from trainer.base.errors import NotFoundError
from trainer.base.places import assets_dir
from trainer.base.yamlfile import load
from trainer.motor import load as shapes
from trainer.motor.params import LoadParams, MotorParams


class Winding(f.Record):
    """Resistance and leakage reactance of one winding."""

    resistance: f.Ohms
    leakage: f.NonNegativeOhms


class Saturation(f.Record):
    """Magnetising current grows by 1 + gain (flux/knee - 1)^2 above the knee."""

    gain: float = Field(gt=0)
    knee: f.Webers


class Heat(f.Record):
    """Copper of each winding and its way to the shell."""

    main: f.JoulesPerKelvin = 900.0
    aux: f.JoulesPerKelvin = 350.0
    path: f.KelvinPerWatt = 0.15


class Load(f.Record):
    """What turns with the shaft: gas load of a compressor by ``kind``, or a fan."""

    kind: Literal["scroll", "rotary", "reciprocating", "even", "fan"]
    run: f.NewtonMetres
    at_rest: f.NonNegativePercent = 0.1
    at_speed: f.NonNegativePercent = 0.4
    coulomb: f.NonNegativeNewtonMetres = 0.0
    breakaway: f.NonNegativeNewtonMetres = 0.0
    #: viscous drag at synchronous speed
    drag: f.NonNegativeNewtonMetres = 0.0

    def params(self, sync_rad_s: float) -> LoadParams:
        """The record the solvers read."""
        fan = self.kind == "fan"
        return LoadParams(
            run_nm=0.0 if fan else self.run,
            fan_nm=self.run if fan else 0.0,
            at_rest=self.at_rest,
            at_speed=self.at_speed,
            shape=_shape(self.kind),
            coulomb_nm=self.coulomb,
            breakaway_nm=self.breakaway,
            viscous_nms=self.drag / sync_rad_s,
            drives_back=self.kind == "scroll",
        )


def _shape(kind: str) -> tuple[float, ...]:
    if kind == "reciprocating":
        return shapes.reciprocating_shape()
    if kind == "rotary":
        return shapes.rotary_shape()
    return shapes.scroll_shape() if kind == "scroll" else (1.0,)


class MachineEntry(f.Record):
    """One motor of the file. Reactances in ohm at ``frequency``."""

    about: str
    source: str = Field(min_length=3)
    volts: f.Volts
    frequency: f.Hertz
    poles: Literal[2, 4, 6, 8]
    run_capacitor: f.Farads
    main: Winding
    aux: Winding
    rotor: Winding
    magnetising: f.Ohms
    ratio: float = Field(gt=0.2, lt=5)
    inertia: f.KgM2
    saturation: Saturation | None = None
    core_resistance: f.NonNegativeOhms = 0.0
    ohms_at: f.Celsius = 25.0
    heat: Heat = Heat()
    load: Load

    def params(self) -> MotorParams:
        """The record the solvers read: henries instead of ohms."""
        w = 2.0 * math.pi * self.frequency
        iron = self.saturation
        return MotorParams(
            r_main=self.main.resistance,
            l_main=self.main.leakage / w,
            r_aux=self.aux.resistance,
            l_aux=self.aux.leakage / w,
            r_rotor=self.rotor.resistance,
            l_rotor=self.rotor.leakage / w,
            l_mutual=self.magnetising / w,
            ratio=self.ratio,
            pole_pairs=self.poles // 2,
            inertia_kg_m2=self.inertia,
            sat_gain=iron.gain if iron else 0.0,
            sat_knee_wb=iron.knee if iron else 1.0,
            core_ohms=self.core_resistance,
            c_main_j_per_k=self.heat.main,
            c_aux_j_per_k=self.heat.aux,
            r_winding_k_per_w=self.heat.path,
            ohms_at_c=self.ohms_at,
        )

    def load_params(self) -> LoadParams:
        """The load suggested for this motor."""
        return self.load.params(self.params().synchronous_rad_s(self.frequency))


class MachineFile(f.Record):
    """The whole file."""

    machines: dict[str, MachineEntry]


@cache
def machines(path: Path | None = None) -> dict[str, MachineEntry]:
    """All motors of the shipped file, or of ``path``."""
    return load(path or assets_dir() / "machines.yaml", MachineFile).machines


def entry(name: str) -> MachineEntry:
    """The motor of this name. Raises NotFoundError naming the nearest ones."""
    known = machines()
    if name not in known:
        near = get_close_matches(name, known) or sorted(known)
        raise NotFoundError(f"no machine named {name!r}", hint=f"write one of {', '.join(near)}")
    return known[name]


def machine(name: str) -> MotorParams:
    """Electrical and thermal parameters of a named motor."""
    return entry(name).params()


def machine_load(name: str) -> LoadParams:
    """The load suggested for a named motor."""
    return entry(name).load_params()
