"""The contactor and the control transformer.

The coil's armature gap is in the circuit: open it takes inrush volt-amperes and drags the
24 V down, shut it takes the sealed ones. Knows no thermostat.
"""

from __future__ import annotations

import math
from typing import ClassVar, Literal

from pydantic import model_validator

from trainer.base.errors import FieldError
from trainer.base.fields import (
    AmpsSquaredSeconds,
    Hertz,
    Ohms,
    Percent,
    Seconds,
    VoltAmps,
    Volts,
)
from trainer.circuit.elements import Coil, Elements
from trainer.parts.part import Part, Pen, volts
from trainer.parts.transformers import Rating, write_two_winding

#: The shorted gap branch: small against the coil, large enough that trapped current dies.
GAP_CONTACT_OHMS = 0.05


class Contactor(Part):
    """Two poles, or one pole with a shunt bar from L2 to T2; coil A1-A2.

    Coil ohms 8 to 20, sealed 5 to 9 VA, inrush 40 to 60 VA, drop-out 6 to 15 V: common practice,
    no source. Pick-up at most 85 % of 24 V: NEMA ICS 2 and IEC 60947-4-1 (from memory).
    """

    role: ClassVar[str] = "contactor"
    kind: Literal["contactor"] = "contactor"
    poles: Literal[1, 2] = 2
    coil: Volts = 24.0
    hz: Hertz = 60.0
    coil_resistance: Ohms = 9.0
    sealed: VoltAmps = 8.0
    inrush: VoltAmps = 50.0
    pickup: Volts = 18.0
    dropout: Volts = 10.0
    #: Armature times and contact ohms, invented.
    operate: Seconds = 0.015
    release: Seconds = 0.012
    contact: Ohms = 2e-3
    #: A pitted pole 1 has its own ohms.
    first_contact: Ohms | None = None
    #: Let-through of a closing surge that welds a 30 A contact, invented.
    welds_at: AmpsSquaredSeconds = 400.0
    #: Poles found welded shut: none, 1 or 1 and 2.
    welded: Literal["none", "one", "both"] = "none"

    @model_validator(mode="after")
    def _coil_exists(self) -> Contactor:
        if self.dropout >= self.pickup:
            raise FieldError("it drops out above its pick-up", hint="dropout: below pickup")
        if self.sealed >= self.inrush:
            raise FieldError("the sealed VA exceed the inrush", hint="sealed: below inrush")
        if self.coil_resistance >= self.coil**2 / self.inrush:
            limit = self.coil**2 / self.inrush
            raise FieldError(
                "the coil's resistance alone would keep it below its inrush",
                hint=f"coil_resistance: below {limit:.3g} ohm",
            )
        return self

    def terminals(self) -> tuple[str, ...]:
        return ("L1", "L2", "T1", "T2", "A1", "A2")

    def henries(self, va: float) -> float:
        """Coil inductance at these volt-amperes: w L = sqrt(Z^2 - R^2), Z = V^2/VA."""
        z = self.coil**2 / va
        return math.sqrt(z**2 - self.coil_resistance**2) / (2.0 * math.pi * self.hz)

    def write(self, name: str, into: Elements) -> None:
        pen = Pen(name, into)
        moved = self._poles(pen)
        gap = pen.inside("gap")
        open_h = self.henries(self.inrush)
        pen.branch("coil", pen.at("A1"), gap, self.coil_resistance, open_h)
        pen.branch("armature", gap, pen.at("A2"), 1e-2, self.henries(self.sealed) - open_h)
        bridge = pen.contact("gap", gap, pen.at("A2"), True, closed_ohms=GAP_CONTACT_OHMS)
        sense = volts(pen.at("A1"), pen.at("A2"))
        into.add(
            Coil(
                name, sense, self.pickup, self.dropout, self.operate, self.release,
                makes=moved, breaks=(bridge,), part=name,
            )
        )  # fmt: skip

    def _poles(self, pen: Pen) -> tuple[str, ...]:
        """The contacts that the armature moves; a welded one is shut and stays so."""
        welded = {"none": 0, "one": 1, "both": 2}[self.welded]
        moved = []
        for pole in (1, 2):
            ends = (pen.at(f"L{pole}"), pen.at(f"T{pole}"))
            if pole > self.poles:
                pen.resistor("shunt", *ends, self.contact)
                continue
            ohms = (self.first_contact if pole == 1 else None) or self.contact
            shut = pole <= welded
            own = pen.contact(str(pole), *ends, shut, closed_ohms=ohms, weld_a2s=self.welds_at)
            moved += [] if shut else [own]
        return tuple(moved)

    def marks(self, name: str) -> dict[str, str]:
        return {"coil": name, "contact": f"{name}~1"}


class ControlTransformer(Part):
    """Line to 24 V; secondary volts hold at full resistive load, as the nameplate means them.

    Regulation and magnetising current invented, of the order of a 40 VA class 2 transformer.
    """

    role: ClassVar[str] = "control_transformer"
    kind: Literal["control_transformer"] = "control_transformer"
    rating: VoltAmps = 40.0
    primary: Volts = 240.0
    secondary: Volts = 24.0
    hz: Hertz = 60.0
    resistance: Percent = 0.10
    reactance: Percent = 0.03
    magnetising: Percent = 0.20

    def terminals(self) -> tuple[str, ...]:
        return ("H1", "H2", "X1", "X2")

    def plate(self) -> Rating:
        return Rating(
            self.rating, self.primary, self.secondary, self.resistance, self.reactance,
            self.magnetising, self.hz,
        )  # fmt: skip

    def write(self, name: str, into: Elements) -> None:
        pen = Pen(name, into)
        primary, secondary = (pen.at("H1"), pen.at("H2")), (pen.at("X1"), pen.at("X2"))
        write_two_winding(pen, self.plate(), primary, secondary)

    def marks(self, name: str) -> dict[str, str]:
        return {"secondary": f"{name}~secondary"}


class ReversingValve(Part):
    """Solenoid of a reversing valve; energised in cooling (O) or in heating (B) by the wiring."""

    role: ClassVar[str] = "reversing_valve"
    slow: ClassVar[tuple[str, ...]] = ("refrigerant path",)
    kind: Literal["reversing_valve"] = "reversing_valve"
    #: Invented, of the order of a 24 V solenoid.
    coil_resistance: Ohms = 12.0
    volt_amps: VoltAmps = 9.0
    coil: Volts = 24.0
    hz: Hertz = 60.0

    @model_validator(mode="after")
    def _coil_exists(self) -> ReversingValve:
        most = self.coil**2 / self.volt_amps
        if self.coil_resistance >= most:
            raise FieldError(
                "the coil's resistance alone would keep it below its volt-amperes",
                hint=f"coil_resistance: below {most:.3g} ohm",
            )
        return self

    def terminals(self) -> tuple[str, ...]:
        return ("1", "2")

    def write(self, name: str, into: Elements) -> None:
        pen = Pen(name, into)
        z = self.coil**2 / self.volt_amps
        reactance = math.sqrt(z**2 - self.coil_resistance**2)
        henries = reactance / (2.0 * math.pi * self.hz)
        pen.branch("coil", pen.at("1"), pen.at("2"), self.coil_resistance, henries)

    def marks(self, name: str) -> dict[str, str]:
        return {"coil": f"{name}~coil"}
