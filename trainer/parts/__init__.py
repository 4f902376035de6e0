"""Parts of a unit and its supply: each writes itself into the flat list of elements.

To add one: a record in the nearest module, or its own, and a line in ``PARTS``. Knows motors
and circuits; must know nothing of studies, starts or reports.
"""

from __future__ import annotations

from trainer.parts.capacitors import DualCapacitor, RunCapacitor, StartCapacitor
from trainer.parts.control import Contactor, ControlTransformer, ReversingValve
from trainer.parts.heatpump import CoilSensor, DefrostControl
from trainer.parts.joining import Splice
from trainer.parts.motors import Compressor, FanMotor
from trainer.parts.part import Moves, Part
from trainer.parts.protection import Breaker, Disconnect, Fuse, Gfci
from trainer.parts.relays import CurrentRelay, PotentialRelay
from trainer.parts.resistive import CrankcaseHeater, ResistiveLoad
from trainer.parts.safeties import DelayTimer, PressureSwitch, TransferSwitch
from trainer.parts.softstart import SoftStarter
from trainer.parts.source import BatteryInverter, GeneratorSet
from trainer.parts.startgear import PtcStarter, TimedStarter
from trainer.parts.supply import LineNeutral230, SplitPhaseService, Supply, Wye208
from trainer.parts.thermostat import ThermostatSupply

#: Every kind of part a study may name.
PARTS: dict[str, type[Part]] = {
    "split_phase_service": SplitPhaseService,
    "wye_208": Wye208,
    "line_neutral_230": LineNeutral230,
    "generator": GeneratorSet,
    "inverter": BatteryInverter,
    "breaker": Breaker,
    "fuse": Fuse,
    "disconnect": Disconnect,
    "gfci": Gfci,
    "transfer_switch": TransferSwitch,
    "contactor": Contactor,
    "control_transformer": ControlTransformer,
    "thermostat_supply": ThermostatSupply,
    "delay_timer": DelayTimer,
    "pressure_switch": PressureSwitch,
    "defrost_control": DefrostControl,
    "coil_sensor": CoilSensor,
    "reversing_valve": ReversingValve,
    "crankcase_heater": CrankcaseHeater,
    "resistive_load": ResistiveLoad,
    "compressor": Compressor,
    "fan_motor": FanMotor,
    "run_capacitor": RunCapacitor,
    "dual_capacitor": DualCapacitor,
    "start_capacitor": StartCapacitor,
    "potential_relay": PotentialRelay,
    "current_relay": CurrentRelay,
    "ptc": PtcStarter,
    "timed_starter": TimedStarter,
    "soft_starter": SoftStarter,
    "splice": Splice,
}

__all__ = ["PARTS", "Moves", "Part", "Supply"]
