"""Acts on one end of one conductor, and on conductors whole. Knows form only."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from trainer.base import units
from trainer.base.errors import FieldError, quoted
from trainer.parts.conductors import Gauge
from trainer.session.act import Noting, Place, Text, Wire
from trainer.unit.conductor import Fitting


class Lift(Wire):
    act: Literal["lift"] = "lift"
    by: Literal["terminal", "wire"] = "terminal"


class Loosen(Wire):
    act: Literal["loosen"] = "loosen"


class Cut(Wire):
    act: Literal["cut"] = "cut"


class Strip(Wire):
    act: Literal["strip"] = "strip"
    mm: Annotated[float, Field(gt=0.0, le=60.0)] = 8.0
    tool: Literal["stripper", "knife", "wrong notch"] = "stripper"


class Crimp(Wire):
    act: Literal["crimp"] = "crimp"
    fitting: Fitting = "female_250"
    tool: Literal["ratchet", "pliers", "wrong die"] = "ratchet"


class Land(Wire):
    act: Literal["land"] = "land"
    place: Place
    push: Literal["fully", "half"] = "fully"


class Torque(Wire):
    act: Literal["torque"] = "torque"
    nm: Annotated[float, Field(gt=0.0, le=60.0)]
    means: Literal["torque driver", "feel"] = "torque driver"


class Tug(Wire):
    act: Literal["tug"] = "tug"


class Inspect(Wire):
    act: Literal["inspect"] = "inspect"


class Cap(Wire):
    act: Literal["cap"] = "cap"


class Park(Wire):
    act: Literal["park"] = "park"


class Label(Wire):
    act: Literal["label"] = "label"
    text: Text


class Dress(Noting):
    """How a conductor is held on its way: tied, through a grommet, strain relieved, with a loop."""

    act: Literal["dress"] = "dress"
    wire: Text
    how: Literal["tie", "grommet", "strain relief", "drip loop", "slack"]


class Scrape(Noting):
    """Paint off under a ground lug, down to bright metal."""

    act: Literal["scrape"] = "scrape"
    place: Place


#: What comes off a reel in one piece. [m]
LEAST_M, MOST_M = 0.01, 100.0


def _metres(given: Any) -> Any:
    """A length as a moves file and a hand write it, or the bare metres that a log keeps."""
    metres = units.parse(given, "m") if isinstance(given, str) else given
    if not isinstance(metres, int | float) or not LEAST_M <= metres <= MOST_M:
        raise FieldError(f"{quoted(given)} is no length off the reel", hint="1 cm to 100 m")
    return metres


#: Metres; written with its unit.
Length = Annotated[float | str, BeforeValidator(_metres)]


class TakeWire(Noting):
    """A new conductor off the reel, both ends cut and not stripped."""

    act: Literal["take wire"] = "take wire"
    wire: Text
    gauge: Gauge = "14 AWG"
    colour: Text = "BK"
    length: Length = 0.6


class TakeOut(Noting):
    """A conductor whose ends are both off, out of the cabinet."""

    act: Literal["take out"] = "take out"
    wire: Text
