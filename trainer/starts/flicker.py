"""Flicker of lamps by the analytical method: what one change of volts, or n starts an hour, give.

Pst and Plt of IEC 61000-3-3 (from memory) and the lamp it is scaled to. Knows numbers of changes
and their size; must know no limit and no circuit. Per cent is per cent of nominal volts.
"""

from __future__ import annotations

import math
from functools import cache
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

from trainer.base.errors import TrainerError
from trainer.base.fields import Record
from trainer.base.places import assets_dir
from trainer.base.yamlfile import load

WINDOW_S = 600.0
WINDOWS_IN_PLT = 12
EXPONENT = 3.2
#: The formula asks for a second between changes; IEC 61000-3-3 (from memory).
MOST_PER_MIN = 60.0
#: The lamp the formula was made for.
REFERENCE_LAMP = "230 V 50 Hz"
#: Rows of the performance table that lie in the formula's range.
_ROWS_IN_RANGE = 3

Positive = Annotated[float, Field(gt=0.0)]


class LampTable(Record):
    """Changes that give Pst = 1 on each lamp, per cent, by changes a minute."""

    source: str
    changes_per_min: tuple[Positive, ...]
    lamps: dict[str, tuple[Positive, ...]]


class _Codes(BaseModel):
    """The block of assets/code-tables.yaml that is needed here."""

    model_config = ConfigDict(extra="ignore", frozen=True)
    flicker: LampTable


@cache
def lamp_table() -> LampTable:
    return load(assets_dir() / "code-tables.yaml", _Codes).flicker


def lamp_factor(lamp: str) -> float:
    """How much a lamp shows compared with the 230 V 50 Hz lamp of the formula.

    Mean ratio of the changes that give Pst = 1 on both lamps, at 1, 7 and 39 a minute. About
    0.86 for 120 V 60 Hz: its filament is thicker and slower. IEC 61000-4-15 ed. 2 table.
    """
    lamps = lamp_table().lamps
    if lamp not in lamps:
        raise TrainerError(f"no lamp {lamp!r}", hint=f"use one of {', '.join(lamps)}")
    pairs = list(zip(lamps[REFERENCE_LAMP], lamps[lamp], strict=True))[:_ROWS_IN_RANGE]
    return sum(reference / here for reference, here in pairs) / len(pairs)


def lamp_for(volts: float, hz: float) -> str:
    """The lamp that hangs on a supply of these volts to neutral and this frequency."""
    return f"{'120' if volts < 175.0 else '230'} V {'50' if hz < 55.0 else '60'} Hz"


def flicker_time(d_pct: float, factor: float = 1.0) -> float:
    """Flicker impression time of one change: t_f = 2.3 (F d)^3.2 [s].

    ``factor`` is the shape factor (1 for a step) times the lamp factor. IEC 61000-3-3 (from
    memory).
    """
    seconds: float = 2.3 * (factor * d_pct) ** EXPONENT
    return seconds


def pst(d_pct: float, changes: float, factor: float = 1.0) -> float:
    """Short-term flicker of ``changes`` equal changes in ten minutes.

    Pst = (sum t_f / T_p)^(1/3.2), T_p 600 s. Not for changes closer than a second: refuses more
    than 60 a minute. IEC 61000-3-3 (from memory).
    """
    if changes > MOST_PER_MIN * WINDOW_S / 60.0:
        raise TrainerError(
            f"{changes / 10.0:g} changes a minute are beyond the analytical method",
            hint="use at most 60 a minute, or a flickermeter",
        )
    return float((changes * flicker_time(d_pct, factor) / WINDOW_S) ** (1.0 / EXPONENT))


def change_for_pst(target: float, changes: float, factor: float = 1.0) -> float:
    """The change that gives ``target`` Pst: the inverse of ``pst`` [%]."""
    return float((WINDOW_S / changes / 2.3) ** (1.0 / EXPONENT)) * target / factor


def pst_of_starts(d_pct: float, starts_per_hour: float, factor: float = 1.0) -> float:
    """Pst of the worst ten minutes of an hour with evenly spaced starts.

    One start is one change: the drop and its recovery together, as IEC 61000-3-3 counts a
    motor start, taken with the shape factor of a step (from memory).
    """
    return pst(d_pct, _starts_in_worst_window(starts_per_hour), factor)


def plt_of_starts(d_pct: float, starts_per_hour: float, factor: float = 1.0) -> float:
    """Long-term flicker over two hours: (sum Pst^3 / 12)^(1/3). IEC 61000-3-3 (from memory)."""
    total = math.ceil(2.0 * starts_per_hour)
    each, more = divmod(total, WINDOWS_IN_PLT)
    cubes = more * pst(d_pct, each + 1, factor) ** 3
    cubes += (WINDOWS_IN_PLT - more) * (pst(d_pct, each, factor) ** 3 if each else 0.0)
    return math.cbrt(cubes / WINDOWS_IN_PLT)


def _starts_in_worst_window(starts_per_hour: float) -> int:
    if starts_per_hour <= 0.0:
        raise TrainerError("starts an hour must be above zero", hint="give at least 1")
    return math.ceil(starts_per_hour * WINDOW_S / 3600.0)
