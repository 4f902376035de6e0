"""One variant of a scenario: every dial drawn from the seed, and the units that come of it.

Each dial has a stream of its own named ``SCENARIO/DIAL``, so that a dial more leaves the others
as they were. A draw that a constraint forbids is made again from the streams ``SCENARIO/DIAL#n``,
n up to REDRAWS; the constraints of a file that runs out of them are too tight. Knows changes of
a unit; must know no act and no mark.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from trainer.base.errors import TrainerError, quoted
from trainer.scenario.change import Change, apply
from trainer.scenario.dials import (
    Arrangement,
    Charge,
    Colours,
    Dial,
    Dirt,
    Faults,
    Never,
    OneOf,
    Paper,
    Tool,
    Value,
    number_and_unit,
)
from trainer.scenario.model import Scenario
from trainer.scenario.rng import Stream
from trainer.unit.charging import with_charge
from trainer.unit.faults import plant
from trainer.unit.layout import Layout, unit_of
from trainer.unit.state import Unit
from trainer.unit.world import advance, at_rest_in, remembering

#: Draws made before a file's constraints are called too tight.
REDRAWS = 40


@dataclass(frozen=True)
class Variant:
    """What a seed makes of a scenario. ``unit`` is found by the learner, ``target`` is wanted.

    ``layout`` has the dirt, diagram and spots as drawn; ``conditions`` the state of instruments.
    """

    scenario: Scenario
    name: str
    seed: int
    draws: Mapping[str, Any]
    layout: Layout
    unit: Unit
    target: Unit
    alternates: Mapping[str, Unit]
    faults: tuple[str, ...]
    charges: Mapping[str, float]
    conditions: Mapping[str, str]


@dataclass(frozen=True)
class Wanted:
    """What a seed asks for, without the unit as found: no circuit is built for it."""

    layout: Layout
    target: Unit
    alternates: Mapping[str, Unit]
    faults: tuple[str, ...]


@dataclass(frozen=True)
class Met:
    """A variant as wiring, parts and paper alone: no circuit is built and nothing is energised."""

    scenario: Scenario
    seed: int
    layout: Layout
    factory: Unit
    unit: Unit
    target: Unit
    alternates: Mapping[str, Unit]
    faults: tuple[str, ...]
    charges: Mapping[str, float]
    conditions: Mapping[str, str]


def draw(scenario: Scenario, name: str, seed: int) -> dict[str, Any]:
    """What every dial shows. Raises TrainerError when the constraints leave nothing."""
    for again in range(REDRAWS):
        suffix = f"#{again}" if again else ""
        draws = {
            dial: _drawn(spec, Stream(seed, f"{name}/{dial}{suffix}"))
            for dial, spec in scenario.variants.dials.items()
        }
        if not any(_forbidden(rule, draws) for rule in scenario.variants.constraints):
            return draws
    raise TrainerError(
        f"no variant of {quoted(name)} keeps its constraints with seed {seed}",
        "variants.constraints", "forbid fewer draws",
    )  # fmt: skip


def _drawn(dial: Dial, stream: Stream) -> Any:
    match dial:
        case OneOf():
            return stream.one_of(list(dial.choices))
        case Faults():
            return stream.one_of(dial.choices)
        case Value():
            (least, unit), (most, _) = map(number_and_unit, dial.between)
            return f"{round(stream.within(least, most), 3):g} {unit}"
        case Charge():
            return round(stream.within(*dial.between), 1)
        case Colours():
            return stream.shuffled(dial.wires)
        case Arrangement():
            return stream.shuffled(dial.parts)
        case Dirt():
            return sorted(stream.shuffled(dial.places)[: dial.count])
        case Paper():
            return stream.one_of(dial.states)
        case Tool():
            return stream.one_of(dial.conditions)


def _forbidden(rule: Never, draws: Mapping[str, Any]) -> bool:
    def shows(dial: str, values: str | list[str]) -> bool:
        wanted = [values] if isinstance(values, str) else values
        shown = draws.get(dial)
        return any(str(s) in wanted for s in (shown if isinstance(shown, list) else [shown]))

    return all(shows(dial, values) for dial, values in rule.never.items())


def variant(scenario: Scenario, name: str, seed: int) -> Variant:
    """The units of one seed. Raises TrainerError naming what cannot be built."""
    draws = draw(scenario, name, seed)
    base = scenario.site
    factory = unit_of(base, scenario.layout)
    wanted = _dialled(factory, scenario, draws, for_target=True)
    drawn = [fault for fault in _of(scenario, draws, Faults).values() if fault != "none"]
    faults = (*scenario.plant.faults, *drawn)
    charges = {**scenario.plant.charges, **_by(scenario, draws, Charge, "on")}
    found = _found(_dialled(factory, scenario, draws, for_target=False), scenario, draws)
    return Variant(
        scenario, name, seed, draws, _layout(base, scenario, draws),
        unit=_as_found(found, scenario, faults, charges),
        target=remembering(apply(wanted, scenario.target)),
        alternates={
            other: remembering(apply(wanted, change))
            for other, change in scenario.alternates.items()
        },
        faults=faults, charges=charges, conditions=_by(scenario, draws, Tool, "instrument"),
    )  # fmt: skip


def wanted_of(scenario: Scenario, name: str, seed: int) -> Wanted:
    """The wiring, parts and conditions that marks are given by."""
    draws = draw(scenario, name, seed)
    base = scenario.site
    unit = _dialled(unit_of(base, scenario.layout), scenario, draws, for_target=True)
    drawn = [fault for fault in _of(scenario, draws, Faults).values() if fault != "none"]
    return Wanted(
        base,
        apply(unit, scenario.target),
        {other: apply(unit, change) for other, change in scenario.alternates.items()},
        (*scenario.plant.faults, *drawn),
    )


def placed(scenario: Scenario, name: str, seed: int) -> Layout:
    """The layout with the dirt, the diagram and the spots of a seed."""
    return _layout(scenario.site, scenario, draw(scenario, name, seed))


def met(scenario: Scenario, name: str, seed: int) -> Met:
    """What a seed hands out beside what it asks for. Raises TrainerError."""
    draws, wanted = draw(scenario, name, seed), wanted_of(scenario, name, seed)
    factory = unit_of(wanted.layout, scenario.layout)
    unit = _found(_dialled(factory, scenario, draws, for_target=False), scenario, draws)
    for fault in wanted.faults:
        unit = plant(unit, fault)
    return Met(
        scenario, seed, _layout(wanted.layout, scenario, draws), factory, unit, wanted.target,
        wanted.alternates, wanted.faults,
        charges={**scenario.plant.charges, **_by(scenario, draws, Charge, "on")},
        conditions=_by(scenario, draws, Tool, "instrument"),
    )  # fmt: skip


def _found(unit: Unit, scenario: Scenario, draws: Mapping[str, Any]) -> Unit:
    """Wiring and values as they are found, colours dealt anew."""
    unit = apply(unit, Change(set=scenario.start.set))
    unit = apply(unit, scenario.start.wiring)
    return _recoloured(unit, scenario, draws)


def _as_found(
    unit: Unit, scenario: Scenario, faults: tuple[str, ...], charges: Mapping[str, float]
) -> Unit:
    """At rest with its conditions, hands as said, covers off, and charge where it is planted."""
    unit = remembering(unit)
    for fault in faults:
        unit = plant(unit, fault)
    unit = replace(unit, covers_off=frozenset(scenario.start.covers_off))
    start = scenario.start
    if start.running_for:
        moved = advance(remembering(unit), round(1000 * start.running_for), start.hands.items())
        unit = replace(moved.unit, at_ms=0)
    else:
        unit = at_rest_in(unit, start.hands)
    for place, volts in charges.items():
        unit = with_charge(unit, place, volts)
    return unit


def _layout(base: Layout, scenario: Scenario, draws: Mapping[str, Any]) -> Layout:
    """The layout with its dirt, its diagram and its spots as drawn."""
    changed: dict[str, Any] = {}
    spots = dict(base.parts)
    for dial, spec in scenario.variants.dials.items():
        if isinstance(spec, Dirt):
            changed["dirty"] = draws[dial]
        elif isinstance(spec, Paper):
            changed["diagram"] = base.diagram.model_copy(update={"state": draws[dial]})
        elif isinstance(spec, Arrangement):
            for part, other in zip(spec.parts, draws[dial], strict=True):
                at = {"at": base.parts[other].at, "turn": base.parts[other].turn}
                spots[part] = spots[part].model_copy(update=at)
    return base.model_copy(update={**changed, "parts": spots})


def _dialled(unit: Unit, scenario: Scenario, draws: Mapping[str, Any], for_target: bool) -> Unit:
    """The unit with those dials that change wiring and values."""
    for dial, spec in scenario.variants.dials.items():
        if isinstance(spec, OneOf) and (spec.target_too or not for_target):
            unit = apply(unit, spec.choices[draws[dial]])
        elif isinstance(spec, Value) and (spec.target_too or not for_target):
            unit = apply(unit, Change(set={spec.part: {spec.field: draws[dial]}}))
    return unit


def _recoloured(unit: Unit, scenario: Scenario, draws: Mapping[str, Any]) -> Unit:
    """Colours dealt anew; a conductor that is not there (it is to be fitted) is passed over."""
    for dial, spec in scenario.variants.dials.items():
        if isinstance(spec, Colours):
            has = [tag for tag in spec.wires if tag in unit.conductors]
            colours = [unit.conductors[t].colour for t in draws[dial] if t in unit.conductors]
            unit = apply(unit, Change(colours=dict(zip(has, colours, strict=True))))
    return unit


def _of(scenario: Scenario, draws: Mapping[str, Any], kind: type) -> dict[str, Any]:
    """What the dials of one kind show, by dial."""
    return {d: draws[d] for d, s in scenario.variants.dials.items() if isinstance(s, kind)}


def _by(scenario: Scenario, draws: Mapping[str, Any], kind: type, field: str) -> dict[str, Any]:
    """As ``_of``, by what each dial is about."""
    dials, shown = scenario.variants.dials, _of(scenario, draws, kind)
    return {getattr(dials[dial], field): value for dial, value in shown.items()}
