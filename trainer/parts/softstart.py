"""Electronic soft starter in the common path: IN OUT REF AUX.

An antiparallel pair fires late and then earlier in each half cycle; a boost capacitor of its
own stands across the run capacitor meanwhile; a bypass closes at the end. Knows no motor.
"""

from __future__ import annotations

import math
from typing import ClassVar, Literal

from trainer.base.fields import Amps, AnyRadians, Farads, Hertz, Ohms, Percent, Seconds
from trainer.circuit.elements import Elements, PhaseControl
from trainer.parts.capacitors import write_capacitor
from trainer.parts.gear import StarterClass, StarterCode, gear
from trainer.parts.part import Part, Pen, amps, volts
from trainer.parts.startgear import BOARD_OHMS

#: Bleed of the boost capacitor (common practice, no source) and contact of its relay (invented).
BLEED_OHMS, CONTACT_OHMS = 15e3, 20e-3


class SoftStarter(Part):
    """Ramp 0.3 to 1 s and claimed cuts of 50 to 70 %: general articles, an input to be checked.

    Terminal names and every value without a source are invented.
    """

    role: ClassVar[str] = "soft_starter"
    kind: Literal["soft_starter"] = "soft_starter"
    starter_class: StarterCode = "P20"
    hz: Hertz = 60.0
    #: First firing, after each zero of the line volts.
    first_angle: AnyRadians = 1.75
    ramp: Seconds = 0.5
    #: Most rms amps while ramping; empty: the class's share of its locked-rotor amps.
    limit: Amps | None = None
    #: Empty: no boost fitted.
    boost: Farads | None = 90e-6
    boost_dissipation: Percent = 0.05
    boost_longest: Seconds = 1.0
    settled: Percent = 0.5
    gives_up: Seconds = 2.5
    #: About 1 V across a conducting pair; bypass as a relay contact.
    pair: Ohms = 0.02
    bypass: Ohms = 3e-3

    @property
    def data(self) -> StarterClass:
        return gear().starter_classes[self.starter_class]

    @property
    def limit_a(self) -> float:
        return self.limit or self.data.limit_ratio * self.data.locked_amps

    def terminals(self) -> tuple[str, ...]:
        return ("IN", "OUT", "REF", "AUX")

    def write(self, name: str, into: Elements) -> None:
        pen = Pen(name, into)
        line, out, ref = pen.at("IN"), pen.at("OUT"), pen.at("REF")
        pair = pen.contact("pair", line, out, False, closed_ohms=self.pair)
        bypass = pen.contact("bypass", line, out, False, closed_ohms=self.bypass)
        pen.resistor("board", line, ref, BOARD_OHMS)
        boost = self._boost(pen, ref, pen.at("AUX"))
        into.add(
            PhaseControl(
                name,
                volts(line, ref),
                pair,
                (bypass,),
                boost,
                first_delay_s=self.first_angle / (2.0 * math.pi * self.hz),
                ramp_s=self.ramp,
                current_sense=amps(pair, bypass),
                limit_a_rms=self.limit_a,
                settled_ratio=self.settled,
                boost_most_s=self.boost_longest,
                give_up_s=self.gives_up,
                part=name,
            )
        )

    def _boost(self, pen: Pen, ref: int, aux: int) -> tuple[str, ...]:
        """Its own start capacitor and the contact that takes it out."""
        if self.boost is None:
            return ()
        plate = pen.inside("plate")
        write_capacitor(pen, "boost", (ref, plate), self.boost, self.boost_dissipation)
        pen.resistor("bleed", ref, plate, BLEED_OHMS)
        return (pen.contact("boost-contact", plate, aux, True, closed_ohms=CONTACT_OHMS),)

    def marks(self, name: str) -> dict[str, str]:
        own = {"soft_starter": name, "pair": f"{name}~pair", "bypass": f"{name}~bypass"}
        if self.boost is not None:
            own |= {"capacitor": f"{name}~boost", "contact": f"{name}~boost-contact"}
        return own
