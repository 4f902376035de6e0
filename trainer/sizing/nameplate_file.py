"""The file a person writes from the nameplate of a condensing unit.

Shape of the file, and the motor layer's word on whether its numbers can be one motor; what
follows from them is ``choose``'s business.
"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, model_validator

from trainer.base.errors import Faults, FieldFaults, Misfit
from trainer.base.fields import (
    Amps,
    Celsius,
    Farads,
    Hertz,
    Metres,
    NonNegativeAmps,
    NonNegativeMetres,
    NonNegativePercent,
    Ohms,
    Percent,
    Record,
    VoltAmps,
    Volts,
)
from trainer.base.yamlfile import load
from trainer.motor.nameplate import Nameplate
from trainer.parts.conductors import Gauge
from trainer.sizing.fitted import fitted

CompressorKind = Literal["scroll", "reciprocating", "rotary"]
Metering = Literal["fixed_orifice", "bleeding_valve", "hard_shutoff_valve"]
Drive = Literal["capacitor_run", "variable_speed"]
Complaint = Literal["none", "will_not_start", "lights_dip", "generator"]


class WindingOhms(Record):
    """Winding resistances read at the terminals, leads taken off."""

    common_run: Ohms
    common_start: Ohms
    at: Celsius = 25.0


class Run(Record):
    """A run of wire, one way. ``gauge`` as the conductor table names it."""

    length: Metres
    gauge: Gauge


class Supply(Record):
    """What feeds the unit: transformer [VA], the service conductors, the branch circuit."""

    transformer: VoltAmps | None = None
    service: Run | None = None
    branch: Run | None = None


class GeneratorSite(Record):
    """A set that is to start the unit: accepted dip, transient reactance, height, other load."""

    dip: Percent = 0.30
    transient_reactance: Percent = 0.20
    height: NonNegativeMetres = 0.0
    other_load: VoltAmps | None = None


class RelayRow(Record):
    """A relay as a maker's sheet gives it."""

    pickup: tuple[Volts, Volts]
    dropout_most: Volts
    continuous: Volts

    @model_validator(mode="after")
    def _in_order(self) -> RelayRow:
        steps = [self.dropout_most, *self.pickup, self.continuous]
        if steps != sorted(steps):
            what = "drop-out, pickup and continuous volts do not rise"
            raise FieldFaults([Misfit(("pickup",), what, "the least first, each above drop-out")])
        return self


class MakerTable(Record):
    """The compressor maker's start-parts table; comes before every rule here."""

    sheet: str
    start_capacitor: tuple[Farads, Farads] | None = None
    start_capacitor_volts: Volts | None = None
    relay: RelayRow | None = None
    start_aid: Literal["allowed", "forbidden"] = "allowed"

    @model_validator(mode="after")
    def _in_order(self) -> MakerTable:
        if self.start_capacitor and self.start_capacitor[0] > self.start_capacitor[1]:
            what = "the range of the start capacitor runs backwards"
            raise FieldFaults([Misfit(("start_capacitor",), what, "the smaller value first")])
        return self


class Marked(Record):
    """What the unit's own plate gives for the branch circuit."""

    minimum_circuit_ampacity: Amps | None = None
    largest_breaker: Amps | None = None


class NameplateFile(Record):
    """Everything ``condenser-bench size`` reads. Amps at rated volts."""

    nameplate: Literal[1]
    title: str
    about: str = ""
    volts: Volts
    lowest_volts: Volts | None = None
    hz: Hertz
    phases: Literal[1, 3] = 1
    drive: Drive = "capacitor_run"
    poles: Literal[2, 4, 6] = 2
    compressor: CompressorKind
    rla: Amps
    selection_current: Amps | None = None
    lra: Amps | None = None
    run_capacitor: Farads | None = None
    run_capacitor_tolerance: NonNegativePercent = 0.06
    ohms: WindingOhms | None = None
    fan_fla: NonNegativeAmps = 0.0
    other_loads: tuple[NonNegativeAmps, ...] = ()
    metering: Metering = "fixed_orifice"
    #: Share of the running pressure torque still there when it is called again, where the
    #: pressures do not equalise. Invented.
    pressure_left: Percent = 0.25
    complaint: Complaint = "none"
    starts_per_hour: Annotated[float, Field(gt=0.0, le=60.0)] = 6.0
    ambient: Celsius = 30.0
    supply: Supply = Supply()
    generator: GeneratorSite = GeneratorSite()
    marked: Marked = Marked()
    maker_table: MakerTable | None = None

    @property
    def others_a(self) -> tuple[float, ...]:
        """Loads besides the compressor that really are there [A]."""
        return tuple(amps for amps in (self.fan_fla, *self.other_loads) if amps > 0.0)

    @property
    def takes_start_gear(self) -> bool:
        """Whether this is a single-phase induction motor with a run capacitor."""
        return self.phases == 1 and self.drive == "capacitor_run"

    @property
    def pressures_equalise(self) -> bool:
        """Whether the compressor starts against equal pressures after its off time.

        A scroll lets its own set equalise; others need a metering device that bleeds.
        """
        return self.compressor == "scroll" or self.metering != "hard_shutoff_valve"

    def motor(self) -> Nameplate:
        """The plate as the motor layer reads it. Needs a plate that takes start gear."""
        ohms = self.ohms
        return Nameplate(
            self.volts, self.hz, self.poles, self.rla, self.lra or 0.0, self.run_capacitor or 0.0,
            ohms.common_run if ohms else None, ohms.common_start if ohms else None,
            ohms_at_c=ohms.at if ohms else 25.0,
        )  # fmt: skip

    @model_validator(mode="after")
    def _can_be_a_motor(self) -> NameplateFile:
        faults = _missing(self) or _impossible(self)
        if faults:
            raise FieldFaults(faults)
        return self


#: What the motor layer calls a figure -> its place in the file.
_KEYS: dict[str, tuple[str, ...]] = {
    "rla_a": ("rla",),
    "lra_a": ("lra",),
    "run_f": ("run_capacitor",),
    "common_run_ohms": ("ohms", "common_run"),
    "common_start_ohms": ("ohms", "common_start"),
}


def read(path: str | Path) -> NameplateFile:
    """The file, checked. Raises Faults with everything wrong in it."""
    return load(path, NameplateFile)


def _missing(plate: NameplateFile) -> list[Misfit]:
    if not plate.takes_start_gear:
        return []
    wanted = {"lra": (plate.lra, "79 A"), "run_capacitor": (plate.run_capacitor, "35 uF")}
    what = "a single-phase compressor needs this from its plate"
    return [Misfit((key,), what, example) for key, (found, example) in wanted.items() if not found]


def _impossible(plate: NameplateFile) -> list[Misfit]:
    """Why no motor can have this plate, at the keys of the file."""
    if not plate.takes_start_gear:
        return []
    try:
        fitted(plate.motor())
    except Faults as error:
        return [Misfit(_KEYS.get(f.where, (f.where,)), f.what, f.write) for f in error.faults]
    return []
