"""The numbers that name a finding, read from assets/start-thresholds.yaml with their sources.

Knows the file; must know nothing of how a finding is made.
"""

from __future__ import annotations

from functools import cache
from typing import Annotated

from pydantic import Field

from trainer.base.fields import (
    Amps,
    AnyPercent,
    Celsius,
    JoulesPerKelvin,
    Kelvin,
    Ohms,
    Percent,
    Record,
    Seconds,
)
from trainer.base.places import assets_dir
from trainer.base.yamlfile import load

Number = Annotated[float, Field(gt=0.0)]
Count = Annotated[int, Field(gt=0)]


class _Sourced(Record):
    source: Annotated[str, Field(min_length=3)]


class Share(_Sourced):
    value: Percent


class Multiple(_Sourced):
    value: AnyPercent


class Time(_Sourced):
    value: Seconds


class Resistance(_Sourced):
    value: Ohms


class Current(_Sourced):
    value: Amps


class Temperature(_Sourced):
    value: Celsius


class Difference(_Sourced):
    value: Kelvin


class HeatCapacity(_Sourced):
    value: JoulesPerKelvin


class Plain(_Sourced):
    value: Number


class Whole(_Sourced):
    value: Count


class Thresholds(Record):
    """One entry a number; what each means stands beside it in the file."""

    full_speed: Share
    reverse_speed: Share
    fell_back: Share
    late_after: Time
    never_after: Time
    slower_than_reference: Multiple
    longer: Multiple
    chatter_recloses: Whole
    in_circuit: Current
    ptc_off: Share
    over_torque: Multiple
    powered: Share
    no_current: Current
    short_circuit: Multiple
    short_ohms: Resistance
    contactor_gap: Time
    inrush_window: Time
    inrush_trigger: Current
    display_updates: Plain
    starts_per_hour: Plain
    can_heat_capacity: HeatCapacity
    vents_at: Temperature
    life_voltage_exponent: Plain
    life_halves_every: Difference
    line_step: Share


@cache
def thresholds() -> Thresholds:
    return load(assets_dir() / "start-thresholds.yaml", Thresholds)
