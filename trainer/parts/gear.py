"""The invented classes of relays and soft starters, read from assets/start-gear.yaml.

Knows the file; must know nothing of what a class is used for.
"""

from __future__ import annotations

from functools import cache
from typing import Literal

from pydantic import BaseModel, ConfigDict

from trainer.base.fields import Amps, Ohms, Percent, Record, Seconds, Volts
from trainer.base.places import assets_dir
from trainer.base.yamlfile import load

RelayLetter = Literal["A", "B", "C", "D", "E"]
StarterCode = Literal["P12", "P20", "P28", "P44"]


class RelayClass(Record):
    """Ranges a relay of this class may lie in [V rms], its coil and its armature times."""

    pickup: tuple[Volts, Volts]
    dropout_least: Volts
    dropout_most: Volts
    continuous: Volts
    coil: Ohms
    operate: Seconds
    release: Seconds


class StarterClass(Record):
    """Largest amps, largest locked-rotor amps, share of the latter left while ramping."""

    amps: Amps
    locked_amps: Amps
    limit_ratio: Percent


class Gear(BaseModel):
    """The parts of the file that are needed here."""

    model_config = ConfigDict(extra="ignore", frozen=True)
    relay_classes: dict[RelayLetter, RelayClass]
    starter_classes: dict[StarterCode, StarterClass]


@cache
def gear() -> Gear:
    return load(assets_dir() / "start-gear.yaml", Gear)
