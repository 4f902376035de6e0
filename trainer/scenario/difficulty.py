"""How hard a variant is, from the variant itself: what is to be found, mended and got round.

A figure to compare the variants of one job with, in points that are ours alone; the weights and the
band stand in assets/difficulty.yaml. It says nothing of people and nothing of two jobs. Knows
variants and wiring as nets; must know no circuit, no mark and no learner.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from statistics import median_low
from typing import Annotated, Literal, NamedTuple

from pydantic import Field

from trainer.base import yamlfile
from trainer.base.errors import Misfit
from trainer.base.fields import Percent, Record, Volts
from trainer.base.places import assets_dir
from trainer.nets.distance import distance
from trainer.nets.wires import groups_of, wires_of
from trainer.scenario.dials import Condition, PaperState
from trainer.scenario.model import Scenario
from trainer.scenario.variants import Met, met
from trainer.unit.conductor import SIDES, End
from trainer.unit.state import Unit

Points = Annotated[float, Field(ge=0.0, le=100.0)]
Count = Literal["condition", "look_alike", "part", "wire", "joint", "colour", "marking", "charge"]


class Difficulty(Record):
    """The file assets/difficulty.yaml."""

    difficulty: Literal[1]
    points: dict[Count, Points]
    diagram: dict[PaperState, Points]
    instrument: dict[Condition, Points]
    charged_from: Volts
    band: Points
    seeds: Annotated[int, Field(ge=3, le=200)]
    apart: Percent


class Load(NamedTuple):
    """Points of one variant by what they are for."""

    seed: int
    points: Mapping[str, float]

    @property
    def total(self) -> float:
        return sum(self.points.values())

    def __str__(self) -> str:
        each = [f"{what} {points:g}" for what, points in self.points.items() if points]
        return f"{self.total:.2f} ({', '.join(each) or 'nothing'})"


@cache
def table() -> Difficulty:
    return yamlfile.load(assets_dir() / "difficulty.yaml", Difficulty)


def unlike(scenario: Scenario, name: str, seeds: Iterable[int]) -> Iterator[Misfit]:
    """Seeds whose variant is farther from the middle one than the band allows."""
    asked = list(seeds)
    loads = {s: load(met(scenario, name, s)) for s in {*range(table().seeds), *asked}}
    middle = median_low([loads[s].total for s in range(table().seeds)])
    for seed in asked:
        if abs(loads[seed].total - middle) > table().band:
            what = (
                f"seed {seed} is of another difficulty: {loads[seed]} points, where the middle "
                f"of {table().seeds} seeds is {middle:.2f} and {table().band:g} either way pass"
            )
            write = "constraints that forbid what comes together there, or choices more alike"
            yield Misfit(("variants",), what, write)


def load(found: Met) -> Load:
    """The points of one variant."""
    given, draws = table().points, found.layout
    counts: dict[Count, int] = {
        "condition": len(found.faults),
        "look_alike": len(_look_alikes(found)),
        "part": len(_parts(found.unit, found.target)),
        "wire": _edits(found),
        "joint": sum(_joints(found.unit, found.target)),
        "colour": sum(_recoloured(found.unit, found.factory)),
        "marking": len(draws.dirty),
        "charge": sum(abs(v) >= table().charged_from for v in found.charges.values()),
    }
    instruments: Mapping[str, float] = {str(c): p for c, p in table().instrument.items()}
    points = {what.replace("_", "-"): given[what] * count for what, count in counts.items()}
    points["diagram"] = table().diagram[draws.diagram.state]
    points["instrument"] = sum(instruments[c] for c in found.conditions.values())
    return Load(found.seed, points)


def _look_alikes(found: Met) -> set[str]:
    symptoms = found.scenario.symptoms
    return {o for f in found.faults for s in symptoms.get(f, []) for o in s.unlike}


def _parts(unit: Unit, target: Unit) -> list[str]:
    """Parts of the wanted unit that are missing here, of another type or of other values."""
    here = unit.parts
    return [
        n for n, p in target.parts.items()
        if n not in here or (here[n].type, here[n].set) != (p.type, p.set)
    ]  # fmt: skip


def _edits(found: Met) -> int:
    """Fewest edits to any wiring that is accepted."""
    wires = wires_of(found.unit)
    wanted = (found.target, *found.alternates.values())
    return min(distance(wires, groups_of(wires_of(unit))).edits for unit in wanted)


def _joints(unit: Unit, target: Unit) -> Iterator[bool]:
    """For every end that is where it belongs: whether it is made otherwise than wanted."""
    for tag, conductor in target.conductors.items():
        if tag in unit.conductors:
            for side in SIDES:
                here, there = unit.conductors[tag].end(side), conductor.end(side)
                yield here.on == there.on and _made(here) != _made(there)


def _made(end: End) -> tuple[object, ...]:
    return end.stripped_mm, end.strands, end.fitting, end.crimp, end.torque_nm, end.seated, end.tug


def _recoloured(unit: Unit, factory: Unit) -> Iterator[bool]:
    for tag, conductor in factory.conductors.items():
        yield tag in unit.conductors and unit.conductors[tag].colour != conductor.colour
