"""Whether every variant of a scenario can be built: all choices of every dial, and some seeds.

Also refuses a charge planted where the circuit does not hold it. Raises nothing: each fault is
told with its place in the file. Knows units and their stored charge; must know no start.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from trainer.base.errors import Misfit, TrainerError, quoted
from trainer.scenario.change import Change, apply, types_of
from trainer.scenario.dials import Charge, Faults, OneOf
from trainer.scenario.model import Scenario
from trainer.scenario.variants import Variant, variant
from trainer.unit.catalogue import place_in
from trainer.unit.charging import capacitor_at, volts_after, with_charge
from trainer.unit.conductor import SIDES
from trainer.unit.faults import plant
from trainer.unit.layout import unit_of
from trainer.unit.state import Unit
from trainer.unit.world import contacts_of, remembering

#: Direct volts that must be left a second after a charge is planted. [s, V]
HELD_S, HELD_V = 1.0, 5.0
SEEDS = range(5)


def build_misfits(scenario: Scenario, name: str) -> list[Misfit]:
    """Everything about the units of this scenario that cannot be."""
    found = [
        *_changes(scenario), *_hands(scenario), *_plantable(scenario), *_capacitors(scenario),
        *_proved_dead(scenario),
    ]  # fmt: skip
    if found:
        return found
    variants, found = _variants(scenario, name)
    if found:
        return found
    return list(dict.fromkeys(m for v in variants for m in _charges(v)))


def _factory(scenario: Scenario) -> Unit:
    return remembering(unit_of(scenario.site, scenario.layout))


def _changes(scenario: Scenario) -> Iterator[Misfit]:
    """Each change by itself: what the unit has not, or cannot take."""
    base = _factory(scenario)
    found: list[tuple[tuple[str | int, ...], Change]] = [
        (("start", "wiring"), scenario.start.wiring), (("target",), scenario.target),
        *((("alternates", n), change) for n, change in scenario.alternates.items()),
    ]  # fmt: skip
    for dial, spec in scenario.variants.dials.items():
        if isinstance(spec, OneOf):
            at: tuple[str, ...] = ("variants", "dials", dial, "choices")
            found += [((*at, n), change) for n, change in spec.choices.items()]
    for path, change in found:
        try:
            unit = apply(base, change)
            remembering(unit)
        except TrainerError as error:
            yield Misfit(path, error.what, error.hint)
            continue
        if path[0] in ("target", "alternates"):
            yield from (Misfit(path, what, "another place of it") for what in crowded(unit))


def crowded(unit: Unit) -> list[str]:
    """Places with more conductors than they hold."""
    on = Counter(p for c in unit.conductors.values() for s in SIDES if (p := c.end(s).on))
    types = types_of(unit)
    holds = {p: spot.holds for p in on if (spot := place_in(types, p)) is not None}
    return [
        f"{on[p]} conductors on {quoted(p)}, which holds {most}"
        for p, most in holds.items()
        if on[p] > most
    ]


def _proved_dead(scenario: Scenario) -> Iterator[Misfit]:
    """What was proved dead is open at every isolator that takes a lock, and holds no charge."""
    if scenario.start.state != "proved dead":
        return
    for feed in scenario.site.feeds:
        part = feed.isolated_by
        if feed.lockable and scenario.start.hands.get(part) != "open":
            what = f"the unit is proved dead, and {part} is not open"
            yield Misfit(("start", "hands"), what, f"{part}: open")
    for path, on, _ in _charged(scenario):
        what = f"the unit is proved dead, and {on} is charged"
        yield Misfit(path, what, "no charge, or state: as found")


def _hands(scenario: Scenario) -> Iterator[Misfit]:
    base = _factory(scenario)
    for where, hands in (("start", scenario.start.hands), ("proof", scenario.proof.hands)):
        for part, verb in hands.items():
            try:
                contacts_of(base, part, verb)
            except TrainerError as error:
                hint = error.hint.removeprefix("it does ")
                yield Misfit((where, "hands", part), error.what, hint)


def _plantable(scenario: Scenario) -> Iterator[Misfit]:
    """Every condition that may be planted must be possible on this unit."""
    base = remembering(apply(_factory(scenario), scenario.start.wiring))
    places: list[tuple[tuple[str | int, ...], str]]
    places = [(("plant", "faults", n), f) for n, f in enumerate(scenario.plant.faults)]
    for dial, spec in scenario.variants.dials.items():
        if isinstance(spec, Faults):
            at: tuple[str, ...] = ("variants", "dials", dial, "choices")
            places += [((*at, n), f) for n, f in enumerate(spec.choices) if f != "none"]
    for path, fault in places:
        try:
            remembering(plant(base, fault))
        except TrainerError as error:
            yield Misfit(path, f"{fault}: {error.what}", error.hint)


def _charged(scenario: Scenario) -> list[tuple[tuple[str, ...], str, tuple[float, ...]]]:
    """Where charge is planted: place in the file, capacitor, volts to try."""
    found: list[tuple[tuple[str, ...], str, tuple[float, ...]]]
    found = [(("plant", "charges", on), on, (v,)) for on, v in scenario.plant.charges.items()]
    for dial, spec in scenario.variants.dials.items():
        if isinstance(spec, Charge):
            found.append((("variants", "dials", dial), spec.on, spec.between))
    return found


def _capacitors(scenario: Scenario) -> Iterator[Misfit]:
    """What is to hold a charge must be a capacitor, found as the job begins."""
    base = remembering(apply(_factory(scenario), scenario.start.wiring))
    for path, on, _ in _charged(scenario):
        try:
            capacitor_at(base, on)
        except TrainerError as error:
            yield Misfit(path, error.what, error.hint)


def _variants(scenario: Scenario, name: str) -> tuple[list[Variant], list[Misfit]]:
    built: list[Variant] = []
    for seed in SEEDS:
        try:
            built.append(variant(scenario, name, seed))
        except TrainerError as error:
            where = tuple(error.where.split(".")) if error.where else ("variants",)
            return built, [Misfit(where, f"seed {seed}: {error.what}", error.hint)]
    return built, []


def _charges(built: Variant) -> Iterator[Misfit]:
    """A planted charge must be held; dials are tried at both ends."""
    for path, on, tried in _charged(built.scenario):
        for volts in tried:
            yield from _held(built, path, on, volts)


def _held(built: Variant, path: tuple[str, ...], on: str, volts: float) -> Iterator[Misfit]:
    """The other charges stay as drawn, this one is tried."""
    unit = with_charge(built.unit, on, volts)
    left = abs(volts_after(unit, HELD_S)[capacitor_at(unit, on)])
    if left < HELD_V:
        what = f"{volts:g} V on {on} is {left:.0f} V after {HELD_S:g} s: it is not held there"
        hint = "one with a lead lifted, or behind an open contact with its bleed open"
        yield Misfit(path, what, hint)
