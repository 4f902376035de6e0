"""Supplies from the street: split phase, two legs of a wye, line to neutral.

Terminal volts stand behind the impedance of utility, transformer and service conductors, so
a bolted short has a finite current. ``closing_angle`` is the angle of the leg-to-leg volts at
time zero. Knows no load.
"""

from __future__ import annotations

import math
from typing import ClassVar, Literal

from pydantic import model_validator

from trainer.base.errors import FieldError
from trainer.base.fields import (
    AnyRadians,
    Hertz,
    NonNegativeMetres,
    NonNegativeOhms,
    NonNegativePercent,
    Ohms,
    Percent,
    VoltAmps,
    Volts,
)
from trainer.circuit.elements import CHASSIS, LEAST_OHMS, Elements, Inductive, Source
from trainer.parts.conductors import Gauge, henries_of, ohms_of
from trainer.parts.part import Part, Pen
from trainer.parts.transformers import CentreTap, Winding, write_centre_tap

#: Neutral to ground at the service: a bonding jumper. Invented, of the order of a lug.
BOND_OHMS = 1e-3


class Supply(Part):
    """What every supply has in common."""

    role: ClassVar[str] = "supply"
    #: The two terminals between which the circuit is fed, then neutral.
    legs: ClassVar[tuple[str, str]] = ("L1", "L2")
    neutral: ClassVar[str] = "N"
    ground: ClassVar[str] = "G"

    volts: Volts = 240.0
    hz: Hertz = 60.0
    closing_angle: AnyRadians = 0.0
    #: Neutral joined to ground inside; off shows a floating system.
    bonded: bool = True
    #: Equipment ground from the supply to the chassis; empty: not landed, wire it to `chassis`.
    #: Invented, of the order of 80 ft of 10 AWG.
    equipment_ground: Ohms | None = 0.1

    def terminals(self) -> tuple[str, ...]:
        return (*self.legs, self.neutral, self.ground)

    def marks(self, name: str) -> dict[str, str]:
        return {"line": f"{name}~leg1", "source": f"{name}~emf"}

    def source_hz(self) -> float | None:
        return self.hz

    def source(self, name: str, peak: float, phase: float) -> Source:
        return Source(name, peak, self.hz, phase)

    def grounding(self, pen: Pen) -> None:
        """Neutral bond and the path to the chassis."""
        if self.bonded and self.neutral != self.ground:
            pen.resistor("bond", pen.at(self.neutral), pen.at(self.ground), BOND_OHMS)
        if self.equipment_ground is not None:
            pen.resistor("ground", pen.at(self.ground), CHASSIS, self.equipment_ground)


class SplitPhaseService(Supply):
    """120/240 V from a centre-tapped transformer through service conductors."""

    kind: Literal["split_phase_service"] = "split_phase_service"
    transformer: VoltAmps = 25e3
    #: Leg to leg on the 240 V base, one half on the 120 V base: IEEE 8500-node test feeder data
    #: (R 0.6/1.2/1.2 %, X 2.04/2.04/1.36 %), reduced to these two.
    full_resistance: Percent = 0.012
    full_reactance: Percent = 0.017
    half_resistance: Percent = 0.018
    half_reactance: Percent = 0.0204
    #: Utility ahead of the transformer, reactance on its base; 0.1 to 0.5 % is common practice,
    #: no source.
    utility: NonNegativePercent = 0.003
    #: 100 ft of 1/0 aluminium: invented, an ordinary overhead service.
    conductor: Gauge = "1/0 AWG Al"
    length: NonNegativeMetres = 30.48
    #: Of the two legs; off leaves it out. The neutral's, 1 % of its impedance, is left out.
    conductor_reactance: bool = True

    @model_validator(mode="after")
    def _halves_exist(self) -> SplitPhaseService:
        if not self._tap().possible:
            raise FieldError(
                "no transformer has these full and half impedances",
                hint="half values between one and two times the full ones",
            )
        return self

    def _tap(self) -> CentreTap:
        return CentreTap(
            complex(self.full_resistance, self.full_reactance),
            complex(self.half_resistance, self.half_reactance),
        )

    def write(self, name: str, into: Elements) -> None:
        pen = Pen(name, into)
        tap, base = self._tap(), self.volts**2 / self.transformer
        primary = Winding.of(tap.primary + 1j * self.utility, base, self.hz)
        ohms = ohms_of(self.conductor, self.length)
        henries = henries_of(self.length) if self.conductor_reactance else 0.0
        halves = Winding.of(tap.winding, base / 4.0, self.hz).plus(ohms, henries)
        centre = pen.inside("centre")
        source = self.source(f"{name}~emf", math.sqrt(2.0) * self.volts, self.closing_angle)
        write_centre_tap(pen, source, primary, halves, (pen.at("L1"), pen.at("L2"), centre))
        pen.resistor("neutral", centre, pen.at("N"), ohms)
        self.grounding(pen)


class Wye208(Supply):
    """Two legs of a 208Y/120 V system; ``volts`` are leg to leg."""

    kind: Literal["wye_208"] = "wye_208"
    volts: Volts = 208.0
    transformer: VoltAmps = 75e3
    #: Per phase on the three-phase rating. Invented inside the 1.5 to 2.5 % that small
    #: transformers are marked with (from memory).
    resistance: Percent = 0.012
    reactance: Percent = 0.016
    conductor: Gauge = "1/0 AWG Al"
    length: NonNegativeMetres = 30.48

    def write(self, name: str, into: Elements) -> None:
        pen = Pen(name, into)
        z = complex(self.resistance, self.reactance)
        run = (ohms_of(self.conductor, self.length), henries_of(self.length))
        phase = Winding.of(z, self.volts**2 / self.transformer, self.hz).plus(*run)
        star = pen.inside("star")
        for leg, shift in (("leg1", 0.0), ("leg2", -2.0 * math.pi / 3.0)):
            # leg 1 minus leg 2 leads leg 1 by 30 degrees
            angle = self.closing_angle - math.pi / 6.0 + shift
            emf = self.source(f"{name}~emf{leg[-1]}", math.sqrt(2.0 / 3.0) * self.volts, angle)
            self._leg(pen, leg, star, phase, into.source(emf))
        pen.resistor("neutral", star, pen.at("N"), run[0])
        self.grounding(pen)

    def _leg(self, pen: Pen, leg: str, star: int, phase: Winding, source: int) -> None:
        taps = ((star, 1.0), (pen.at(f"L{leg[-1]}"), -1.0))
        pen.into.add(
            Inductive(pen.called(leg), taps, phase.ohms, phase.henries, source, part=pen.name)
        )

    def marks(self, name: str) -> dict[str, str]:
        return {"line": f"{name}~leg1", "source": f"{name}~emf1"}


class LineNeutral230(Supply):
    """230 V 50 Hz line to neutral, neutral joined to the protective conductor at the origin."""

    kind: Literal["line_neutral_230"] = "line_neutral_230"
    legs: ClassVar[tuple[str, str]] = ("L", "N")
    ground: ClassVar[str] = "PE"

    volts: Volts = 230.0
    hz: Hertz = 50.0
    #: Reference impedance of IEC TR 60725 (from memory): a weak house connection.
    phase_resistance: NonNegativeOhms = 0.24
    phase_reactance: NonNegativeOhms = 0.15
    neutral_resistance: NonNegativeOhms = 0.16
    neutral_reactance: NonNegativeOhms = 0.10

    def terminals(self) -> tuple[str, ...]:
        return ("L", "N", "PE")

    def write(self, name: str, into: Elements) -> None:
        pen = Pen(name, into)
        w = 2.0 * math.pi * self.hz
        emf = self.source(f"{name}~emf", math.sqrt(2.0) * self.volts, self.closing_angle)
        star = pen.inside("star")
        taps = ((star, 1.0), (pen.at("L"), -1.0))
        ohms, henries = max(self.phase_resistance, LEAST_OHMS), self.phase_reactance / w
        into.add(Inductive(f"{name}~leg1", taps, ohms, henries, into.source(emf), part=name))
        ohms = max(self.neutral_resistance, LEAST_OHMS)
        pen.branch("neutral", star, pen.at("N"), ohms, self.neutral_reactance / w)
        self.grounding(pen)
