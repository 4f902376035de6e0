"""Puts a meter between two terminals of a study and prints what it shows.

Knows how to lay a reading out; computes nothing.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Annotated, Any

import typer

from trainer.base.errors import UsageError, quoted
from trainer.base.units import show
from trainer.cli.envelope import Outcome

if TYPE_CHECKING:
    from trainer.circuit.meter import Reading

CAUTION = (
    "Training aid only. On real equipment a meter does not prove a circuit dead by itself: make "
    "dead, lock, test the tester, test, test the tester again."
)

#: Less than this shows as nothing on a hand meter.
LEAST = {"V": 1e-3, "A": 1e-3}


def command(
    study: Annotated[str, typer.Argument(help="A study file, or the bare name of a shipped one.")],
    function: Annotated[
        str,
        typer.Option(
            help="volts, volts_dc, amps (of the conductor between the two), ohms, continuity, "
            "farads or insulation."
        ),
    ],
    between: Annotated[
        tuple[str, str], typer.Option(metavar="A B", help="Two terminals, such as comp.C comp.R.")
    ],
    at: Annotated[
        float | None,
        typer.Option(metavar="SECONDS", help="When; without it every supply is off."),
    ] = None,
) -> Outcome:
    """Read a meter between two terminals of a study."""
    from trainer.starts.metering import FUNCTIONS, meter
    from trainer.study.load import load_study

    if function not in FUNCTIONS:
        hint = f"use {', '.join(FUNCTIONS)}"
        raise UsageError(f"{quoted(function)} is no function of the meter", hint=hint)
    if at is not None and not 0.0 <= at < 1e6:
        raise UsageError(f"--at {at:g} is not possible", hint="give seconds from zero on")
    reading = meter(load_study(study), function, *between, at)
    return Outcome(_data(reading, function, between, at), _text(reading, function, between, at))


def _data(
    reading: Reading, function: str, between: tuple[str, str], at: float | None
) -> dict[str, Any]:
    value = reading.value
    over = value is not None and math.isinf(value)
    return {
        "function": function,
        "between": list(between),
        "at_s": at,
        "value": None if over else value,
        "over_range": over,
        "unit": reading.unit,
        "note": reading.shown_note,
        "caution": CAUTION,
    }


def _text(reading: Reading, function: str, between: tuple[str, str], at: float | None) -> str:
    when = "every supply off" if at is None else f"at {at:g} s"
    lines = [f"{function}, {between[0]} to {between[1]}, {when}: {shown(reading)}"]
    if reading.shown_note:
        lines.append(f"  {reading.shown_note}")
    return "\n".join([*lines, "", f"Caution: {CAUTION}"])


def shown(reading: Reading) -> str:
    """As on a display: OL over range, a dash for nothing meaningful."""
    if reading.value is None:
        return "--"
    if math.isinf(reading.value):
        return f"OL {reading.unit}".rstrip()
    value = 0.0 if abs(reading.value) < LEAST.get(reading.unit, 0.0) else reading.value
    return show(value, reading.unit)
