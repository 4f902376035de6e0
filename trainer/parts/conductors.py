"""Ohms of a conductor by gauge and length, and of the joints at its ends.

Knows the table in assets/conductors.yaml; must know nothing of parts or of who wires them.
"""

from __future__ import annotations

from difflib import get_close_matches
from functools import cache
from typing import Annotated, Any

from pydantic import BeforeValidator

from trainer.base.errors import FieldError, quoted
from trainer.base.fields import Ohms, Record
from trainer.base.places import assets_dir
from trainer.base.yamlfile import load

KFT_M = 304.8

#: Reactance of one conductor of a closely laid run [ohm per 1000 ft at 60 Hz]: of the order of
#: NEC Chapter 9 Table 9 less the spacing of a raceway. Invented within that.
REACTANCE_OHM_PER_KFT = 0.03


class Conductor(Record):
    """Direct-current resistance at its working temperature, and who says so."""

    ohm_per_kft: float
    source: str


class ConductorTable(Record):
    """The file assets/conductors.yaml."""

    conductors: dict[str, Conductor]
    joints: dict[str, Ohms]


@cache
def table() -> ConductorTable:
    return load(assets_dir() / "conductors.yaml", ConductorTable)


def ohms_of(gauge: str, metres: float) -> float:
    """Resistance of one conductor [ohm]: table value times length, at working temperature."""
    return table().conductors[gauge].ohm_per_kft * metres / KFT_M


def henries_of(metres: float) -> float:
    """Inductance of one conductor of a closely laid run [H]; its reactance is that at 60 Hz."""
    return REACTANCE_OHM_PER_KFT * metres / KFT_M / 377.0


def joint_ohms(workmanship: str) -> float:
    """Resistance of one termination made this way [ohm]."""
    return table().joints[workmanship]


def _known(names: list[str], given: Any, what: str) -> str:
    """``given`` if it is one of ``names``, else a FieldError that names the nearest."""
    if isinstance(given, str) and given.strip() in names:
        return given.strip()
    text = str(given)[:40]
    near = get_close_matches(text, names, n=1) or [n for n in names if n.startswith(f"{text} ")]
    hint = near[0] if near else "one of " + ", ".join(names)
    raise FieldError(f"{quoted(given)} is not {what} known here", hint=hint)


def _gauge(given: Any) -> str:
    return _known(list(table().conductors), given, "a conductor")


def _workmanship(given: Any) -> str:
    return _known(list(table().joints), given, "a workmanship")


#: A conductor of the table, such as "10 AWG" or "1/0 AWG Al".
Gauge = Annotated[str, BeforeValidator(_gauge)]
#: How a termination was made: good, fair, loose or burnt.
Workmanship = Annotated[str, BeforeValidator(_workmanship)]
