"""The wiring as it was left, held against what was wanted; joins that must never be.

Parts are held against the wanted ones by kind, so that a wrong relay wired right is one mistake
and not two. Knows scenes, jobs and the comparison of nets; must know no weight.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Any

from trainer.assess.job import Job
from trainer.assess.scene import Scene
from trainer.assess.site import COIL_TERMINALS, CONTROL_KINDS, kind_of
from trainer.nets.compare import Comparison, compare
from trainer.nets.dangers import dangers
from trainer.nets.function import works_alike
from trainer.nets.wires import Joined, Partition, Wire, groups_of, wires_in
from trainer.nets.words import places, sentences
from trainer.unit.catalogue import type_of
from trainer.unit.conductor import Conductor
from trainer.unit.state import Placed, Unit

#: Kinds of part that are two-terminal switches in a series chain.
SERIES = frozenset(("pressure_switch", "fuse"))


@dataclass(frozen=True)
class Compared:
    """The wiring of one scene: ``comparison`` with what was wanted, in names of that."""

    scene: Scene
    job: Job
    wires: tuple[Wire, ...]
    comparison: Comparison

    @property
    def share(self) -> Fraction:
        return self.comparison.join_f

    @cached_property
    def nets(self) -> Partition:
        return groups_of(self.wires)

    @cached_property
    def differences(self) -> list[str]:
        """One sentence for each move, the gravest first."""
        types = {name: part["type"] for name, part in self.scene.parts.items()}
        wanted = {name: placed.type for name, placed in self.job.target.parts.items()}
        return sentences(self.comparison.moves, places({**wanted, **types}))

    @property
    def sentence(self) -> str:
        told = self.differences
        if not told:
            return f"{self.comparison.text[:1].upper()}{self.comparison.text[1:]}."
        more = [f"And {len(told) - 3} more."] if len(told) > 3 else []
        return " ".join([*told[:3], *more])

    def as_data(self) -> dict[str, Any]:
        found, target = {w.tag: w for w in self.wires}, {w.tag: w for w in self.job.target_wires}
        rows = [_row(tag, found.get(tag), target.get(tag)) for tag in {**target, **found}]
        c = self.comparison
        return {
            "level": c.level, "level_text": c.text, "join_f": float(c.join_f),
            "edits": c.distance.edits, "crossing": len(c.distance.crossing),
            "missing": c.distance.missing, "redundant": len(c.distance.redundant),
            "image": c.image or "the diagram", "sentences": self.differences, "rows": rows,
        }  # fmt: skip


def _row(tag: str, found: Wire | None, wanted: Wire | None) -> dict[str, Any]:
    ends = [(w.a, w.b) if w else ("", "") for w in (found, wanted)]
    one = found or wanted
    assert one is not None
    return {
        "wire": tag, "colour": one.colour, "from": ends[0][0], "to": ends[0][1],
        "wanted_from": ends[1][0], "wanted_to": ends[1][1],
        "same": found is not None and wanted is not None and set(ends[0]) == set(ends[1]),
    }  # fmt: skip


def compared(scene: Scene, job: Job) -> Compared:
    """The comparison of a scene's wiring with what the job wants."""
    wires = _wires(scene, job)
    comparison = compare(
        wires, job.target_wires, job.alternate_wires, job.scenario.symmetries, _series(scene),
        lambda: _works(scene, job),
    )  # fmt: skip
    return Compared(scene, job, wires, comparison)


def nets_in(scene: Scene, job: Job) -> Partition:
    """What a scene's wiring joins, in names of the wanted parts; nothing is compared."""
    return groups_of(_wires(scene, job))


def _wires(scene: Scene, job: Job) -> tuple[Wire, ...]:
    names = stand_ins({name: part["type"] for name, part in scene.parts.items()}, job)
    return tuple(called(wire, names) for wire in wires_in(scene.conductors))


def stand_ins(types: Mapping[str, str], job: Job) -> dict[str, str]:
    """Part found -> the wanted part of its kind that it stands for; ``types`` of parts by name."""
    wanted = job.target.parts
    spare = {n: kind_of(p.type) for n, p in wanted.items() if n not in types}
    names = {}
    for name, type_name in types.items():
        if name not in wanted and kind_of(type_name):
            match = next((n for n, kind in spare.items() if kind == kind_of(type_name)), None)
            if match is not None:
                names[name] = match
                del spare[match]
    return names


def called(wire: Wire, names: Mapping[str, str]) -> Wire:
    """The wire with its terminals in names of the wanted parts."""
    if not names:
        return wire
    a, b = (renamed_in(place, names) for place in (wire.a, wire.b))
    return Wire(wire.tag, a, b, wire.colour, wire.gauge)


def renamed_in(place: str, names: Mapping[str, str]) -> str:
    part, dot, terminal = place.partition(".")
    return f"{names.get(part, part)}{dot}{terminal}"


def _series(scene: Scene) -> dict[str, tuple[str, str]]:
    found = {}
    for name, part in scene.parts.items():
        terminals = list(type_of(part["type"]).terminals)
        if kind_of(part["type"]) in SERIES and len(terminals) == 2:
            found[name] = (f"{name}.{terminals[0]}", f"{name}.{terminals[1]}")
    return found


def _works(scene: Scene, job: Job) -> bool:
    """Whether the same parts, wired so, do what the wanted wiring does."""
    if set(scene.parts) != set(job.target.parts):
        return False
    conductors = {t: Conductor.model_validate(c) for t, c in scene.conductors.items()}
    parts = {n: Placed.model_validate(p) for n, p in scene.parts.items()}
    found = Unit(job.target.layout, job.target.digest, conductors, parts)
    return works_alike(found, job.target)


def joined(scene: Scene, a: str, b: str) -> bool:
    """Whether conductors alone join two terminals."""
    return Joined(wires_in(scene.conductors)).same(a, b)


def dangers_of(scene: Scene, job: Job) -> Iterator[str]:
    """What of this wiring would short the line, feed line to 24 V or lose the ground."""
    kinds = {name: kind_of(part["type"]) for name, part in scene.parts.items()}
    control = frozenset(
        f"{name}.{terminal}"
        for name, part in scene.parts.items()
        for terminal in type_of(part["type"]).terminals
        if kinds[name] in CONTROL_KINDS or terminal in COIL_TERMINALS
    )
    supply = [(s.live_side[0], s.live_side[1]) for s in job.site.sources if len(s.live_side) == 2]
    wires = wires_in(scene.conductors)
    yield from dangers(wires, kinds, supply, control, _earths(scene), _bonded(scene, job))


def _earths(scene: Scene) -> frozenset[str]:
    """Where the ground comes in."""
    return frozenset(
        f"{n}.G" for n, p in scene.parts.items() if "G" in type_of(p["type"]).terminals
    )


def _bonded(scene: Scene, job: Job) -> list[str]:
    """Ground terminals of the unit that the wanted wiring joins to the supply's."""
    earth = Joined(job.target_wires)
    roots = {earth.root(t) for t in _earths(scene)}
    return sorted(
        t for t in job.site.grounds
        if t != "chassis" and earth.root(t) in roots and t.partition(".")[0] in scene.parts
    )  # fmt: skip
