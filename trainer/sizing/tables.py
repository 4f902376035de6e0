"""Shipped tables of codes, standards and start gear, read once.

Knows the shape of ``assets/code-tables.yaml`` and ``assets/start-gear.yaml`` and nothing of
what the numbers are used for.
"""

from __future__ import annotations

from functools import cache
from typing import Annotated

from pydantic import Field

from trainer.base import units, yamlfile
from trainer.base.fields import (
    Amps,
    Celsius,
    Farads,
    Ohms,
    Percent,
    Record,
    Seconds,
    Volts,
)
from trainer.base.places import assets_dir
from trainer.parts.gear import RelayClass, StarterClass

Positive = Annotated[float, Field(gt=0.0)]


class Sizes(Record):
    source: str
    amps: tuple[Amps, ...]


class Ampacity(Record):
    """Amps one size carries in each temperature column."""

    at_60_c: Amps
    at_75_c: Amps


class Ampacities(Record):
    source: str
    copper: dict[str, Ampacity]


class AmbientRow(Record):
    most: Celsius
    at_60_c: Percent
    at_75_c: Percent


class Ambient(Record):
    source: str
    rows: tuple[AmbientRow, ...]


class CodeLetters(Record):
    source: str
    from_kva_per_hp: dict[str, Annotated[float, Field(ge=0.0)]]


class MotorAmpsRow(Record):
    hp: Positive
    full_208: Amps
    full_230: Amps
    locked_208: Amps
    locked_230: Amps


class MotorAmps(Record):
    source: str
    rows: tuple[MotorAmpsRow, ...]


class PerUnit(Record):
    r: Percent
    x: Percent


class Transformer(Record):
    source: str
    whole: PerUnit
    half: PerUnit


class Flicker(Record):
    source: str
    changes_per_min: tuple[Positive, ...]
    lamps: dict[str, tuple[Positive, ...]]


class ChangeClasses(Record):
    general: Percent
    delayed_restart: Percent
    attended: Percent


class VoltageChangeLimits(Record):
    source: str
    dc: Percent
    longest: Seconds
    pst: Positive
    plt: Positive
    dmax: ChangeClasses


class ReferenceImpedance(Record):
    source: str
    phase: tuple[Positive, Positive]
    neutral: tuple[Positive, Positive]


class TestImpedance(Record):
    source: str
    loop: tuple[Positive, Positive]


class GeneratorDips(Record):
    source: str
    classes: dict[str, Percent]


class CodeTables(Record):
    standard_sizes: Sizes
    ampacity: Ampacities
    ambient: Ambient
    code_letters: CodeLetters
    motor_amps: MotorAmps
    transformer: Transformer
    flicker: Flicker
    voltage_change: VoltageChangeLimits
    reference_impedance: ReferenceImpedance
    test_impedance: TestImpedance
    generator_dips: GeneratorDips


class StartCapacitor(Record):
    """A start capacitor by its printed range."""

    range: tuple[Farads, Farads]
    volts: Volts

    @property
    def label(self) -> str:
        low, high = (units.show(farads, "F").split()[0] for farads in self.range)
        return f"{low}-{high} µF"


class StartRow(Record):
    rla: Amps
    range: tuple[Farads, Farads]


class StartGear(Record):
    relay_classes: dict[str, RelayClass]
    starter_classes: dict[str, StarterClass]
    start_capacitors: tuple[StartCapacitor, ...]
    bleed: Ohms
    start_by_rla: tuple[StartRow, ...]
    start_over_run: tuple[Positive, Positive]
    ptc_instead_below: Farads


@cache
def codes() -> CodeTables:
    """The shipped tables of codes and standards."""
    return yamlfile.load(assets_dir() / "code-tables.yaml", CodeTables)


@cache
def start_gear() -> StartGear:
    """The shipped classes of start gear, all invented."""
    return yamlfile.load(assets_dir() / "start-gear.yaml", StartGear)
