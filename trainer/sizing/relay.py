"""Potential relay for a motor and a start capacitor: where it must open, close again and last.

Works on the phasor V(S-C) of a motor at held speeds, so the armature's and the iron's delay are
left out; a simulated start is the finer answer. rms volts. The rules are common practice, no
source, unless a line says otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np
from scipy.optimize import brentq

from trainer.motor import psc
from trainer.motor.params import MotorParams
from trainer.sizing.ruled import Ruled

HIGH_LINE, LOW_LINE = 1.10, 0.85
#: Pickup must stand this far above what the coil sees before it should open.
MARGIN = 1.25
#: The contact must still be closed here and have opened there, as shares of synchronous speed.
NOT_YET, BY_NOW = 0.60, 0.85
_SOURCE = "common practice, no source; volts from the motor model"
_SPEEDS = np.linspace(0.0, 0.99, 100)

Range = tuple[float, float]


class RelayData(Protocol):
    """What a class or a maker's sheet says of a relay [V rms]."""

    @property
    def pickup(self) -> Range: ...

    @property
    def dropout_most(self) -> float: ...

    @property
    def continuous(self) -> float: ...


@dataclass(frozen=True)
class Needs:
    """What a relay must keep for one motor and one start capacitor [V rms]."""

    pickup: Ruled
    dropout: Ruled  # the most at which the contact may close again
    continuous: Ruled  # the least the coil must stand


def coil_volts(params: MotorParams, line: psc.Line, speed_ratio: float) -> float:
    """Volts from start to common at a held share of synchronous speed."""
    speed = speed_ratio * params.synchronous_rad_s(line.hz)
    return float(abs(psc.solve(params, line, speed).v_aux))


def pickup_window(params: MotorParams, line: psc.Line, start_f: float) -> Ruled:
    """Volts between which the coil may open the contact.

    Least: 1.25 times the greatest V(S-C) at rest and at 60 % speed on a 110 % line. Most: V(S-C)
    at 85 % speed on an 85 % line. ``start_f`` is the middle of the can's range; its ends are for
    the simulated start.
    """
    before = max(coil_volts(params, _at(line, HIGH_LINE, start_f), r) for r in (0.0, NOT_YET))
    after = coil_volts(params, _at(line, LOW_LINE, start_f), BY_NOW)
    rule = (
        f"above {MARGIN} times V(S-C) at rest and at 60 % speed on a 110 % line, "
        "below V(S-C) at 85 % speed on an 85 % line"
    )
    return Ruled((MARGIN * before, after), "V", rule, _SOURCE)


def opening_speed(params: MotorParams, line: psc.Line, pickup_v: float) -> float | None:
    """Share of synchronous speed at which V(S-C) first reaches pickup; None when it never does.

    Quasi-steady: the real relay opens a little later. 0.0 when it is reached at rest.
    """

    def short(ratio: float) -> float:
        return coil_volts(params, line, ratio) - pickup_v

    speeds = _SPEEDS * params.synchronous_rad_s(line.hz)
    over = np.abs(psc.solve(params, line, speeds).v_aux) >= pickup_v
    if not over.any():
        return None
    first = int(np.argmax(over))
    return 0.0 if first == 0 else float(brentq(short, _SPEEDS[first - 1], _SPEEDS[first]))


def dropout_most(params: MotorParams, line: psc.Line, start_f: float, pickup_v: float) -> Ruled:
    """Highest volts at which the contact may close again [V].

    0.85 times V(S-C) with the run capacitor alone at the speed of opening: what is left the
    moment the start capacitor has gone, on a low line. ``pickup_v`` is the middle of a relay's
    range, since one that picks up low also lets go low.
    """
    ratio = opening_speed(params, _at(line, 1.0, start_f), pickup_v)
    rule = "below 0.85 times V(S-C) with the run capacitor alone at the speed of opening"
    if ratio is None:
        return Ruled(None, "V", rule, _SOURCE, "the coil never reaches this pickup")
    value = LOW_LINE * coil_volts(params, _at(line, 1.0, 0.0), ratio)
    return Ruled(value, "V", rule, _SOURCE)


def continuous_least(params: MotorParams, line: psc.Line, load_slip: float) -> Ruled:
    """Volts the coil must stand for ever: V(S-C) running at rated load on a 110 % line [V].

    A lightly loaded motor shows more (about a tenth), for as long as it is light.
    """
    value = coil_volts(params, _at(line, HIGH_LINE, 0.0), 1.0 - load_slip)
    rule = "at least V(S-C) running at rated load on a 110 % line"
    return Ruled(value, "V", rule, _SOURCE)


def needs(
    params: MotorParams, line: psc.Line, start_f: float, load_slip: float, pickup_v: float
) -> Needs:
    """All three windows for a relay that usually picks up at ``pickup_v``."""
    return Needs(
        pickup=pickup_window(params, line, start_f),
        dropout=dropout_most(params, line, start_f, pickup_v),
        continuous=continuous_least(params, line, load_slip),
    )


def misfits(relay: RelayData, need: Needs) -> list[str]:
    """What is wrong with a relay for these needs, in plain words; empty when it fits."""
    low, high = need.pickup.window
    faults = []
    if relay.pickup[0] < low:
        faults.append(
            f"may open too early: picks up from {relay.pickup[0]:.0f} V, under {low:.0f} V"
        )
    if relay.pickup[1] > high:
        faults.append(f"may open late: picks up to {relay.pickup[1]:.0f} V, over {high:.0f} V")
    if need.dropout.value is None or relay.dropout_most > need.dropout.number:
        faults.append(f"may chatter: lets go at up to {relay.dropout_most:.0f} V")
    if relay.continuous < need.continuous.number:
        faults.append(
            f"coil may burn: stands {relay.continuous:.0f} V, meets {need.continuous.number:.0f} V"
        )
    return faults


def _at(line: psc.Line, share: float, start_f: float) -> psc.Line:
    return replace(line, volts=share * line.volts, start_f=start_f)
