"""Overcurrent and ground-fault devices, and the disconnect.

Trip curves are invented single-time-constant curves inside the bounds cited beside them; a
maker's curve is a band and always differs. Knows no load.
"""

from __future__ import annotations

import math
from typing import ClassVar, Literal

from trainer.base.fields import Amps, NonNegativeOhms, Ohms, Seconds
from trainer.circuit.elements import Elements, Magnetic, Residual, Thermal
from trainer.parts.heat import AMBIENT_C, TripCurve
from trainer.parts.part import Moves, Multiple, Part, Pen, amps

#: Heat element of a breaker or fuse trips this far above its ambient. Invented.
RISE_K = 100.0
#: Volts a pole drops at its rating. Invented, of the order of a small breaker.
POLE_VOLTS = 0.1
#: Of the published let-go curve, UL 943 (from memory).
LET_GO_EXPONENT = 1.43


def handle(contacts: tuple[str, ...]) -> dict[str, Moves]:
    """Open and close of everything on one handle."""
    return {
        "open": tuple((contact, False) for contact in contacts),
        "close": tuple((contact, True) for contact in contacts),
    }


class Breaker(Part):
    """Thermal-magnetic breaker; one handle, every pole trips the other.

    Holds 115 % for ever and trips after 60 s at 200 %: inside UL 489, which asks 135 % to trip
    within 1 h and 200 % within 2 min up to 30 A (from memory).
    """

    role: ClassVar[str] = "breaker"
    kind: Literal["breaker"] = "breaker"
    rating: Amps
    poles: Literal[1, 2] = 2
    closed: bool = True
    #: Over the rating.
    holds: Multiple = 1.15
    at_double: Seconds = 60.0
    #: Magnetic pick-up over the rating, rms. Invented inside the 5 to 20 times of small breakers.
    magnetic: Multiple = 10.0
    #: From the pick-up to contacts parting, invented.
    magnetic_time: Seconds = 0.004

    def terminals(self) -> tuple[str, ...]:
        return ("1i", "1o", "2i", "2o")[: 2 * self.poles]

    def _contacts(self, name: str) -> tuple[str, ...]:
        return tuple(f"{name}~{pole}" for pole in range(1, self.poles + 1))

    @property
    def curve(self) -> TripCurve:
        return TripCurve(self.holds * self.rating, 2.0 * self.rating, self.at_double)

    def write(self, name: str, into: Elements) -> None:
        pen, ohms = Pen(name, into), POLE_VOLTS / self.rating
        c, r = self.curve.element(ohms, RISE_K)
        breaks = self._contacts(name)
        for pole in range(1, self.poles + 1):
            ends = (pen.at(f"{pole}i"), pen.at(f"{pole}o"))
            own = pen.contact(str(pole), *ends, self.closed, closed_ohms=ohms)
            trips_c = AMBIENT_C + RISE_K
            into.add(
                Thermal(
                    pen.called(f"heat{pole}"), amps(own), ohms, c, r, trips_c, None, breaks,
                    part=name,
                ),
                Magnetic(
                    pen.called(f"magnet{pole}"), amps(own),
                    math.sqrt(2.0) * self.magnetic * self.rating, breaks, self.magnetic_time,
                    part=name,
                ),
            )  # fmt: skip

    def hand(self, name: str) -> dict[str, Moves]:
        return handle(self._contacts(name))

    def marks(self, name: str) -> dict[str, str]:
        return {"contact": f"{name}~1", "thermal": f"{name}~heat1", "magnetic": f"{name}~magnet1"}


#: Holding current over rating, a multiple of the rating and its melting time, and the multiple
#: that melts it within the first half cycle. time_delay: 10 s at five times is the definition
#: of a time-delay fuse (UL 248, from memory). fast: invented.
FuseSpeed = Literal["time_delay", "fast"]
_FUSES: dict[FuseSpeed, tuple[float, float, float, float]] = {
    "time_delay": (1.15, 5.0, 10.0, 30.0),
    "fast": (1.15, 2.0, 1.0, 12.0),
}


class Fuse(Part):
    """One fuse. A blown one stays open; ``close`` stands for a new link in the holder."""

    role: ClassVar[str] = "fuse"
    kind: Literal["fuse"] = "fuse"
    rating: Amps
    speed: FuseSpeed = "time_delay"
    intact: bool = True

    def terminals(self) -> tuple[str, ...]:
        return ("1", "2")

    @property
    def curve(self) -> TripCurve:
        return fuse_curve(self.rating, self.speed)

    def write(self, name: str, into: Elements) -> None:
        pen = Pen(name, into)
        ends = (pen.at("1"), pen.at("2"))
        write_fuse(pen, "link", ends, self.rating, self.speed, self.intact)

    def hand(self, name: str) -> dict[str, Moves]:
        return handle((f"{name}~link",))

    def marks(self, name: str) -> dict[str, str]:
        return {"contact": f"{name}~link", "thermal": f"{name}~link-heat"}


def fuse_curve(rating: float, speed: FuseSpeed) -> TripCurve:
    holds, multiple, seconds, _ = _FUSES[speed]
    return TripCurve(holds * rating, multiple * rating, seconds)


def write_fuse(
    pen: Pen, what: str, ends: tuple[int, int], rating: float, speed: FuseSpeed, intact: bool
) -> str:
    """A fuse link between two nodes of any part; returns the name of its contact."""
    ohms = POLE_VOLTS / rating
    link = pen.contact(what, *ends, intact, closed_ohms=ohms)
    c, r = fuse_curve(rating, speed).element(ohms, RISE_K)
    melts_a = math.sqrt(2.0) * _FUSES[speed][3] * rating
    pen.into.add(
        Thermal(
            pen.called(f"{what}-heat"), amps(link), ohms, c, r, AMBIENT_C + RISE_K, None, (link,),
            part=pen.name,
        ),
        Magnetic(
            pen.called(f"{what}-melt"), amps(link), melts_a, (link,), 0.002, part=pen.name
        ),
    )  # fmt: skip
    return link


class Disconnect(Part):
    """Two-pole pull-out or switch in a metal box; PE is its ground lug."""

    role: ClassVar[str] = "disconnect"
    kind: Literal["disconnect"] = "disconnect"
    closed: bool = False
    #: A pole in good order. Invented, of the order of a blade and two clips.
    pole: NonNegativeOhms = 0.5e-3

    def terminals(self) -> tuple[str, ...]:
        return ("L1", "L2", "T1", "T2", "PE")

    def write(self, name: str, into: Elements) -> None:
        pen = Pen(name, into)
        ohms = max(self.pole, 2e-4)
        for pole in "12":
            ends = (pen.at(f"L{pole}"), pen.at(f"T{pole}"))
            pen.contact(pole, *ends, self.closed, closed_ohms=ohms)

    def hand(self, name: str) -> dict[str, Moves]:
        return handle((f"{name}~1", f"{name}~2"))

    def marks(self, name: str) -> dict[str, str]:
        return {"contact": f"{name}~1"}


class Gfci(Part):
    """Core-balance device on two legs and the neutral.

    t = (trip/i)^n of the published let-go curve: (20 mA / I)^1.43 s, trips at 4 to 6 mA
    (UL 943 class A, from memory).
    """

    role: ClassVar[str] = "gfci"
    kind: Literal["gfci"] = "gfci"
    closed: bool = True
    trips_at: Amps = 5e-3
    one_second_at: Amps = 20e-3
    pole: Ohms = 2e-3

    def terminals(self) -> tuple[str, ...]:
        return ("1i", "1o", "2i", "2o", "Ni", "No")

    def write(self, name: str, into: Elements) -> None:
        pen = Pen(name, into)
        for pole in "12N":
            ends = (pen.at(f"{pole}i"), pen.at(f"{pole}o"))
            pen.contact(pole, *ends, self.closed, closed_ohms=self.pole)
        contacts = self._contacts(name)
        sense = amps(*contacts)
        into.add(
            Residual(
                name, sense, self.trips_at, self.one_second_at, LET_GO_EXPONENT, contacts, part=name
            )
        )

    def _contacts(self, name: str) -> tuple[str, ...]:
        return (f"{name}~1", f"{name}~2", f"{name}~N")

    def hand(self, name: str) -> dict[str, Moves]:
        return handle(self._contacts(name))

    def marks(self, name: str) -> dict[str, str]:
        return {"contact": f"{name}~1", "residual": name}
