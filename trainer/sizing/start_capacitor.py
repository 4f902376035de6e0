"""Which start capacitor: the rules of thumb, and what the motor itself allows.

Farads; phasors at standstill. Knows the motor and the shipped list of capacitors; the relay that
goes with it is ``relay``'s business.
"""

from __future__ import annotations

import math
from dataclasses import replace

from scipy.optimize import brentq

from trainer.motor import psc
from trainer.motor.params import MotorParams
from trainer.sizing.relay import HIGH_LINE, coil_volts
from trainer.sizing.ruled import Ruled
from trainer.sizing.tables import StartCapacitor, start_gear

#: V(S-C) at standstill on a 110 % line must stay under this share of the relay's pickup.
STANDSTILL_SHARE = 0.8
#: Where the first crossing is looked for: V(S-C) rises to a resonance and falls again. Invented.
_STEP_F = 10e-6
_GRID_F = [_STEP_F * n for n in range(1, 151)]
#: Rules of thumb name round figures; a can this close to their end still keeps them.
_SLACK = 0.05


def by_rule_of_thumb(rla_a: float, run_f: float) -> Ruled:
    """Range of start microfarads by rated-load amps and by the run capacitor [F].

    The row of the table by RLA, and 2.5-4 times the run capacitor: where both agree, else the row
    by RLA alone. 208-240 V compressors up to 27 A. Common practice, no source.
    """
    gear = start_gear()
    rows = [row for row in gear.start_by_rla if rla_a <= row.rla]
    rule = "by rated-load amps and 2.5-4 times the run capacitor"
    if not rows:
        note = f"no row for {rla_a:.1f} A; the table ends at {gear.start_by_rla[-1].rla:.0f} A"
        return Ruled(None, "F", rule, "common practice, no source", note)
    low, high = rows[0].range
    times_low, times_high = (factor * run_f for factor in gear.start_over_run)
    both = max(low, times_low), min(high, times_high)
    if both[0] >= both[1]:
        note = "the run capacitor asks for another range than the rated-load amps"
        return Ruled((low, high), "F", rule, "common practice, no source", note)
    return Ruled(both, "F", rule, "common practice, no source")


def most_by_standstill(params: MotorParams, line: psc.Line, pickup_v: float) -> Ruled:
    """Largest start capacitor that leaves a relay of lowest pickup ``pickup_v`` closed at rest [F].

    V(S-C) at standstill on a 110 % line = 0.8 pickup. Beyond, the coil nears pickup before the
    rotor has turned.
    """
    rule = "V(S-C) at standstill on a 110 % line under 0.8 times pickup"
    source = "common practice, no source; volts from the motor model"

    def over(farads: float) -> float:
        return standstill_volts(params, line, farads) - STANDSTILL_SHARE * pickup_v

    if over(0.0) >= 0.0:
        return Ruled(None, "F", rule, source, "the run capacitor alone reaches it")
    first = next((f for f in _GRID_F if over(f) > 0.0), None)
    if first is None:
        return Ruled(_GRID_F[-1], "F", rule, source, "not reached by any start capacitor")
    return Ruled(float(brentq(over, first - _STEP_F, first, xtol=1e-9)), "F", rule, source)


def standstill_volts(params: MotorParams, line: psc.Line, start_f: float) -> float:
    """V(S-C) at rest on a 110 % line [V]."""
    return coil_volts(params, replace(line, volts=HIGH_LINE * line.volts, start_f=start_f), 0.0)


def standstill_torque(params: MotorParams, line: psc.Line, start_f: float) -> float:
    """Torque at rest with this start capacitor on ``line`` [N m]."""
    return float(psc.locked(params, replace(line, start_f=start_f)).torque_nm)


def in_order(rla_a: float, run_f: float) -> tuple[list[StartCapacitor], list[StartCapacitor]]:
    """Shipped start capacitors inside the rule of thumb, small first; the others, nearest first."""
    cans = start_gear().start_capacitors
    thumb = by_rule_of_thumb(rla_a, run_f)
    if thumb.value is None:
        return [], list(cans)
    low, high = thumb.window
    inside = [can for can in cans if _within(can, low, high)]
    centre = math.sqrt(low * high)
    others = [can for can in cans if can not in inside]
    return inside, sorted(others, key=lambda can: abs(math.log(middle_f(can.range) / centre)))


def middle_f(range_f: tuple[float, float]) -> float:
    """Middle of a printed range [F]."""
    return sum(range_f) / 2.0


def _within(can: StartCapacitor, low: float, high: float) -> bool:
    return low * (1.0 - _SLACK) <= can.range[0] and can.range[1] <= high * (1.0 + _SLACK)
