"""The motor a plate describes, as sizing needs it: parameters, load today, rated slip.

Takes the compressor exactly as a study would build it, so that phasors here and a simulated
start speak of one machine. Knows parts and the motor layer; must know no choice.
"""

from __future__ import annotations

from dataclasses import dataclass

from trainer.base.units import show
from trainer.motor import psc
from trainer.motor.fit import Fit
from trainer.motor.load import mean_torque
from trainer.motor.params import LoadParams, MotorParams
from trainer.parts.motors import Compressor
from trainer.sizing import bench
from trainer.sizing.fitted import fitted
from trainer.sizing.nameplate_file import NameplateFile

#: Figures worth telling when the plate leaves them open, and their units.
_OPEN = {
    "rated_aux_v": ("V(S-C) at rated load", "V"),
    "locked_nm": ("standing torque", "N.m"),
    "breakdown_nm": ("breakdown torque", "N.m"),
}


@dataclass(frozen=True)
class Motor:
    """``load`` is as it stands at the moment of the start; ``line`` is stiff at rated volts."""

    params: MotorParams
    load: LoadParams
    line: psc.Line
    fit: Fit

    @property
    def rated_slip(self) -> float:
        return self.fit.values["rated_slip"]

    @property
    def at_rest_nm(self) -> float:
        """Mean torque the load asks at standstill, breakaway included [N m]."""
        sync = self.params.synchronous_rad_s(self.line.hz)
        gas = mean_torque(self.load, 0.0, sync) - self.load.coulomb_nm
        return gas + max(self.load.breakaway_nm, self.load.coulomb_nm)

    @property
    def notes(self) -> tuple[str, ...]:
        """What the plate leaves open, as ranges, and the fit's own remarks."""
        parts = []
        for key, (name, unit) in _OPEN.items():
            low, high = (show(end, unit) for end in self.fit.ranges[key])
            parts.append(f"{name} {show(self.fit.values[key], unit)} ({low} to {high})")
        ranged = "The plate leaves open, nine motors in ten within: " + ", ".join(parts) + "."
        return (ranged, *self.fit.notes)


def of_plate(plate: NameplateFile) -> Motor:
    """The most probable motor of a plate that takes start gear."""
    part = Compressor.model_validate(bench.compressor_part(plate))
    sheet = part.sheet()
    return Motor(sheet.params, part.shaft_load(sheet.load), sheet.line, fitted(plate.motor()))


def starts_by_phasors(motor: Motor, line: psc.Line) -> bool:
    """Whether mean torque beats the mean load from standstill to running, at held speeds.

    Leaves out inertia, torque pulsation and the load's course over a turn.
    """
    sync = motor.params.synchronous_rad_s(line.hz)
    slips, point = psc.torque_curve(motor.params, line)
    running = psc.running_slip(
        motor.params, line, lambda speed: mean_torque(motor.load, speed, sync)
    )
    if running is None:
        return False
    still = float(psc.locked(motor.params, line).torque_nm)
    below = [
        float(torque) > mean_torque(motor.load, float(speed), sync)
        for slip, torque, speed in zip(slips, point.torque_nm, point.speed_rad_s, strict=True)
        if slip > running + 1e-3
    ]
    return still > motor.at_rest_nm and all(below)
