"""Units for the tests of this folder, and readings on them in one line."""

from __future__ import annotations

from trainer.circuit.measure import Reading, read
from trainer.unit.circuit import elements_of
from trainer.unit.layout import load_layout
from trainer.unit.state import Unit
from trainer.unit.world import at_rest, left


def plain(name: str = "larkspur-row") -> Unit:
    return at_rest(load_layout(name), name)


def reading(unit: Unit, function: str, a: str = "chassis", b: str = "chassis") -> Reading:
    elements, nodes = elements_of(unit)
    return read(elements, function, nodes.at(a), nodes.at(b), left=left(unit))


def volts(unit: Unit, a: str, b: str) -> float:
    value = reading(unit, "volts", a, b).value
    assert value is not None
    return value


def ohms(unit: Unit, a: str, b: str) -> float:
    value = reading(unit, "ohms", a, b).value
    assert value is not None
    return value


def amps(unit: Unit, element: str) -> float:
    value = read(elements_of(unit)[0], "amps", of=element, left=left(unit)).value
    assert value is not None
    return value
