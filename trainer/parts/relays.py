"""Start relays: potential (5 2 1) and current (L M S).

Knows coil, contact and armature; must know nothing of the motor it starts.
"""

from __future__ import annotations

import math
from typing import ClassVar, Literal

from pydantic import model_validator

from trainer.base.errors import FieldError
from trainer.base.fields import Amps, AmpsSquaredSeconds, Hertz, Ohms, Seconds, Volts
from trainer.circuit.elements import Coil, Elements
from trainer.parts.gear import RelayClass, RelayLetter, gear
from trainer.parts.part import Part, Pen, amps, volts

#: Coil reactance over its resistance. Invented.
COIL_REACTANCE = 1.0


class PotentialRelay(Part):
    """Contact 1-2 normally closed, coil 5-2; 4 and 6 are tie points joined to nothing.

    Give ``relay_class`` for the middle of an invented class, or single values over it.
    """

    role: ClassVar[str] = "relay"
    kind: Literal["potential_relay"] = "potential_relay"
    relay_class: RelayLetter = "B"
    pickup: Volts | None = None
    dropout: Volts | None = None
    continuous: Volts | None = None
    coil: Ohms | None = None
    operate: Seconds | None = None
    release: Seconds | None = None
    hz: Hertz = 60.0
    #: Invented, of the order of a 16 A silver contact.
    contact: Ohms = 10e-3
    welds_at: AmpsSquaredSeconds = 20.0
    #: Found like this: contact that works, welded shut or stuck open; coil whole or open.
    contact_found: Literal["working", "welded", "stuck_open"] = "working"
    coil_found: Literal["whole", "open"] = "whole"

    @property
    def data(self) -> RelayClass:
        return gear().relay_classes[self.relay_class]

    @property
    def pickup_v(self) -> float:
        return self.pickup or sum(self.data.pickup) / 2.0

    @property
    def dropout_v(self) -> float:
        return self.dropout or (self.data.dropout_least + self.data.dropout_most) / 2.0

    @property
    def continuous_v(self) -> float:
        """What the coil stands for ever [V rms]."""
        return self.continuous or self.data.continuous

    @model_validator(mode="after")
    def _hysteresis(self) -> PotentialRelay:
        if self.dropout_v >= self.pickup_v:
            raise FieldError(
                "the contact would close again at or above the volts that open it",
                hint=f"dropout: below {self.pickup_v:g} V",
            )
        return self

    def terminals(self) -> tuple[str, ...]:
        return ("5", "2", "1", "4", "6")

    def write(self, name: str, into: Elements) -> None:
        pen = Pen(name, into)
        coil, end = pen.at("5"), pen.at("2")
        self._coil(pen, coil, end)
        shut = self.contact_found != "stuck_open"
        own = pen.contact(
            "contact", pen.at("1"), end, shut, closed_ohms=self.contact, weld_a2s=self.welds_at
        )
        breaks = (own,) if self.contact_found == "working" else ()
        operate, release = self.operate or self.data.operate, self.release or self.data.release
        sense = amps(f"{name}~coil") if self.coil_found == "open" else volts(coil, end)
        into.add(
            Coil(
                name, sense, self.pickup_v, self.dropout_v, operate, release, breaks=breaks,
                part=name,
            )
        )  # fmt: skip

    def _coil(self, pen: Pen, coil: int, end: int) -> None:
        """The coil's branch; an open one is a gap, whose amps never reach a pickup in volts."""
        if self.coil_found == "open":
            pen.resistor("coil", coil, end, 1e9)
            return
        ohms = self.coil or self.data.coil
        henries = COIL_REACTANCE * ohms / (2.0 * math.pi * self.hz)
        pen.branch("coil", coil, end, ohms, henries)

    def marks(self, name: str) -> dict[str, str]:
        return {"relay": name, "contact": f"{name}~contact", "coil": f"{name}~coil"}


class CurrentRelay(Part):
    """Coil L-M in the run lead, contact L-S normally open; makes on inrush.

    Pick-up 1.5 to 2.5 and drop-out 1.1 to 1.5 times rated amps: common practice, no source.
    """

    role: ClassVar[str] = "relay"
    kind: Literal["current_relay"] = "current_relay"
    pickup: Amps
    dropout: Amps
    #: Armature, contact and coil invented; the coil reads near nothing on an ohmmeter.
    operate: Seconds = 0.010
    release: Seconds = 0.010
    coil: Ohms = 0.03
    contact: Ohms = 10e-3
    welds_at: AmpsSquaredSeconds = 20.0
    #: Mounted upside down the armature lies in: contact always made.
    upside_down: bool = False

    @model_validator(mode="after")
    def _hysteresis(self) -> CurrentRelay:
        if self.dropout >= self.pickup:
            raise FieldError(
                "the contact would open at or above the amps that make it",
                hint=f"dropout: below {self.pickup:g} A",
            )
        return self

    def terminals(self) -> tuple[str, ...]:
        return ("L", "M", "S")

    def write(self, name: str, into: Elements) -> None:
        pen = Pen(name, into)
        line = pen.at("L")
        coil = pen.resistor("coil", line, pen.at("M"), self.coil)
        own = pen.contact(
            "contact", line, pen.at("S"), self.upside_down,
            closed_ohms=self.contact, weld_a2s=self.welds_at,
        )  # fmt: skip
        makes = () if self.upside_down else (own,)
        into.add(
            Coil(
                name, amps(coil), self.pickup, self.dropout, self.operate, self.release,
                makes=makes, part=name,
            )
        )  # fmt: skip

    def marks(self, name: str) -> dict[str, str]:
        return {"relay": name, "contact": f"{name}~contact", "coil": f"{name}~coil"}
