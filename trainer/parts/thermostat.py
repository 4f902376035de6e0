"""The indoor 24 V supply: transformer, fuse, thermostat contacts.

A condensing unit's control comes from indoors and often from another circuit, so by default it
is fed from a circuit of its own. Knows no outdoor part.
"""

from __future__ import annotations

from typing import ClassVar, Literal

from trainer.base.fields import Amps, Hertz, Percent, VoltAmps, Volts
from trainer.circuit.elements import CHASSIS, Elements
from trainer.parts.part import Moves, Part, Pen
from trainer.parts.protection import write_fuse
from trainer.parts.transformers import Rating, write_fed_secondary, write_two_winding

CONTACT_OHMS = 0.02
#: C to chassis through the ground wire of both units. Invented.
GROUND_OHMS = 0.2


class ThermostatSupply(Part):
    """R is always alive; Y, W and O are made from R by the thermostat.

    ``call`` makes Y, ``cool`` and ``heat`` move O (an O-type valve is energised in cooling).
    Ratings common practice, no source; regulation as in the control transformer.
    """

    role: ClassVar[str] = "thermostat"
    kind: Literal["thermostat_supply"] = "thermostat_supply"
    #: own: a circuit of its own; wires: from H1 and H2.
    fed: Literal["own", "wires"] = "own"
    volts: Volts = 240.0
    hz: Hertz = 60.0
    rating: VoltAmps = 40.0
    secondary: Volts = 24.0
    resistance: Percent = 0.10
    reactance: Percent = 0.03
    magnetising: Percent = 0.20
    fuse: Amps = 3.0
    fuse_intact: bool = True
    #: C joined to the chassis: then Y to chassis blows the fuse.
    secondary_grounded: bool = False
    calling: bool = False
    mode: Literal["cool", "heat"] = "cool"

    def terminals(self) -> tuple[str, ...]:
        indoor = ("H1", "H2") if self.fed == "wires" else ()
        return (*indoor, "R", "C", "Y", "O", "W")

    def write(self, name: str, into: Elements) -> None:
        pen = Pen(name, into)
        top = pen.inside("X1")
        secondary = (top, pen.at("C"))
        if self.fed == "wires":
            write_two_winding(pen, self.plate(), (pen.at("H1"), pen.at("H2")), secondary)
        else:
            write_fed_secondary(pen, self.plate(), secondary)
        write_fuse(pen, "fuse", (top, pen.at("R")), self.fuse, "fast", self.fuse_intact)
        if self.secondary_grounded:
            pen.resistor("grounded", pen.at("C"), CHASSIS, GROUND_OHMS)
        for wire, made in (("Y", self.calling), ("O", self.mode == "cool"), ("W", False)):
            pen.contact(wire, pen.at("R"), pen.at(wire), made, closed_ohms=CONTACT_OHMS)

    def plate(self) -> Rating:
        return Rating(
            self.rating, self.volts, self.secondary, self.resistance, self.reactance,
            self.magnetising, self.hz,
        )  # fmt: skip

    def source_hz(self) -> float | None:
        return self.hz if self.fed == "own" else None

    def hand(self, name: str) -> dict[str, Moves]:
        return {
            "call": ((f"{name}~Y", True),),
            "uncall": ((f"{name}~Y", False),),
            "cool": ((f"{name}~O", True),),
            "heat": ((f"{name}~O", False),),
            "open": ((f"{name}~fuse", False),),
            "close": ((f"{name}~fuse", True),),
        }

    def marks(self, name: str) -> dict[str, str]:
        return {"fuse": f"{name}~fuse", "call": f"{name}~Y", "secondary": f"{name}~secondary"}
