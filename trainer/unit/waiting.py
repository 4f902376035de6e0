"""What a person waits for: capacitors empty, thermistors cold, overloads reset, timers ready.

Knows a unit's remembered state; must know no act.
"""

from __future__ import annotations

from trainer.circuit.elements import Ptc, Thermal, Timer
from trainer.unit.circuit import elements_of
from trainer.unit.state import Unit
from trainer.unit.world import going_on

#: Direct volts that count as none, and how near to its cold ohms a thermistor is cold.
EMPTY_V, COLD = 5.0, 1.05


def settled(unit: Unit, what: str) -> bool:
    """Whether it is so now; true where there is nothing to wait for."""
    if what == "discharged":
        return going_on(unit).charged_v < EMPTY_V
    elements, _ = elements_of(unit)
    states = unit.electrics.devices
    for d in elements.devices:
        now = states[d.name].values
        if what == "cold" and isinstance(d, Ptc) and now[0] > COLD * d.cold_ohms:
            return False
        if what == "reset" and isinstance(d, Thermal) and now[0] != 0.0:
            return False
        if what == "timer" and isinstance(d, Timer) and not _ready(d, now):
            return False
    return True


def _ready(d: Timer, now: tuple[float, ...]) -> bool:
    """Acted, or off for as long as it locks out."""
    return now[0] != 0.0 or now[3] >= d.lockout_s
