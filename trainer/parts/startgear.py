"""Start gear without a relay: the PTC thermistor and the timed electronic starter.

Knows its own heat and time; must know nothing of the motor.
"""

from __future__ import annotations

import math
from typing import ClassVar, Literal

from pydantic import model_validator

from trainer.base.errors import FieldError
from trainer.base.fields import (
    Celsius,
    Farads,
    JoulesPerKelvin,
    Kelvin,
    KelvinPerWatt,
    Ohms,
    Percent,
    Seconds,
    Volts,
)
from trainer.circuit.elements import Coil, Elements, Ptc, Timer
from trainer.parts.capacitors import write_capacitor
from trainer.parts.part import Part, Pen, volts

#: What an electronic starter's board takes across the line, and the volts that keep it counting.
#: Invented.
BOARD_OHMS, ARMED_V = 50e3, 80.0
#: Armature of a small relay on a board. Invented.
ARMATURE_S = 4e-3
#: Once it has opened on speed it stays open until next to no volts are left.
LATCHED_V = 1.0


class PtcStarter(Part):
    """Thermistor a-b across the run capacitor: low when cold, high when its own loss heats it.

    Cold 25 to 50 ohm, hot several kohm, switching 0.1 s to seconds, 3 to 10 min to cool: a
    maker's data sheet of PTC starters. Heat constants invented to lie inside that.
    """

    role: ClassVar[str] = "relay"
    kind: Literal["ptc"] = "ptc"
    cold: Ohms = 25.0
    hot: Ohms = 20e3
    switches_at: Celsius = 120.0
    #: Range of temperature over which it goes from cold to hot.
    transition: Kelvin = 60.0
    heat_capacity: JoulesPerKelvin = 9.0
    cooling: KelvinPerWatt = 25.0
    temperature: Celsius = 25.0
    found: Literal["good", "open", "shorted"] = "good"

    @model_validator(mode="after")
    def _rises(self) -> PtcStarter:
        if self.hot <= self.cold:
            raise FieldError("hot ohms are not above cold ohms", hint="hot: 20 kohm")
        return self

    def terminals(self) -> tuple[str, ...]:
        return ("a", "b")

    @property
    def steepness(self) -> float:
        """b [1/K] of R = cold exp(b (T - switch)) that reaches hot after the transition."""
        return math.log(self.hot / self.cold) / self.transition

    def ohms(self, celsius: float) -> float:
        """Resistance at a temperature [ohm]."""
        if celsius <= self.switches_at:
            return self.cold
        return min(self.hot, self.cold * math.exp(self.steepness * (celsius - self.switches_at)))

    def write(self, name: str, into: Elements) -> None:
        pen = Pen(name, into)
        now = {"good": self.ohms(self.temperature), "open": 1e9, "shorted": 0.05}[self.found]
        pill = pen.resistor("pill", pen.at("a"), pen.at("b"), now)
        if self.found == "good":
            into.add(
                Ptc(
                    name, pill, self.cold, self.hot, self.switches_at, self.steepness,
                    self.heat_capacity, self.cooling, self.temperature, part=name,
                )
            )  # fmt: skip

    def marks(self, name: str) -> dict[str, str]:
        return {"ptc": name, "pill": f"{name}~pill"} if self.found == "good" else {}


class TimedStarter(Part):
    """Start capacitor P to Q in one box; opens when SN-Q says speed, at the latest after ``time``.

    0.3 to 1.0 s is common practice, no source. It re-arms when its supply (SN-P) is gone.
    """

    role: ClassVar[str] = "relay"
    kind: Literal["timed_starter"] = "timed_starter"
    capacitance: Farads
    time: Seconds = 0.5
    #: Volts from SN to Q that stand for speed; empty: time only.
    opens_at: Volts | None = None
    #: Invented, as in a start capacitor.
    dissipation: Percent = 0.05
    bleed: Ohms = 15e3
    contact: Ohms = 20e-3

    def terminals(self) -> tuple[str, ...]:
        return ("P", "Q", "SN")

    def write(self, name: str, into: Elements) -> None:
        pen = Pen(name, into)
        line, start, sense = pen.at("P"), pen.at("Q"), pen.at("SN")
        plate = pen.inside("plate")
        write_capacitor(pen, "capacitor", (line, plate), self.capacitance, self.dissipation)
        pen.resistor("bleed", line, plate, self.bleed)
        pen.resistor("board", sense, line, BOARD_OHMS)
        own = pen.contact("contact", plate, start, True, closed_ohms=self.contact)
        supply = volts(sense, line)
        into.add(Timer(name, supply, ARMED_V, self.time, breaks=(own,), part=name))
        if self.opens_at is not None:
            speed = volts(sense, start)
            into.add(
                Coil(
                    f"{name}~speed", speed, self.opens_at, LATCHED_V, ARMATURE_S, ARMATURE_S,
                    breaks=(own,), part=name,
                )
            )  # fmt: skip

    def marks(self, name: str) -> dict[str, str]:
        return {
            "relay": name,
            "contact": f"{name}~contact",
            "capacitor": f"{name}~capacitor",
            "bleed": f"{name}~bleed",
        }
