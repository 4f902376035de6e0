"""What a variant may draw: one record for each kind of dial, and the draws that never go together.

Knows form only; what is drawn from them is in variants.py.
"""

from __future__ import annotations

import re
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from trainer.base.errors import FieldError, quoted
from trainer.base.fields import AnyVolts, Record
from trainer.scenario.change import Change, Name, formed

_QUANTITY = re.compile(r"\s*(-?[0-9]+(?:\.[0-9]+)?)\s*([A-Za-z%µ][A-Za-z0-9./µ]*)\s*")

#: As an upper end: whatever the display has no number for.
OVER_RANGE = "OL"
FaultId = Annotated[str, formed(r"F[0-9][0-9]", "id of a fault", "F and two digits")]
#: Direct volts on a capacitor: more than any of these circuits could leave is no job. Invented.
HELD_MOST = 700.0
HeldVolts = Annotated[AnyVolts, Field(ge=-HELD_MOST, le=HELD_MOST)]
PaperState = Literal["clean", "dirty", "missing", "older"]
Condition = Literal["good", "low battery", "flat battery", "open lead", "blown fuse"]


def number_and_unit(text: Any) -> tuple[float, str]:
    """(35.0, "uF") of "35 uF". Raises FieldError."""
    match = _QUANTITY.fullmatch(text) if isinstance(text, str) else None
    if match is None:
        raise FieldError(f"{quoted(text)} is no number with a unit", hint="a value such as 35 uF")
    return float(match[1]), match[2]


def _one_unit(pair: Any) -> Any:
    """Two quantities of one unit, the least first."""
    if isinstance(pair, list | tuple) and len(pair) == 2 and pair[1] != OVER_RANGE:
        (least, unit), (most, other) = (number_and_unit(text) for text in pair)
        if unit != other:
            raise FieldError(f"the units {unit} and {other} differ", hint="one unit for both")
        if least > most:
            raise FieldError("the first value is above the second", hint="the least one first")
    return pair


#: Two quantities as text, the least first: [30 uF, 40 uF], or [1 Mohm, OL].
Span = Annotated[tuple[str, str], BeforeValidator(_one_unit)]


class OneOf(Record):
    """One of several changes, by name."""

    draw: Literal["one of"]
    choices: Annotated[dict[Name, Change], Field(min_length=2, max_length=12)]
    #: The wanted unit has the same change (another motor, say, that stays as it is).
    target_too: bool = False


class Faults(Record):
    """One of several planted conditions; "none" plants nothing. Repeats make one likelier."""

    draw: Literal["fault"]
    choices: Annotated[list[FaultId | Literal["none"]], Field(min_length=2, max_length=24)]


class Value(Record):
    """A field of a part, between two values, ends included."""

    draw: Literal["value"]
    part: Name
    field: Name
    between: Span
    #: The wanted unit has the same value (a supply or a motor stays as it is).
    target_too: bool = True


class Charge(Record):
    """Direct volts left on a capacitor: its part, or part.TERMINAL of a dual one."""

    draw: Literal["charge"]
    on: Name
    between: tuple[HeldVolts, HeldVolts]


class Colours(Record):
    """Insulation colours dealt anew among these conductors: colour is no evidence."""

    draw: Literal["colours"]
    wires: Annotated[list[Name], Field(min_length=2, max_length=60)]


class Dirt(Record):
    """So many of these markings cannot be read until they are wiped."""

    draw: Literal["dirt"]
    places: Annotated[list[Name], Field(min_length=1, max_length=40)]
    count: Annotated[int, Field(ge=0, le=40)] = 1


class Arrangement(Record):
    """These parts change spots on the board among themselves."""

    draw: Literal["arrangement"]
    parts: Annotated[list[Name], Field(min_length=2, max_length=20)]


class Paper(Record):
    """What has become of the diagram on the door."""

    draw: Literal["diagram"]
    states: Annotated[list[PaperState], Field(min_length=2, max_length=8)]


class Tool(Record):
    """The state an instrument is found in."""

    draw: Literal["tool"]
    instrument: Name
    conditions: Annotated[list[Condition], Field(min_length=2, max_length=8)]


Dial = Annotated[
    OneOf | Faults | Value | Charge | Colours | Dirt | Arrangement | Paper | Tool,
    Field(discriminator="draw"),
]


class Never(Record):
    """Draws that do not go together, by dial; such a variant is drawn again.

    ``check`` refuses a seed that is much harder or easier than the middle one of its job (points
    and band in assets/difficulty.yaml): forbid here what makes it so.
    """

    never: Annotated[dict[Name, Name | list[Name]], Field(min_length=1, max_length=6)]


class Variants(Record):
    dials: Annotated[dict[Name, Dial], Field(max_length=20)] = {}
    constraints: Annotated[list[Never], Field(max_length=20)] = []
