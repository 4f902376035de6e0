"""The unit at one instant: every fact about it, as plain frozen data.

Two units with equal records behave alike. Knows records and what a circuit remembers; must not
know a solver, a layout file, a person or a mark.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from typing import TYPE_CHECKING, Any

from trainer.base.changing import changed
from trainer.base.fields import Record
from trainer.circuit.state import CircuitState
from trainer.unit.conductor import Conductor

if TYPE_CHECKING:
    from pydantic import TypeAdapter


class Placed(Record):
    """A part in the unit or on the tray: its catalogue type and what differs from it.

    ``set`` overrides fields of the type's electrical record, as text or plain values.
    """

    type: str
    where: str = "unit"
    set: dict[str, Any] = {}


@dataclass(frozen=True)
class Unit:
    """A unit. ``hands`` is the last verb done to each part; ``slow`` the state of slow rules.

    ``settled`` says that cycles repeated when time was last moved, so time may go on in
    minutes; any change of the circuit ends that. ``joins`` are conducting accidents between
    places (a stray strand, a rubbed-through wire) with their ohms.
    """

    layout: str
    digest: str
    conductors: Mapping[str, Conductor]
    parts: Mapping[str, Placed]
    hands: Mapping[str, str] = field(default_factory=dict)
    covers_off: frozenset[str] = frozenset()
    wiped: frozenset[str] = frozenset()
    electrics: CircuitState = field(default_factory=CircuitState)
    slow: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    at_ms: int = 0
    settled: bool = False
    joins: tuple[tuple[str, str, float], ...] = ()

    def with_conductor(self, conductor: Conductor) -> Unit:
        """This unit with one conductor new or changed; its circuit is another one then."""
        return changed(
            self, conductors={**self.conductors, conductor.tag: conductor}, settled=False
        )

    def without_conductor(self, tag: str) -> Unit:
        left = {t: c for t, c in self.conductors.items() if t != tag}
        return changed(self, conductors=left, settled=False)

    def without_part(self, name: str) -> Unit:
        """This unit with a part taken out; nothing may be landed on it."""
        parts = {n: p for n, p in self.parts.items() if n != name}
        slow = {n: s for n, s in self.slow.items() if n != name}
        electrics = forget(self.electrics, name)
        return changed(self, parts=parts, electrics=electrics, slow=slow, settled=False)

    def with_part(self, name: str, placed: Placed) -> Unit:
        """This unit with a part new or another: what the old one remembered goes with it."""
        electrics = forget(self.electrics, name)
        slow = {n: s for n, s in self.slow.items() if n != name}
        parts = {**self.parts, name: placed}
        return changed(self, parts=parts, electrics=electrics, slow=slow, settled=False)


def forget(state: CircuitState, part: str) -> CircuitState:
    """The state without what one part remembers (its elements are ``part`` and ``part~what``)."""

    def others(names: Mapping[str, Any]) -> dict[str, Any]:
        return {n: v for n, v in names.items() if n.partition("~")[0] != part}

    return replace(
        state,
        capacitor_v=others(state.capacitor_v), inductive_a=others(state.inductive_a),
        machines=others(state.machines), closed=others(state.closed),
        reasons=others(state.reasons), devices=others(state.devices),
        resistor_ohms=others(state.resistor_ohms),
        welded=frozenset(n for n in state.welded if n.partition("~")[0] != part),
    )  # fmt: skip


@cache
def _adapter() -> TypeAdapter[CircuitState]:
    from pydantic import TypeAdapter

    return TypeAdapter(CircuitState)


def electrics_to_plain(state: CircuitState) -> dict[str, Any]:
    """What the circuit remembers as plain data for a log; frozen sets sorted, so it is stable."""
    plain: dict[str, Any] = _adapter().dump_python(state, mode="json")
    plain["welded"] = sorted(state.welded)
    return plain


def electrics_from_plain(plain: Mapping[str, Any]) -> CircuitState:
    return _adapter().validate_python(plain)
