"""Whether some learners had it harder: mean marks by what the dials of the scenario showed them.

Only dials that show one of a few things part learners into groups; what is shuffled or measured
does not. Knows scenarios as stored; must know no item.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Row

from trainer.base.errors import TrainerError
from trainer.classroom.gradebook import Entry
from trainer.classroom.jobs import job_in, stored_scenario
from trainer.scenario.dials import Faults, OneOf, Paper, Tool
from trainer.scenario.variants import draw
from trainer.standards.exact import mean
from trainer.standards.flags import Flag, variant_flags

#: A group of fewer says nothing of its variant. Scores that spread as the worked ones of the
#: assessment reference, section 1.6, do (16.4 points) let the means of two groups of five differ by
#: 10.4 points by chance (one standard error), of six by 9.5; what is flagged is 10 points.
GROUP_LEAST = 6


@dataclass(frozen=True)
class Group:
    """Those who were shown one thing: how many, and the mean of their totals."""

    shown: str
    n: int
    mean: Fraction


@dataclass(frozen=True)
class Dialled:
    """One dial with its groups; flags name groups of ``GROUP_LEAST`` learners and more only."""

    dial: str
    groups: tuple[Group, ...]
    flags: tuple[Flag, ...]


def variants_met(
    connection: Connection, assignment: Row[Any], graded: Sequence[Entry]
) -> list[Dialled]:
    """Every dial that showed this class two things or more; none where all had one variant."""
    stored = stored_scenario(connection, assignment.scenario_id)
    shown: defaultdict[str, defaultdict[str, list[Fraction]]] = defaultdict(
        lambda: defaultdict(list)
    )
    for entry in graded:
        assert entry.mark is not None
        try:
            scenario = job_in(stored, int(entry.mark.body["seed"])).scenario
        except TrainerError:  # of another edition than this program reads
            return []
        draws = draw(scenario, Path(stored.name).stem, int(entry.mark.body["seed"]))
        for dial, spec in scenario.variants.dials.items():
            if isinstance(spec, OneOf | Faults | Paper | Tool):
                shown[dial][str(draws[dial])].append(entry.mark.total)
    return [dialled(dial, groups) for dial, groups in shown.items() if len(groups) > 1]


def dialled(dial: str, groups: dict[str, list[Fraction]]) -> Dialled:
    """Means of the groups, and which of them differs by more than ten points from the others."""
    compared = {name: marks for name, marks in groups.items() if len(marks) >= GROUP_LEAST}
    found = variant_flags(compared) if len(compared) > 1 else []
    rows = sorted(groups.items())
    return Dialled(dial, tuple(Group(n, len(m), mean(m)) for n, m in rows), tuple(found))
