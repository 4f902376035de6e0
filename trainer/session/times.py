"""What an act costs in bench time, from the shipped table. Knows names of acts only."""

from __future__ import annotations

from functools import cache
from typing import Literal

from trainer.base import yamlfile
from trainer.base.fields import NonNegativeSeconds, Record
from trainer.base.places import assets_dir


class Times(Record):
    """The file assets/act-times.yaml."""

    times: Literal[1]
    acts: dict[str, NonNegativeSeconds]


@cache
def times() -> Times:
    return yamlfile.load(assets_dir() / "act-times.yaml", Times)


def cost_ms(act: str) -> int:
    return round(1000.0 * times().acts[act])
