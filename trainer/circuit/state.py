"""What a circuit remembers between one instant and the next: charges, currents, fluxes, heat.

A CircuitState is plain data by name, so that the transient, the running mode and the stored
charge analysis can hand a unit to one another. Knows no solver.
"""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True)
class MachineState:
    """Flux linkages [Wb-turn] of stator (q main, d auxiliary) and rotor, shaft, heat.

    ``speed_rad_s`` and ``angle_rad`` are mechanical; ``lift`` 0 (pressures equal) to 1.
    """

    flux_main: float = 0.0
    flux_aux: float = 0.0
    flux_rotor_main: float = 0.0
    flux_rotor_aux: float = 0.0
    speed_rad_s: float = 0.0
    angle_rad: float = 0.0
    lift: float = 0.0
    pocket: float = 0.0
    main_c: float = 25.0
    aux_c: float = 25.0


@dataclass(frozen=True)
class DeviceState:
    """A device's own memory: ``values`` as laid out in kernel_devices, and its cycle rms."""

    values: tuple[float, ...]
    rms: float = 0.0


@dataclass(frozen=True)
class CircuitState:
    """Everything by element name. Missing names start from rest.

    ``holders``: the device that each bit of ``reasons`` belongs to, in order of bits.
    """

    t_s: float = 0.0
    capacitor_v: dict[str, float] = field(default_factory=dict)
    inductive_a: dict[str, float] = field(default_factory=dict)
    machines: dict[str, MachineState] = field(default_factory=dict)
    closed: dict[str, bool] = field(default_factory=dict)
    reasons: dict[str, int] = field(default_factory=dict)
    holders: tuple[str, ...] = ()
    welded: frozenset[str] = frozenset()
    devices: dict[str, DeviceState] = field(default_factory=dict)
    source_turns: tuple[float, ...] = ()
    source_peak: tuple[float, ...] = ()
    source_hz: tuple[float, ...] = ()
    resistor_ohms: dict[str, float] = field(default_factory=dict)
