"""What is printed on each instrument and the volts it is rated for, from assets/instruments.yaml.

Knows one file only.
"""

from __future__ import annotations

from functools import cache
from typing import Literal

from trainer.base.fields import Record, Volts
from trainer.base.places import assets_dir
from trainer.base.yamlfile import load


class Printed(Record):
    printed: str
    rated: Volts


class Instruments(Record):
    """The file."""

    instruments: Literal[1]
    tray: dict[str, Printed]


@cache
def printed() -> dict[str, Printed]:
    return load(assets_dir() / "instruments.yaml", Instruments).tray


def rated_v(instrument: str) -> float:
    """Volts between its leads, or to ground, that it stands [V]."""
    return printed()[instrument].rated
