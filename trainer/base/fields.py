"""Types for the fields of a file: a person writes "45 uF", the program gets SI.

``Record`` is the frozen model every file is read into. Each quantity has three forms:
``Volts`` must be above zero, ``NonNegativeVolts`` may be zero, ``AnyVolts`` has any sign.
The name is the unit the program gets. A default in a model is written in that unit.
Knows units; must know nothing of YAML or of what a field means.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
)
from pydantic_core import CoreSchema

from trainer.base import units
from trainer.base.errors import FieldError, quoted

#: A quantity as it is written: a number, perhaps a fraction of gauges, and a unit.
WRITTEN = r"^\s*[-+.0-9][-+.0-9eE/]*\s*\S+"


class Record(BaseModel):
    """A frozen record that refuses unknown keys and numbers that are none."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


@dataclass(frozen=True)
class Quantity:
    """Reads text with a unit into a float in ``unit`` between ``least`` and ``most``.

    ``above`` makes ``least`` itself too small. Serves as metadata of an ``Annotated`` float.
    """

    unit: str
    least: float = float("-inf")
    most: float = float("inf")
    above: bool = False

    def __call__(self, text: Any) -> float:
        value = units.parse(text, self.unit)
        if value < self.least or (self.above and value == self.least):
            bound = "above" if self.above else "at least"
            raise FieldError(
                f"{quoted(text)} must be {bound} {self._shown(self.least)}",
                hint=f"a value such as {self.example}",
            )
        if value > self.most:
            raise FieldError(
                f"{quoted(text)} must be at most {self._shown(self.most)}",
                hint=f"a value such as {self.example}",
            )
        return value

    @property
    def example(self) -> str:
        return units.example(self.unit)

    def _shown(self, bound: float) -> str:
        return "zero" if bound == 0 else units.show(bound, self.unit)

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return BeforeValidator(self).__get_pydantic_core_schema__(source, handler)

    def __get_pydantic_json_schema__(
        self, core_schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        """As it stands in a file: text with a unit; its bounds are checked when it is read."""
        return {"type": "string", "pattern": WRITTEN, "examples": [self.example]}


def above(unit: str) -> Quantity:
    return Quantity(unit, least=0.0, above=True)


def from_zero(unit: str) -> Quantity:
    return Quantity(unit, least=0.0)


Volts = Annotated[float, above("V")]
NonNegativeVolts = Annotated[float, from_zero("V")]
AnyVolts = Annotated[float, Quantity("V")]
Amps = Annotated[float, above("A")]
NonNegativeAmps = Annotated[float, from_zero("A")]
AnyAmps = Annotated[float, Quantity("A")]
Ohms = Annotated[float, above("ohm")]
NonNegativeOhms = Annotated[float, from_zero("ohm")]
Farads = Annotated[float, above("F")]
NonNegativeFarads = Annotated[float, from_zero("F")]
Henries = Annotated[float, above("H")]
NonNegativeHenries = Annotated[float, from_zero("H")]
Webers = Annotated[float, above("Wb")]
Watts = Annotated[float, above("W")]
NonNegativeWatts = Annotated[float, from_zero("W")]
AnyWatts = Annotated[float, Quantity("W")]
VoltAmps = Annotated[float, above("VA")]
NonNegativeVoltAmps = Annotated[float, from_zero("VA")]
Seconds = Annotated[float, above("s")]
NonNegativeSeconds = Annotated[float, from_zero("s")]
AnySeconds = Annotated[float, Quantity("s")]
Hertz = Annotated[float, above("Hz")]
NonNegativeHertz = Annotated[float, from_zero("Hz")]
Metres = Annotated[float, above("m")]
NonNegativeMetres = Annotated[float, from_zero("m")]
#: Area of a conductor: "10 AWG" or "2.5 mm2" gives m2.
SquareMetres = Annotated[float, above("m2")]
#: AWG number: "10 AWG" gives 10, "2/0 AWG" gives -1.
Gauge = Annotated[float, Quantity("AWG")]
#: A temperature, from "25 degC" or "77 degF"; nothing is colder than -273.15.
Celsius = Annotated[float, Quantity("degC", least=-273.15)]
AnyCelsius = Celsius
#: A difference of temperatures.
Kelvin = Annotated[float, above("K")]
NonNegativeKelvin = Annotated[float, from_zero("K")]
AnyKelvin = Annotated[float, Quantity("K")]
KelvinPerWatt = Annotated[float, above("K/W")]
JoulesPerKelvin = Annotated[float, above("J/K")]
PerKelvin = Annotated[float, above("1/K")]
AnyPerKelvin = Annotated[float, Quantity("1/K")]
Joules = Annotated[float, above("J")]
NonNegativeJoules = Annotated[float, from_zero("J")]
NewtonMetres = Annotated[float, above("N.m")]
NonNegativeNewtonMetres = Annotated[float, from_zero("N.m")]
AnyNewtonMetres = Annotated[float, Quantity("N.m")]
KgM2 = Annotated[float, above("kg.m2")]
#: Gauge or absolute is the field's business, not the unit's.
Pascals = Annotated[float, above("Pa")]
NonNegativePascals = Annotated[float, from_zero("Pa")]
#: "5 %" gives 0.05; up to 100 %.
Percent = Annotated[float, Quantity("ratio", least=0.0, most=1.0, above=True)]
NonNegativePercent = Annotated[float, Quantity("ratio", least=0.0, most=1.0)]
#: A percentage of any size and sign, such as "225 %" or "-15 %".
AnyPercent = Annotated[float, Quantity("ratio")]
#: "30 deg" gives radians.
Radians = Annotated[float, above("rad")]
NonNegativeRadians = Annotated[float, from_zero("rad")]
AnyRadians = Annotated[float, Quantity("rad")]
#: "3450 rpm" gives 3450.
Rpm = Annotated[float, above("rpm")]
NonNegativeRpm = Annotated[float, from_zero("rpm")]
AnyRpm = Annotated[float, Quantity("rpm")]
#: "3450 rpm" gives 361.3 rad/s.
RadiansPerSecond = Annotated[float, above("rad/s")]
AmpsSquaredSeconds = Annotated[float, above("A2s")]
NonNegativeAmpsSquaredSeconds = Annotated[float, from_zero("A2s")]
Siemens = Annotated[float, above("S")]
NonNegativeSiemens = Annotated[float, from_zero("S")]
