"""What of a unit at the bench a study has no words for, a sentence each.

Knows units; must know no file and no mark.
"""

from __future__ import annotations

from collections.abc import Iterator

from trainer.circuit.state import CircuitState
from trainer.parts.conductors import joint_ohms as listed_ohms
from trainer.unit.circuit import parts_of
from trainer.unit.landings import ends_of, set_aside, touched_ends, touching
from trainer.unit.state import Unit

#: Less charge than this is none worth a line [V].
LEAST_V = 0.5
#: What of a part's elements holds a charge -> the key that says so.
CHARGES = {
    ("run_capacitor", ""): "charge",
    ("start_capacitor", ""): "charge",
    ("dual_capacitor", "H"): "herm_charge",
    ("dual_capacitor", "F"): "fan_charge",
}


def untold(unit: Unit) -> list[str]:
    """What of the unit its study leaves out, a sentence each."""
    return [
        *_hanging(unit),
        *_left_out(unit),
        *_short_accidents(unit),
        *_remembered(unit),
    ]


def _hanging(unit: Unit) -> Iterator[str]:
    """Conductors that a study has no place for."""
    loose = touched_ends(unit)
    for c in unit.conductors.values():
        begin, end = ends_of(unit, c, loose)
        where = [place for place in (begin, end) if place is not None]
        if not where:
            yield f"conductor {c.tag}, loose at both ends"
        elif len(where) == 1:
            yield f"conductor {c.tag}, landed on {where[0]}, its other end loose and perhaps live"
        elif begin == end:
            yield f"conductor {c.tag}, with both ends on {begin}"


def _left_out(unit: Unit) -> Iterator[str]:
    for name in unit.parts:
        if set_aside(unit, name):
            yield f"{name}, on the tray"


def _short_accidents(unit: Unit) -> Iterator[str]:
    """A touch of fewer ohms than two good joints is written with those."""
    for a, b, ohms in touching(unit):
        if ohms < 2.0 * listed_ohms("good"):
            yield f"the {ohms:g} ohm with which {a} touches {b}: a study's wire has two joints"


def _remembered(unit: Unit) -> Iterator[str]:
    """What the unit remembers and a study begins without."""
    state = unit.electrics
    kinds = {n: getattr(part, "kind", "") for n, part in parts_of(unit.parts).items()}
    for name, volts in state.capacitor_v.items():
        part, _, inside = name.partition("~")
        if abs(volts) >= LEAST_V and (kinds.get(part, ""), inside) not in CHARGES:
            yield f"{volts:.0f} V left on {part}"
    for name, machine in state.machines.items():
        warm = max(machine.main_c, machine.aux_c)
        if abs(machine.speed_rad_s) > 1.0:
            yield f"the shaft of {name} turns"
        if warm > 26.0:
            yield f"the windings of {name} are at {warm:.0f} degC"
    for contact in sorted(state.welded):
        yield f"the contact {contact} is welded shut"
    for device, bit in _holding(state):
        yield f"{device} holds {bit} open"


def _holding(state: CircuitState) -> Iterator[tuple[str, str]]:
    """Protection that has tripped: (device, contact)."""
    for contact, reasons in state.reasons.items():
        for d, device in enumerate(state.holders):
            tripped = "heat" in device or "magnet" in device or "overload" in device
            if tripped and reasons >> (d % 60) & 1:
                yield device, contact
