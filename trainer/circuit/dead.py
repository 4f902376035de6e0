"""What an instrument reads between two points of a dead circuit, everything else connected.

Ohms: the meter drives a small direct current; capacitors have settled and are open, windings
are their copper, a transformer conducts in each winding but not across. Farads: the meter
ramps its points with a constant current and times the rise, so whatever lies across the
capacitor falsifies the reading or keeps it off the scale, as it does in the field.
Insulation: 500 V dc and megohms. Charge left in capacitors, or a live circuit, falsifies ohms
and farads, and the reading says so. No reading of this module proves a circuit dead.

Knows elements and meters; knows no session and no learner.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from trainer.circuit.charge import Decay
from trainer.circuit.elements import Elements, Resistor
from trainer.circuit.meter import (
    HAND_METER,
    INSULATION_SHOWN_MOHM,
    INSULATION_TEST_A,
    Meter,
    Reading,
)
from trainer.circuit.modes import RcModes
from trainer.circuit.network import (
    Branch,
    Equations,
    between,
    branches_of,
    dc_paths,
    leaks_of,
    rows_of,
)
from trainer.motor.phasor import stator_ohms

Array = NDArray[np.float64]

#: Insulation of every node to chassis that an instrument meets: 5 Gohm, clean and dry. Invented;
#: far less than the solver's own leakage, so that a healthy unit of fifty nodes reads over
#: 100 Mohm (a common practice limit, no source). Damp is a resistor of the part that is damp.
INSULATION_S = 2e-10


#: Charge or live volts on the points that a careful reading must not have [V]. Invented.
DISTURBING_V = 0.02
#: A capacitance reading is refused with more on the points [V]. Invented.
CHARGED_V = 1.0
#: A capacitor left with more after an insulation test is worth a warning [V].
LEFT_CHARGED_V = 50.0
#: Nobody waits longer [s].
LONGEST_S = 1e6
#: A reading that takes longer than this to settle is said to climb [s].
CLIMBING_S = 1.0

LIVE = "live: the points have volts on them; no reading here, and the meter can be hurt"
SHUNTED = "the points never rise: something conducts across them"
DISCHARGE = "charged: discharge through a resistor and prove it before measuring"


@dataclass(frozen=True)
class Dead:
    """A circuit as an instrument meets it: contacts, charge left, winding temperatures, live volts.

    ``charge_v``: capacitor volts (None: none left anywhere). ``live_v``: volts rms that something
    still drives on the measured points. ``temps``: (main, aux) winding temperatures [deg C].
    """

    elements: Elements
    closed: Mapping[str, bool] | None = None
    charge_v: Mapping[str, float] | None = None
    live_v: float = 0.0
    extra: Sequence[Resistor] = ()
    temps: Mapping[str, tuple[float, float]] | None = None
    ohms: Mapping[str, float] | None = None

    def resistances(self) -> dict[str, float]:
        """Resistances by name that differ from the elements' own: given ones and warm windings."""
        warm: dict[str, float] = {}
        for machine in self.elements.machines:
            if self.temps and machine.name in self.temps:
                main, aux = stator_ohms(machine.params, self.temps[machine.name])
                warm |= {f"{machine.name}.main": main, f"{machine.name}.aux": aux}
        return {**warm, **(self.ohms or {})}

    def volts_left(self, a: int, b: int) -> float:
        """Direct volts that charged capacitors put between two nodes [V]."""
        if not self.charge_v:
            return 0.0
        start = {c.name: self.charge_v.get(c.name, 0.0) for c in self.elements.capacitives}
        decay = Decay(
            self.elements, self.closed, start, self.extra,
            ohms=self.resistances(), leakage_s=INSULATION_S,
        )  # fmt: skip
        return decay.volts_between(a, b, 0.0)

    def modes(self) -> RcModes:
        return RcModes(
            self.elements, self.closed, self.extra,
            ohms=self.resistances(), leakage_s=INSULATION_S,
        )  # fmt: skip


def dc_response(dead: Dead, a: int, b: int) -> tuple[float, dict[str, float]]:
    """Settled volts for 1 A driven in at ``a`` and out at ``b``: between them, and by capacitor."""
    found = branches_of(dead.elements, dead.closed, dead.extra, dead.resistances())
    table = dc_paths(found) + leaks_of(dead.elements, INSULATION_S)
    count = len(dead.elements.nodes)
    equations = Equations(rows_of(table, count), np.array([1.0 / x.ohms for x in table]))
    probe = between(a, b, count)
    w = equations.inject(probe)[:, 0]
    plates = [x for x in found if x.kind == "capacitive"]
    across = {x.name: float(equations.volts(_across(x, count), w)) for x in plates}
    return float(equations.volts(probe, w)), across


def _across(branch: Branch, count: int) -> Array:
    (a, _), (b, _) = branch.taps
    return between(a, b, count)


def ohms(dead: Dead, a: int, b: int, meter: Meter = HAND_METER) -> Reading:
    """Resistance between two nodes as a hand meter shows it, leads included [ohm]."""
    if dead.live_v > CHARGED_V:
        return Reading(None, "ohm", LIVE)
    left = dead.volts_left(a, b)
    if abs(left) > meter.open_volts:
        return Reading(math.inf, "ohm", DISCHARGE)
    true = dc_response(dead, a, b)[0] + meter.lead_ohms
    for full, amps in meter.ohm_ranges:
        shown = true + left / amps
        if abs(shown) <= full:
            return Reading(shown, "ohm", _ohms_note(dead, a, b, left, amps))
    return Reading(math.inf, "ohm", "volts left on the points" if abs(left) > DISTURBING_V else "")


def _ohms_note(dead: Dead, a: int, b: int, left: float, amps: float) -> str:
    if abs(left) > DISTURBING_V or dead.live_v > DISTURBING_V:
        return "volts left on the points falsify this reading"
    seconds = settling_s(dead, a, b)
    if seconds > CLIMBING_S:
        return f"climbs for about {seconds:.0f} s while a capacitor charges"
    return ""


def settling_s(dead: Dead, a: int, b: int) -> float:
    """Time after which an ohms reading is within 1 % of its end [s]."""
    modes = dead.modes()
    at_once, weight = modes.ramp(a, b)
    rises = weight / modes.rates
    end = at_once + float(np.sum(rises))
    return _reaches(lambda t: -float(rises @ np.exp(-modes.rates * t)), -0.01 * end, LONGEST_S)


def continuity(dead: Dead, a: int, b: int, meter: Meter = HAND_METER) -> Reading:
    """As ``ohms`` on its lowest range, and whether the meter sounds."""
    reading = ohms(dead, a, b, meter)
    if reading.value is None or reading.shown_note:
        return reading
    sounds = reading.value < meter.tone_below_ohms
    value = reading.value if reading.value <= meter.ohm_ranges[0][0] else math.inf
    return Reading(value, "ohm", "tone" if sounds else "no tone")


def farads(dead: Dead, a: int, b: int, meter: Meter = HAND_METER) -> Reading:
    """Capacitance between two nodes as a ramp meter shows it [F].

    C = I (t2 - t1) / (v2 - v1) for the first range that holds it. A bleed across the capacitor
    makes it read high; a winding across it never lets the ramp reach v2: over range.
    """
    if dead.live_v > CHARGED_V:
        return Reading(None, "F", LIVE)
    if abs(dead.volts_left(a, b)) > CHARGED_V:
        return Reading(math.inf, "F", DISCHARGE)
    low, high = meter.ramp_volts
    modes = dead.modes()
    at_once, weight = modes.ramp(a, b)

    def rise(t: float) -> float:
        return at_once + float(weight @ (-np.expm1(-modes.rates * t) / modes.rates))

    for full, amps in meter.farad_ranges:
        first, last = (_reaches(rise, v / amps, meter.ramp_most_s) for v in (low, high))
        shown = amps * (last - first) / (high - low)
        if last < math.inf and shown <= full:
            return Reading(shown, "F")
    shunted = meter.farad_ranges[-1][1] * rise(LONGEST_S) < high
    return Reading(math.inf, "F", SHUNTED if shunted else "")


def _reaches(rising: Callable[[float], float], level: float, most_s: float) -> float:
    """When a rising function reaches a level: 0 if at once, inf if not by ``most_s`` [s]."""
    if rising(0.0) >= level:
        return 0.0
    if rising(most_s) < level:
        return math.inf
    return float(brentq(lambda t: rising(t) - level, 0.0, most_s, xtol=1e-15, rtol=1e-12))


def insulation(dead: Dead, a: int, b: int, volts: float = 500.0) -> Reading:
    """Insulation between two nodes after the charge has settled [Mohm].

    Take electronics off first, never test a compressor under vacuum, and discharge afterwards
    (common practice, no source). Below ``volts`` / 1 mA the test volts give way.
    """
    if dead.live_v > CHARGED_V:
        return Reading(None, "Mohm", LIVE)
    if abs(dead.volts_left(a, b)) > CHARGED_V:
        return Reading(None, "Mohm", DISCHARGE)
    true, plates = dc_response(dead, a, b)
    amps = min(volts / true, INSULATION_TEST_A) if true > 0.0 else INSULATION_TEST_A
    left = [n for n, v in plates.items() if abs(v * amps) > LEFT_CHARGED_V]
    notes = ["test volts give way"] if volts / INSULATION_TEST_A > true else []
    notes += [f"leaves {', '.join(left)} charged: discharge it"] if left else []
    shown = true / 1e6
    return Reading(shown if shown <= INSULATION_SHOWN_MOHM else math.inf, "Mohm", "; ".join(notes))
