"""What a touch or a charged capacitor can do to a body.

Values of IEC 60479 (from memory) by the shipped table. To teach scale, never to judge that a
real touch would be safe: every live part at 50 V or more is made dead before work.
"""

from __future__ import annotations

import math
from functools import cache
from itertools import pairwise
from typing import Literal

from trainer.base import yamlfile
from trainer.base.fields import Amps, Ohms, Record, Seconds, Volts
from trainer.base.places import assets_dir

Percentile = Literal["p5", "p50", "p95"]
#: Least felt, and the current some cannot let go of. IEC TS 60479-1 (from memory).
REACTION_A = 0.0005
LET_GO_A = 0.005
#: Hazard thresholds of a national laboratory's electrical-safety page.
SHOCK_V, SHOCK_J = 100.0, 10.0
THERMAL_J = 100.0
TOUCH_V = 50.0

Hazard = Literal["shock", "thermal", "treat as hazardous", "low"]


class BodyRow(Record):
    touch: Volts
    p5: Ohms
    p50: Ohms
    p95: Ohms


class Impedance(Record):
    source: str
    rows: tuple[BodyRow, ...]


class FibrillationRow(Record):
    within: Seconds
    amps: Amps


class Fibrillation(Record):
    source: str
    rows: tuple[FibrillationRow, ...]


class BodyTables(Record):
    """The file assets/body.yaml."""

    body: Impedance
    fibrillation: Fibrillation


@cache
def tables() -> BodyTables:
    return yamlfile.load(assets_dir() / "body.yaml", BodyTables)


def body_ohms(touch_v: float, who: Percentile = "p50") -> float:
    """Hand to hand, dry, large contact [ohm]: log-log between the table's rows, held outside.

    50-1000 V. IEC TS 60479-1:2005 (from memory).
    """
    rows = tables().body.rows
    return _log_log(touch_v, [(row.touch, getattr(row, who)) for row in rows])


def touch_amps(touch_v: float, who: Percentile = "p50", more_ohms: float = 0.0) -> float:
    """Current through a body across ``touch_v``, with anything else in series [A]."""
    return touch_v / (body_ohms(touch_v, who) + more_ohms)


def fibrillation_amps(for_s: float) -> float:
    """Curve c1: below this the heart is unlikely to fibrillate [A]. Held outside 10 ms-3 s."""
    rows = tables().fibrillation.rows
    return _log_log(for_s, [(row.within, row.amps) for row in rows])


#: The zone from which nobody may come back.
FIBRILLATES = "the heart may fibrillate"


def effect(amps: float, for_s: float) -> str:
    """Zone of a touch current in plain words (IEC TS 60479-1, from memory)."""
    if amps < REACTION_A:
        return "usually not felt"
    if amps >= fibrillation_amps(for_s):
        return FIBRILLATES
    return "felt, may startle" if amps < LET_GO_A else "muscles may not let go"


def capacitor_hazard(volts: float, joules: float) -> Hazard:
    """Class of a charged capacitor by volts and joules.

    Shock at 100 V and 10 J, thermal below 100 V above 100 J. Between that and harmless, anything
    of 50 V or more is still treated as hazardous. National-laboratory thresholds.
    """
    if volts >= SHOCK_V and joules >= SHOCK_J:
        return "shock"
    if joules > THERMAL_J:
        return "thermal"
    return "treat as hazardous" if volts >= TOUCH_V else "low"


def discharge_peak_a(volts: float, body: float) -> float:
    """First instant of a capacitor discharged through a body [A]."""
    return volts / body


def discharge_rms_a(volts: float, body: float) -> float:
    """rms over three time constants, taken as I_peak/sqrt(6) [A]. IEC 60479-2 (from memory)."""
    return discharge_peak_a(volts, body) / math.sqrt(6.0)


def _log_log(x: float, points: list[tuple[float, float]]) -> float:
    if x <= points[0][0]:
        return points[0][1]
    for (x0, y0), (x1, y1) in pairwise(points):
        if x <= x1:
            share = math.log(x / x0) / math.log(x1 / x0)
            return float(y0 * (y1 / y0) ** share)
    return points[-1][1]
