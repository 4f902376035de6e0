"""Direct volts left on a capacitor of a unit, and what becomes of them by themselves.

Stored energy is dangerous: a computed decay never replaces proving a capacitor discharged.
Knows capacitors by part; must know no scenario and no person.
"""

from __future__ import annotations

from dataclasses import replace

from trainer.base.errors import TrainerError, quoted
from trainer.circuit.charge import Decay
from trainer.unit.circuit import elements_of
from trainer.unit.state import Unit


def capacitors_of(unit: Unit, part: str) -> list[str]:
    """The capacitive elements of a part."""
    elements, _ = elements_of(unit)
    return [c.name for c in elements.capacitives if c.name.partition("~")[0] == part]


def capacitor_at(unit: Unit, place: str) -> str:
    """The element of a capacitor named by its part, or by part.TERMINAL of a dual one.

    Raises TrainerError naming those there are.
    """
    part, _, terminal = place.partition(".")
    names = capacitors_of(unit, part)
    chosen = [n for n in names if not terminal or n.partition("~")[2] == terminal]
    if len(chosen) == 1:
        return chosen[0]
    can = [n.replace("~", ".") for n in names] or sorted(
        {c.name.replace("~", ".") for c in elements_of(unit)[0].capacitives}
    )
    raise TrainerError(f"{quoted(place)} is no one capacitor", hint=" or ".join(can))


def with_charge(unit: Unit, place: str, volts: float) -> Unit:
    """The unit with that many direct volts on one capacitor."""
    held = {**unit.electrics.capacitor_v, capacitor_at(unit, place): volts}
    return replace(unit, electrics=replace(unit.electrics, capacitor_v=held), settled=False)


def volts_after(unit: Unit, seconds: float) -> dict[str, float]:
    """Volts on every capacitor, left alone so long with nothing feeding it, by element."""
    elements, _ = elements_of(unit)
    if not elements.capacitives:
        return {}
    s = unit.electrics
    return Decay(elements, s.closed, s.capacitor_v, ohms=s.resistor_ohms).at(seconds)
