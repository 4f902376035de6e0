"""A table of signatures: what a planted condition shows live, with a lead lifted, and beside
what looks like it.

``Row`` is one condition. Units are kept by how they were brought about, so rows share starts.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from tests.unit.units import amps, ohms, plain, reading, volts
from trainer.base.errors import TrainerError
from trainer.circuit.channels import Channel
from trainer.circuit.elements import Sense
from trainer.unit.changes import alter, lift
from trainer.unit.circuit import elements_of
from trainer.unit.faults import FAULTS, plant
from trainer.unit.state import Unit
from trainer.unit.world import advance, remembering

CALL = ("indoor", "call")
INF = float("inf")
#: Look-alikes that are no planted condition of their own.
OTHERS: dict[str, Callable[[Unit], Unit]] = {
    "healthy": lambda unit: unit,
    "heater open": lambda unit: alter(unit, "cch", power="0.001 W"),
    "stuck call": lambda unit: alter(unit, "indoor", calling=True),
    "Y open": lambda unit: lift(unit, "contactor.A1"),
    "transformer fuse open": lambda unit: alter(unit, "indoor", fuse_intact=False),
    "relay of too high a class": lambda unit: alter(unit, "pr", relay_class="E"),
    "over-capacitance": lambda unit: alter(unit, "can", herm="45 uF"),
}


@dataclass(frozen=True)
class How:
    """Moves at the beginning, a time, and leads lifted at the end."""

    ms: int = 0
    moves: tuple[tuple[str, str], ...] = ()
    lifted: tuple[str, ...] = ()


def after(ms: int, *moves: tuple[str, str]) -> How:
    """So long after a call, or after other moves."""
    return How(ms, moves or (CALL,))


def dead(*lifted: str, ms: int = 1000) -> How:
    """Isolated, with every lead off these terminals."""
    return How(ms, (("disconnect", "open"),), lifted)


REST = How()


@dataclass(frozen=True)
class Seen:
    """One reading: how the unit is, what is read, and between what it lies."""

    how: How
    words: str
    of: Callable[[Unit], float]
    least: float
    most: float

    def on(self, condition: str, layout: str) -> float:
        return self.of(brought(condition, layout, self.how))


@dataclass(frozen=True)
class Row:
    """``like``: the look-alike; ``apart`` is read on both, ``other`` is what the look-alike has."""

    fault: str
    layout: str
    sign: Seen
    lifted: Seen
    like: str
    apart: Seen
    other: tuple[float, float]
    like_on: str = ""

    @property
    def name(self) -> str:
        return f"{self.fault} {FAULTS[self.fault].name}"


@cache
def found(condition: str, layout: str) -> Unit:
    unit = plain(layout)
    made = OTHERS[condition](unit) if condition in OTHERS else plant(unit, condition)
    return remembering(made)


@cache
def brought(condition: str, layout: str, how: How) -> Unit:
    """The unit in that condition, done to it what is to be done."""
    if how.lifted:
        unit = brought(condition, layout, How(how.ms, how.moves))
        for terminal in how.lifted:
            unit = lift(unit, terminal)
        return remembering(unit)
    unit = found(condition, layout)
    return advance(unit, how.ms, how.moves).unit if how.ms else unit


def check(seen: Seen, condition: str, layout: str, between: tuple[float, float]) -> None:
    value = seen.on(condition, layout)
    assert between[0] <= value <= between[1], f"{condition}: {seen.words} is {value:.4g}"


def shows(row: Row) -> None:
    check(row.sign, row.fault, row.layout, (row.sign.least, row.sign.most))


def shows_lifted(row: Row) -> None:
    check(row.lifted, row.fault, row.layout, (row.lifted.least, row.lifted.most))


def differs(row: Row) -> None:
    """The stated reading lies apart on the two, and the two ranges do not meet."""
    mine, other = (row.apart.least, row.apart.most), row.other
    assert mine[1] < other[0] or other[1] < mine[0]
    check(row.apart, row.fault, row.layout, mine)
    check(row.apart, row.like, row.like_on or row.layout, other)


def is_told_from_healthy(row: Row) -> None:
    """Some reading of the row is another one on a good unit; otherwise it would prove nothing."""
    assert any(_outside(seen, row.layout) for seen in (row.sign, row.lifted, row.apart)), row.name


def _outside(seen: Seen, layout: str) -> bool:
    """Whether a good unit reads outside the range, or has nothing there to read."""
    try:
        value = seen.on("healthy", layout)
    except (AssertionError, LookupError, StopIteration, TrainerError):
        return True
    return not seen.least <= value <= seen.most


def v(a: str, b: str) -> Callable[[Unit], float]:
    return lambda unit: volts(unit, a, b)


def i(wire: str) -> Callable[[Unit], float]:
    """Clamp round one conductor."""
    return lambda unit: amps(unit, f"wire:{wire}")


def r(a: str, b: str) -> Callable[[Unit], float]:
    return lambda unit: ohms(unit, a, b)


def uf(a: str, b: str) -> Callable[[Unit], float]:
    """Microfarads; nothing to be read counts as none."""
    return lambda unit: 1e6 * (reading(unit, "farads", a, b).value or 0.0)


def turns(machine: str = "comp") -> Callable[[Unit], float]:
    return lambda unit: unit.electrics.machines[machine].speed_rad_s


def trace_of(
    unit: Unit, ms: int, sense: Sense, *moves: tuple[str, str]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Time and values of one line while a unit starts."""
    traces = advance(unit, ms, moves or (CALL,), channels=[Channel("x", sense)], stride=2).traces
    return tuple(np.concatenate(rows) for rows in zip(  # type: ignore[return-value]
        *((t.t_s, t.values["x"]) for t in traces), strict=True))  # fmt: skip


def rms_in(wire: str, begin: float, end: float) -> Callable[[Unit], float]:
    """rms of a conductor's amps between two times after a call."""

    def of(unit: Unit) -> float:
        t, x = trace_of(unit, round(1000 * end) + 20, Sense(amps=((f"wire:{wire}", 1.0),)))
        return float(np.sqrt(np.mean(x[(t >= begin) & (t < end)] ** 2)))

    return of


def volts_in(a: str, b: str, begin: float, end: float) -> Callable[[Unit], float]:
    """rms of volts between two times after a call."""

    def of(unit: Unit) -> float:
        nodes = elements_of(unit)[1]
        t, x = trace_of(unit, round(1000 * end) + 20, Sense(volts=(nodes.at(a), nodes.at(b))))
        return float(np.sqrt(np.mean(x[(t >= begin) & (t < end)] ** 2)))

    return of


def last_amps(wire: str, least: float, ms: int = 600) -> Callable[[Unit], float]:
    """When a conductor last carried more than ``least`` after a call [s]; 0 never."""

    def of(unit: Unit) -> float:
        t, x = trace_of(unit, ms, Sense(amps=((f"wire:{wire}", 1.0),)))
        over = t[np.abs(x) > least]
        return float(over.max()) if over.size else 0.0

    return of


def count(name: str, kind: str, ms: int = 600) -> Callable[[Unit], float]:
    """How often something happened to a device or contact after a call."""
    return lambda unit: float(sum(
        (e.name, e.kind) == (name, kind) for e in advance(unit, ms, [CALL]).events))  # fmt: skip


def acts_at(name: str, kind: str = "picked_up") -> Callable[[Unit], float]:
    """What a device felt when it first acted after a call, as the event has it."""
    return lambda unit: next(
        e.value for e in advance(unit, 600, [CALL]).events if (e.name, e.kind) == (name, kind)
    )


def hertz(a: str, b: str, begin: float, end: float) -> Callable[[Unit], float]:
    """Cycles a second between two times after a call, by zeros of the volts."""

    def of(unit: Unit) -> float:
        nodes = elements_of(unit)[1]
        t, x = trace_of(unit, round(1000 * end) + 20, Sense(volts=(nodes.at(a), nodes.at(b))))
        zeros = t[1:][(np.diff(np.signbit(x)) != 0) & (t[1:] >= begin) & (t[1:] < end)]
        return float((zeros.size - 1) / 2.0 / (zeros[-1] - zeros[0]))

    return of
