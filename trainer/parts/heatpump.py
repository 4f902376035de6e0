"""The defrost control of a heat pump with its coil sensor.

When to defrost takes minutes of time and coil temperature: whoever keeps the slow states
decides it and moves the contacts. Knows no thermostat and no refrigerant.
"""

from __future__ import annotations

import math
from typing import ClassVar, Literal

from trainer.base.fields import Celsius, Kelvin, Ohms, Seconds
from trainer.circuit.elements import Elements
from trainer.parts.part import Moves, Part, Pen

CONTACT_OHMS = 0.02


class DefrostControl(Part):
    """Board: Y to CO and O to RV in normal running; in defrost R feeds RV and W, the fan stops.

    Interval 30, 60 or 90 min, ends on coil temperature or 10 to 14 min: trade article on heat
    pumps. Sensor input and board load invented.
    """

    role: ClassVar[str] = "defrost_control"
    slow: ClassVar[tuple[str, ...]] = ("defrost",)
    kind: Literal["defrost_control"] = "defrost_control"
    interval: Seconds = 5400.0
    longest: Seconds = 720.0
    begins_below: Celsius = 0.0
    ends_above: Celsius = 18.0
    defrosting: bool = False
    #: A fan contact bypassed or welded never stops the fan.
    fan_contact_welded: bool = False
    board: Ohms = 300.0
    sensor_input: Ohms = 1e6

    def terminals(self) -> tuple[str, ...]:
        return ("R", "C", "Y", "CO", "O", "RV", "W", "f1", "f2", "d1", "d2")

    def write(self, name: str, into: Elements) -> None:
        pen = Pen(name, into)
        pen.resistor("board", pen.at("R"), pen.at("C"), self.board)
        pen.resistor("input", pen.at("d1"), pen.at("d2"), self.sensor_input)
        normal = not self.defrosting
        for a, b, made in (
            ("Y", "CO", True),
            ("O", "RV", normal),
            ("R", "RV", not normal),
            ("R", "W", not normal),
            ("f1", "f2", normal or self.fan_contact_welded),
        ):
            ends = (pen.at(a), pen.at(b))
            pen.contact(f"{a}-{b}", *ends, made, closed_ohms=CONTACT_OHMS)

    def hand(self, name: str) -> dict[str, Moves]:
        """The test pins: into defrost and out of it."""
        fan = () if self.fan_contact_welded else ((f"{name}~f1-f2", False),)
        begin = ((f"{name}~O-RV", False), (f"{name}~R-RV", True), (f"{name}~R-W", True), *fan)
        return {
            "defrost": begin,
            "end_defrost": tuple((contact, not made) for contact, made in begin),
        }

    def marks(self, name: str) -> dict[str, str]:
        return {"fan": f"{name}~f1-f2", "valve": f"{name}~R-RV"}


class CoilSensor(Part):
    """Thermistor on the outdoor coil: R = R25 exp(B (1/T - 1/298.15)), kelvin.

    10 kohm and B 3950 K: a usual thermistor, common practice, no source.
    """

    role: ClassVar[str] = "coil_sensor"
    slow: ClassVar[tuple[str, ...]] = ("coil temperature",)
    kind: Literal["coil_sensor"] = "coil_sensor"
    at_25_degc: Ohms = 10e3
    beta: Kelvin = 3950.0
    temperature: Celsius = 25.0

    def terminals(self) -> tuple[str, ...]:
        return ("1", "2")

    def ohms(self, celsius: float) -> float:
        return self.at_25_degc * math.exp(self.beta * (1.0 / (celsius + 273.15) - 1.0 / 298.15))

    def write(self, name: str, into: Elements) -> None:
        pen = Pen(name, into)
        pen.resistor("", pen.at("1"), pen.at("2"), self.ohms(self.temperature))

    def marks(self, name: str) -> dict[str, str]:
        return {"sensor": name}
