"""Data files of the reports: cautions, what comes of what, spacing of checks, what trains what.

Knows form; must know no attempt.
"""

from __future__ import annotations

from functools import cache
from typing import Annotated, Literal

from pydantic import Field

from trainer.assess.marks import Domain
from trainer.base import yamlfile
from trainer.base.fields import Record
from trainer.base.places import assets_dir

Line = Annotated[str, Field(min_length=1, max_length=600)]
Days = Annotated[int, Field(ge=1, le=3650)]


class Caution(Record):
    title: Line
    say: Line


class Cautions(Record):
    """``short`` stands on every printed page, the rest once."""

    short: Line
    cautions: Annotated[tuple[Caution, ...], Field(min_length=1)]


class Spacing(Record):
    """When an objective is shown, when it is due again, and what tests a person out of a level."""

    spacing: Literal[1]
    clean_in_a_row: Annotated[int, Field(ge=1, le=10)]
    hint_tier_most: Annotated[int, Field(ge=0, le=3)]
    days: Annotated[tuple[Days, ...], Field(min_length=1, max_length=12)]
    test_out: dict[int, str]


class Why(Record):
    """What comes of leaving a step out, by its code."""

    why: Literal[1]
    codes: dict[str, Line]
    domains: dict[Domain, Line]


class Training(Record):
    """Names of exercises by code of a step, and by domain for all other codes."""

    training: Literal[1]
    codes: dict[str, tuple[str, ...]]
    domains: dict[Domain, tuple[str, ...]]


@cache
def cautions() -> Cautions:
    return yamlfile.load(assets_dir() / "report" / "cautions.yaml", Cautions)


@cache
def spacing() -> Spacing:
    return yamlfile.load(assets_dir() / "spacing.yaml", Spacing)


@cache
def training() -> Training:
    return yamlfile.load(assets_dir() / "training.yaml", Training)


@cache
def whys() -> Why:
    return yamlfile.load(assets_dir() / "report" / "why.yaml", Why)
