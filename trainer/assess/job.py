"""What the job asked for: the wanted wiring and parts, conditions, readings, as plain facts.

Drawn again from the scenario and the seed; no circuit is built. Knows scenarios and layouts;
must know no event.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from trainer.assess.scene import Scene
from trainer.assess.site import Site, site_of
from trainer.nets.nets import nets_of
from trainer.nets.wires import Wire, wires_of
from trainer.scenario.model import Scenario
from trainer.scenario.readings import Reading as Asked
from trainer.scenario.readings import Symptom
from trainer.scenario.variants import placed, wanted_of
from trainer.unit.layout import Layout
from trainer.unit.state import Unit


@dataclass(frozen=True)
class Job:
    """One variant as an assessor sees it."""

    scenario: Scenario
    name: str
    seed: int
    layout: Layout
    site: Site
    target: Unit
    alternates: Mapping[str, Unit]
    faults: tuple[str, ...]

    @property
    def readings(self) -> list[Asked]:
        return list(self.scenario.readings)

    def symptoms(self, fault: str) -> list[Symptom]:
        return list(self.scenario.symptoms.get(fault, []))

    @cached_property
    def target_wires(self) -> list[Wire]:
        return wires_of(self.target)

    @cached_property
    def alternate_wires(self) -> dict[str, list[Wire]]:
        return {name: wires_of(unit) for name, unit in self.alternates.items()}

    @cached_property
    def placed(self) -> Layout:
        """The layout as this variant draws it: parts may have changed spots."""
        return placed(self.scenario, self.name, self.seed)

    @cached_property
    def joined(self) -> Mapping[str, str]:
        """Terminal -> a name common to all that the wanted wiring joins to it."""
        return {t: net.terminals[0] for net in nets_of(self.target) for t in net.terminals}

    @property
    def diagnoses(self) -> bool:
        """Whether there may be a fault to find."""
        return bool(self.scenario.plantable)

    def nothing_to_mend(self, first: Scene) -> bool:
        """Whether the unit is wanted exactly as it was found."""
        same_parts = {n: p["type"] for n, p in first.parts.items()} == self.wanted_types()[0]
        found = {t: tuple(c[s]["on"] for s in ("a", "b")) for t, c in first.conductors.items()}
        wanted = {t: (c.a.on, c.b.on) for t, c in self.target.conductors.items()}
        return same_parts and found == wanted and not self.faults

    def wanted_types(self) -> list[Mapping[str, str]]:
        """Name of part -> type, of the target and of every alternate."""
        units = [self.target, *self.alternates.values()]
        return [{name: placed.type for name, placed in unit.parts.items()} for unit in units]

    @cached_property
    def gauges(self) -> Mapping[frozenset[str], str]:
        """Pair of terminals -> the gauge wanted between them."""
        return {frozenset((w.a, w.b)): w.gauge for w in self.target_wires if w.whole}


def job_of(scenario: Scenario, name: str, seed: int) -> Job:
    """The job of a seed. Raises TrainerError for one that cannot be drawn."""
    wanted = wanted_of(scenario, name, seed)
    return Job(
        scenario, name, seed, wanted.layout, site_of(wanted.layout), wanted.target,
        wanted.alternates, wanted.faults,
    )  # fmt: skip
