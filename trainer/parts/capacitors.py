"""Run, dual run and start capacitors: capacitance, series resistance, bleed, life data.

Series resistance follows from the dissipation factor at 60 Hz. Knows no relay.
"""

from __future__ import annotations

import math
from typing import ClassVar, Literal

from trainer.base.fields import AnyVolts, Celsius, Farads, Ohms, Percent, Seconds, Volts
from trainer.circuit.elements import Capacitive, Elements
from trainer.parts.part import Part, Pen

#: Frequency at which dissipation factors are quoted here [rad/s].
_W60 = 2.0 * math.pi * 60.0
#: A shorted and an open can. Invented.
SHORT_OHMS, OPEN_FARADS = 0.02, 1e-11

Condition = Literal["good", "open", "shorted"]


def write_capacitor(
    pen: Pen,
    what: str,
    ends: tuple[int, int],
    farads: float,
    dissipation: float,
    charge: float = 0.0,
    condition: Condition = "good",
) -> str:
    """A capacitor of any part, ESR = dissipation / (w C) at 60 Hz; returns its name."""
    esr = dissipation / (_W60 * farads)
    real = OPEN_FARADS if condition == "open" else farads
    name = pen.called(what)
    pen.into.add(Capacitive(name, ends[0], ends[1], real, esr, charge, pen.name))
    if condition == "shorted":
        pen.resistor(f"{what}short", *ends, SHORT_OHMS)
    return name


class Film(Part):
    """What all film capacitors share.

    Dissipation at most 0.002: a maker's data sheet. Class B life 10 000 h and a voltage
    exponent near 7, halving per 10 K: IEC 60252-1 classes; exponent and halving from memory.
    """

    rated: Volts = 440.0
    dissipation: Percent = 0.002
    life: Seconds = 3.6e7
    rated_at: Celsius = 70.0
    voltage_exponent: ClassVar[float] = 7.0


class RunCapacitor(Film):
    """Single run capacitor."""

    role: ClassVar[str] = "run_capacitor"
    kind: Literal["run_capacitor"] = "run_capacitor"
    capacitance: Farads
    charge: AnyVolts = 0.0
    condition: Condition = "good"

    def terminals(self) -> tuple[str, ...]:
        return ("1", "2")

    def write(self, name: str, into: Elements) -> None:
        pen = Pen(name, into)
        ends = (pen.at("1"), pen.at("2"))
        farads, loss = self.capacitance, self.dissipation
        write_capacitor(pen, "", ends, farads, loss, self.charge, self.condition)

    def marks(self, name: str) -> dict[str, str]:
        return {"capacitor": name}


class DualCapacitor(Film):
    """One can, two capacitors: C is common to HERM (compressor) and FAN."""

    role: ClassVar[str] = "run_capacitor"
    kind: Literal["dual_capacitor"] = "dual_capacitor"
    herm: Farads
    fan: Farads
    herm_charge: AnyVolts = 0.0
    fan_charge: AnyVolts = 0.0
    herm_condition: Condition = "good"
    fan_condition: Condition = "good"

    def terminals(self) -> tuple[str, ...]:
        return ("C", "H", "F")

    def write(self, name: str, into: Elements) -> None:
        pen, loss = Pen(name, into), self.dissipation
        for side, farads, charge, condition in (
            ("H", self.herm, self.herm_charge, self.herm_condition),
            ("F", self.fan, self.fan_charge, self.fan_condition),
        ):
            ends = (pen.at("C"), pen.at(side))
            write_capacitor(pen, side, ends, farads, loss, charge, condition)

    def marks(self, name: str) -> dict[str, str]:
        return {"capacitor": f"{name}~H", "fan_capacitor": f"{name}~F"}


class StartCapacitor(Part):
    """Electrolytic, for seconds only; bleed resistor across it.

    Power factor at most 10 %: EIA-463 (from memory); half of that by default, invented. Bleed
    15 kohm and about 20 starts of 3 s an hour: common practice, no source.
    """

    role: ClassVar[str] = "start_capacitor"
    kind: Literal["start_capacitor"] = "start_capacitor"
    capacitance: Farads
    rated: Volts = 330.0
    dissipation: Percent = 0.05
    #: Empty: no bleed, or one that has failed open.
    bleed: Ohms | None = 15e3
    charge: AnyVolts = 0.0
    condition: Condition = "good"
    #: Time in circuit each hour that it is made for.
    duty: Seconds = 60.0
    rated_at: Celsius = 65.0
    life: Seconds = 1.5e5

    def terminals(self) -> tuple[str, ...]:
        return ("1", "2")

    def write(self, name: str, into: Elements) -> None:
        pen = Pen(name, into)
        ends = (pen.at("1"), pen.at("2"))
        write_capacitor(
            pen, "", ends, self.capacitance, self.dissipation, self.charge, self.condition
        )
        if self.bleed is not None:
            pen.resistor("bleed", *ends, self.bleed)

    def marks(self, name: str) -> dict[str, str]:
        bleed = {"bleed": f"{name}~bleed"} if self.bleed is not None else {}
        return {"capacitor": name, **bleed}
