"""Where the windings of a part come from: a shipped machine, ohms in the study, a nameplate.

Knows the motor layer's three ways to a machine; must know no circuit.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, model_validator

from trainer.base.errors import Faults, FieldError, FieldFaults, Misfit, NotFoundError, quoted
from trainer.base.fields import Amps, Celsius, Farads, Hertz, Ohms, Volts
from trainer.motor import psc
from trainer.motor.fit import fit
from trainer.motor.load import mean_torque
from trainer.motor.machines import MachineEntry, entry
from trainer.motor.nameplate import Nameplate
from trainer.motor.params import LoadParams, MotorParams
from trainer.parts.plausible import Plausible

#: Whose friction and course over speed a compressor from a nameplate is given. Invented.
USUAL_COMPRESSOR = "anchor"


def _machine_name(given: Any) -> str:
    """A name that assets/machines.yaml has."""
    try:
        entry(str(given))
    except NotFoundError as error:
        names = error.hint.removeprefix("write one of ")
        hint = f"one of {names}" if "," in names else names
        raise FieldError(f"{quoted(given)} is not a machine known here", hint=hint) from None
    return str(given)


MachineName = Annotated[str, BeforeValidator(_machine_name)]


class InlineMachine(Plausible, MachineEntry):
    """A machine written out in the study itself, in the form of assets/machines.yaml."""

    about: str = "written out in the study"
    source: str = "the study"


class Plate(Plausible):
    """The nameplate of a compressor, and ohms between its terminals if they were measured."""

    volts: Volts
    frequency: Hertz = 60.0
    poles: Literal[2, 4, 6] = 2
    rla: Amps
    lra: Amps
    run_capacitor: Farads
    common_run: Ohms | None = None
    common_start: Ohms | None = None
    run_start: Ohms | None = None
    ohms_at: Celsius = 25.0

    @model_validator(mode="after")
    def _can_be_a_motor(self) -> Plate:
        try:
            _fitted(self.as_nameplate())
        except Faults as error:
            raise FieldFaults(
                [Misfit((_KEYS.get(f.where, f.where),), f.what, f.write) for f in error.faults]
            ) from None
        return self

    def as_nameplate(self) -> Nameplate:
        return Nameplate(
            self.volts, self.frequency, self.poles, self.rla, self.lra, self.run_capacitor,
            self.common_run, self.common_start, self.run_start, self.ohms_at,
        )  # fmt: skip


#: What the motor layer calls a figure -> its key in a study.
_KEYS = {
    "hz": "frequency",
    "rla_a": "rla",
    "lra_a": "lra",
    "run_f": "run_capacitor",
    "common_run_ohms": "common_run",
    "common_start_ohms": "common_start",
    "run_start_ohms": "run_start",
}


@dataclass(frozen=True)
class Sheet:
    """What a part needs of its machine, wherever it came from."""

    params: MotorParams
    load: LoadParams
    line: psc.Line

    @staticmethod
    def of_entry(machine: MachineEntry) -> Sheet:
        line = psc.Line(machine.volts, machine.frequency, machine.run_capacitor)
        return Sheet(machine.params(), machine.load_params(), line)

    @staticmethod
    def of_plate(plate: Plate) -> Sheet:
        """The most probable motor of the plate, loaded to draw its RLA, friction included."""
        params, rated_nm = _fitted(plate.as_nameplate())
        usual = replace(entry(USUAL_COMPRESSOR).load_params(), run_nm=0.0)
        sync = params.synchronous_rad_s(plate.frequency)
        gas_nm = rated_nm - mean_torque(usual, sync, sync)
        line = psc.Line(plate.volts, plate.frequency, plate.run_capacitor)
        return Sheet(params, replace(usual, run_nm=max(gas_nm, 0.0)), line)


@cache
def _fitted(plate: Nameplate) -> tuple[MotorParams, float]:
    found = fit(plate)
    return found.params, found.rated_nm


@cache
def usual_amps(sheet: Sheet) -> tuple[float, float]:
    """(rated, locked) line amps of a machine with its run capacitor and its own load [A rms].

    Linear iron. Rated: with the pressures parted; a sixth of locked when it cannot carry that
    (NEC 440.12(C) the other way round).
    """
    motor = replace(sheet.params, sat_gain=0.0)
    locked = abs(complex(psc.locked(motor, sheet.line).i_line))
    sync = motor.synchronous_rad_s(sheet.line.hz)
    slip = psc.running_slip(motor, sheet.line, lambda w: mean_torque(sheet.load, w, sync, 1.0))
    if slip is None:
        return locked / 6.0, locked
    return abs(complex(psc.at_slip(motor, sheet.line, slip).i_line)), locked
