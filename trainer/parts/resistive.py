"""Crankcase heater and other plain resistive loads, such as the lamps that dim.

Knows no control beyond the heater's own thermostat, whose contact the slow states move.
"""

from __future__ import annotations

from typing import ClassVar, Literal

from trainer.base.fields import Celsius, Volts, Watts
from trainer.circuit.elements import Elements
from trainer.parts.part import Moves, Part, Pen
from trainer.parts.protection import handle


class CrankcaseHeater(Part):
    """30 to 70 W is common practice, no source; ohms taken as constant."""

    role: ClassVar[str] = "crankcase_heater"
    slow: ClassVar[tuple[str, ...]] = ("shell temperature",)
    kind: Literal["crankcase_heater"] = "crankcase_heater"
    power: Watts = 50.0
    volts: Volts = 240.0
    thermostat: bool = False
    #: Of its thermostat, on the shell. Invented.
    closes_below: Celsius = 20.0
    opens_above: Celsius = 35.0
    #: State of the thermostat when the study begins.
    closed: bool = True

    def terminals(self) -> tuple[str, ...]:
        return ("1", "2")

    def write(self, name: str, into: Elements) -> None:
        pen = Pen(name, into)
        begin = pen.at("1")
        if self.thermostat:
            begin = pen.inside("element")
            pen.contact("contact", pen.at("1"), begin, self.closed)
        pen.resistor("", begin, pen.at("2"), self.volts**2 / self.power)

    def hand(self, name: str) -> dict[str, Moves]:
        return handle((f"{name}~contact",)) if self.thermostat else {}

    def marks(self, name: str) -> dict[str, str]:
        return {"heater": name}


class ResistiveLoad(Part):
    """Something that only takes power: a lamp, a water heater. R = V^2/P at rated volts."""

    role: ClassVar[str] = "load"
    kind: Literal["resistive_load"] = "resistive_load"
    power: Watts
    volts: Volts = 120.0

    def terminals(self) -> tuple[str, ...]:
        return ("1", "2")

    def write(self, name: str, into: Elements) -> None:
        pen = Pen(name, into)
        pen.resistor("", pen.at("1"), pen.at("2"), self.volts**2 / self.power)

    def marks(self, name: str) -> dict[str, str]:
        return {"load": name}
