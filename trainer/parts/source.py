"""Supplies that give way: a small generator and a battery inverter, both 120/240 V.

Knows the ratings and how they become the limits of a source; how the limits act over time is
the circuit's business. Every default without a source is invented.
"""

from __future__ import annotations

import math
from typing import Literal

from pydantic import model_validator

from trainer.base.errors import FieldError
from trainer.base.fields import AnyPercent, Hertz, Percent, Seconds, VoltAmps, Volts
from trainer.circuit.elements import Elements, Generator, Inductive, Inverter
from trainer.parts.part import Moves, Pen, amps, volts
from trainer.parts.supply import Supply
from trainer.parts.transformers import Winding

#: The fold-back of an inverter acts on the current of the last step, so it may be at most this
#: share of the filter's inductance over a step of 50 us, or the loop would ring.
FOLD_SHARE = 0.5
STEP_S = 50e-6


class Alternate(Supply):
    """Two legs and a neutral from one winding: each half has half of its volts and ohms."""

    legs = ("1", "2")
    ground = "PE"

    volts: Volts = 240.0
    rating: VoltAmps = 10e3

    @property
    def base_ohms(self) -> float:
        return self.volts**2 / self.rating

    def halves(self, pen: Pen, whole: Winding, ends: tuple[int, int]) -> int:
        """Both half windings from the neutral to ``ends``; returns the source's number."""
        peak = math.sqrt(2.0) * self.volts
        number = pen.into.source(self.source(f"{pen.name}~emf", peak, self.closing_angle))
        middle = pen.at(self.neutral)
        ohms, henries = whole.ohms / 2.0, whole.henries / 2.0
        one, two = ((middle, 1.0), (ends[0], -1.0)), ((ends[1], 1.0), (middle, -1.0))
        for leg, taps in (("leg1", one), ("leg2", two)):
            pen.into.add(
                Inductive(pen.called(leg), taps, ohms, henries, number, 0.5, part=pen.name)
            )
        return number


class GeneratorSet(Alternate):
    """Engine-driven alternator: subtransient branch, then transient drop, regulator, speed."""

    kind: Literal["generator"] = "generator"
    #: X''d 0.10 to 0.20 and X'd 0.15 to 0.30 per unit for small sets, from memory.
    subtransient: Percent = 0.12
    transient: Percent = 0.20
    #: Armature resistance per unit, invented.
    resistance: Percent = 0.02
    #: Two cycles: the life of the subtransient current, textbook order of magnitude, from memory.
    subtransient_time: Seconds = 0.033
    #: Lag of the voltage regulator, invented.
    regulator_time: Seconds = 0.3
    #: Most the regulator can raise the emf, invented.
    ceiling: AnyPercent = 1.4
    #: Stored energy of the rotating parts over the rating, invented.
    inertia_constant: Seconds = 0.4
    #: Lag and droop of the governor, invented.
    governor_time: Seconds = 0.4
    droop: Percent = 0.04
    #: Share of the rating in watts that the engine gives; speed at which it dies. Invented.
    engine: Percent = 1.0
    stalls_at: Hertz = 40.0

    @model_validator(mode="after")
    def _order(self) -> GeneratorSet:
        if self.transient < self.subtransient:
            raise FieldError(
                "the transient reactance is below the subtransient one",
                hint="transient: a percentage at least that of subtransient",
            )
        if self.stalls_at >= self.hz:
            raise FieldError("it stalls at its own running speed", hint="stalls_at: 40 Hz")
        if self.ceiling < 1.0:
            raise FieldError("the regulator cannot even hold rated volts", hint="ceiling: 140 %")
        return self

    def write(self, name: str, into: Elements) -> None:
        pen = Pen(name, into)
        whole = Winding.of(complex(self.resistance, self.subtransient), self.base_ohms, self.hz)
        source = self.halves(pen, whole, (pen.at("1"), pen.at("2")))
        into.add(
            Generator(
                name,
                (source,),
                amps(f"{name}~leg1"),
                volts(pen.at("1"), pen.at("2")),
                rated_w=self.rating * self.engine,
                extra_ohms=(self.transient - self.subtransient) * self.base_ohms,
                subtransient_s=self.subtransient_time,
                regulator_s=self.regulator_time,
                ceiling=self.ceiling,
                inertia_s=self.inertia_constant,
                governor_s=self.governor_time,
                droop=self.droop,
                stall_hz=self.stalls_at,
                part=name,
            )
        )
        self.grounding(pen)

    def marks(self, name: str) -> dict[str, str]:
        return {**super().marks(name), "generator": name}


class BatteryInverter(Alternate):
    """Current-limited source behind a filter; shuts down when it is held above its rating."""

    kind: Literal["inverter"] = "inverter"
    rating: VoltAmps = 5e3
    #: Twice the rating for 1 to 10 s is common practice, no source.
    surge: AnyPercent = 2.0
    surge_time: Seconds = 3.0
    filter_resistance: Percent = 0.01
    filter_reactance: Percent = 0.05

    @model_validator(mode="after")
    def _surges(self) -> BatteryInverter:
        if self.surge < 1.0:
            raise FieldError("the surge is less than the rating", hint="surge: 200 %")
        return self

    def write(self, name: str, into: Elements) -> None:
        pen = Pen(name, into)
        filt = complex(self.filter_resistance, self.filter_reactance)
        whole = Winding.of(filt, self.base_ohms, self.hz)
        ends = (pen.inside("1"), pen.inside("2"))
        source = self.halves(pen, whole, ends)
        output = tuple(
            pen.contact(f"out{leg}", ends[k], pen.at(leg), True) for k, leg in enumerate(self.legs)
        )
        into.add(self._limits(name, source, whole.henries, output))
        self.grounding(pen)

    def _limits(self, name: str, source: int, henries: float, output: tuple[str, ...]) -> Inverter:
        rated = self.rating / self.volts
        return Inverter(
            name,
            (source,),
            amps(f"{name}~leg1"),
            limit_a_peak=math.sqrt(2.0) * self.surge * rated,
            fold_ohms=FOLD_SHARE * henries / STEP_S,
            surge_s=self.surge_time,
            rated_a_rms=rated,
            breaks=output,
            part=name,
        )

    def hand(self, name: str) -> dict[str, Moves]:
        output = (f"{name}~out1", f"{name}~out2")
        return {
            "open": tuple((contact, False) for contact in output),
            "close": tuple((contact, True) for contact in output),
        }

    def marks(self, name: str) -> dict[str, str]:
        return {**super().marks(name), "inverter": name}
