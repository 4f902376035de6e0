"""What stands in the 24 V line to the contactor: delay timer, pressure switch, transfer switch.

Slow contacts (pressure) are moved by whoever keeps the slow states. Knows no thermostat.
"""

from __future__ import annotations

from typing import ClassVar, Literal

from pydantic import model_validator

from trainer.base.errors import FieldError
from trainer.base.fields import NonNegativeSeconds, Ohms, Pascals, Volts
from trainer.circuit.elements import Elements, Timer
from trainer.parts.part import Moves, Part, Pen, volts
from trainer.parts.protection import handle

CONTACT_OHMS = 0.02


class DelayTimer(Part):
    """Three-wire timer: IN to OUT makes ``delay`` after IN is fed.

    ``lockout`` is the time it must have been dead before; 3 to 5 min is common practice, no
    source. ``dead_before`` is how long it had been dead when the study begins.
    """

    role: ClassVar[str] = "timer"
    kind: Literal["delay_timer"] = "delay_timer"
    delay: NonNegativeSeconds = 0.1
    lockout: NonNegativeSeconds = 180.0
    dead_before: NonNegativeSeconds = 3600.0
    #: Feeds its electronics; threshold and load invented.
    threshold: Volts = 16.0
    board: Ohms = 2000.0

    def terminals(self) -> tuple[str, ...]:
        return ("IN", "OUT", "COM")

    def write(self, name: str, into: Elements) -> None:
        pen = Pen(name, into)
        feed, common = pen.at("IN"), pen.at("COM")
        pen.resistor("board", feed, common, self.board)
        own = pen.contact("contact", feed, pen.at("OUT"), False, closed_ohms=CONTACT_OHMS)
        into.add(
            Timer(
                name, volts(feed, common), self.threshold, self.delay, (own,),
                lockout_s=self.lockout, off_before_s=self.dead_before, part=name,
            )
        )  # fmt: skip

    def marks(self, name: str) -> dict[str, str]:
        return {"timer": name, "contact": f"{name}~contact"}


class PressureSwitch(Part):
    """Opens on high or on low pressure (gauge); defaults of the order of R410A, invented."""

    role: ClassVar[str] = "pressure_switch"
    slow: ClassVar[tuple[str, ...]] = ("pressure",)
    kind: Literal["pressure_switch"] = "pressure_switch"
    on: Literal["high", "low"] = "high"
    opens_at: Pascals | None = None
    closes_at: Pascals | None = None
    closed: bool = True

    #: 610/420 psi and 50/95 psi, gauge.
    HIGH: ClassVar[tuple[float, float]] = (4.206e6, 2.896e6)
    LOW: ClassVar[tuple[float, float]] = (0.345e6, 0.655e6)

    @model_validator(mode="after")
    def _has_a_gap(self) -> PressureSwitch:
        opens, closes = self.limits
        if (opens <= closes) if self.on == "high" else (opens >= closes):
            side = "above" if self.on == "high" else "below"
            raise FieldError(
                f"a {self.on}-pressure switch opens {side} the pressure at which it closes",
                hint=f"opens_at: {side} closes_at",
            )
        return self

    @property
    def limits(self) -> tuple[float, float]:
        """(opens, closes) [Pa gauge]."""
        usual = self.HIGH if self.on == "high" else self.LOW
        return self.opens_at or usual[0], self.closes_at or usual[1]

    def terminals(self) -> tuple[str, ...]:
        return ("1", "2")

    def write(self, name: str, into: Elements) -> None:
        pen = Pen(name, into)
        ends = (pen.at("1"), pen.at("2"))
        pen.contact("contact", *ends, self.closed, closed_ohms=CONTACT_OHMS)

    def hand(self, name: str) -> dict[str, Moves]:
        return handle((f"{name}~contact",))

    def marks(self, name: str) -> dict[str, str]:
        return {"contact": f"{name}~contact"}


class TransferSwitch(Part):
    """Break-before-make: the utility or the alternate source, never both; neutral as ordered."""

    role: ClassVar[str] = "transfer_switch"
    kind: Literal["transfer_switch"] = "transfer_switch"
    position: Literal["utility", "alternate", "off"] = "utility"
    switched_neutral: bool = True
    #: Invented, of the order of a 60 A blade.
    pole: Ohms = 0.5e-3

    def terminals(self) -> tuple[str, ...]:
        return ("U1", "U2", "UN", "G1", "G2", "GN", "O1", "O2", "ON")

    def write(self, name: str, into: Elements) -> None:
        pen = Pen(name, into)
        for side, position in (("U", "utility"), ("G", "alternate")):
            for pole in "12N":
                ends = (pen.at(f"{side}{pole}"), pen.at(f"O{pole}"))
                if pole == "N" and not self.switched_neutral:
                    pen.resistor(f"{side}N", *ends, self.pole)
                    continue
                made = self.position == position
                pen.contact(f"{side}{pole}", *ends, made, closed_ohms=self.pole)

    def _side(self, name: str, side: str, made: bool) -> Moves:
        poles = "12N" if self.switched_neutral else "12"
        return tuple((f"{name}~{side}{pole}", made) for pole in poles)

    def hand(self, name: str) -> dict[str, Moves]:
        off = (*self._side(name, "U", False), *self._side(name, "G", False))
        return {
            "open": off,
            "utility": (*self._side(name, "G", False), *self._side(name, "U", True)),
            "alternate": (*self._side(name, "U", False), *self._side(name, "G", True)),
        }
