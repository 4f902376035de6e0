"""What can be recorded from a transient, and the record that comes back.

Knows no solver: a study names channels, the transient fills a Trace, reports read it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from trainer.circuit.elements import Sense

Quantity = Literal["speed_rad_s", "torque_nm", "angle_rad", "lift", "main_c", "aux_c"]


@dataclass(frozen=True)
class Channel:
    """One recorded line: a sense (volts or amps), a machine quantity, or a device's own value.

    Exactly one of ``sense``, (``machine``, ``quantity``), ``capacitor`` (volts on its plates,
    without its ESR), ``device`` (temperature of a Thermal or Ptc [deg C], rms felt by a Coil,
    source volts ratio of a Generator) is given.
    """

    name: str
    sense: Sense | None = None
    machine: str | None = None
    quantity: Quantity | None = None
    capacitor: str | None = None
    device: str | None = None


EventKind = Literal[
    "closed",  # a contact made; value: closing surge I2t [A2s]
    "parted",  # commanded open, still conducting
    "opened",  # current zero reached, now open; value: amps chopped
    "picked_up",  # coil armature moved in
    "dropped_out",
    "tripped",
    "reset",
    "welded",  # value: surge I2t
    "surge",  # closed-form capacitor loop; value: peak amps
    "gave_up",  # generator stalled, inverter or soft starter shut down
]


@dataclass(frozen=True)
class Event:
    t_s: float
    kind: EventKind
    name: str
    value: float = 0.0


@dataclass
class Trace:
    """``t_s`` [n]; ``values[name]`` [n] each; ``heat_j[element]``; energies for the balance [J]."""

    t_s: np.ndarray
    values: dict[str, np.ndarray]
    events: list[Event]
    heat_j: dict[str, float] = field(default_factory=dict)
    energy_j: dict[str, float] = field(default_factory=dict)

    def __getitem__(self, name: str) -> np.ndarray:
        return self.values[name]
