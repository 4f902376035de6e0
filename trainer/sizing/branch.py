"""Branch circuit of a unit from its plate: conductors, breaker, disconnect, lowest volts.

Puts the code arithmetic together; knows no motor model.
"""

from __future__ import annotations

from trainer.sizing import code, supply
from trainer.sizing.nameplate_file import NameplateFile
from trainer.sizing.ruled import Ruled

_MARKED_SOURCE = "the unit's plate, NEC 2023 440.22(C) (from memory)"


def figures(plate: NameplateFile) -> dict[str, Ruled]:
    """Figures of the branch circuit by name. A marking of the unit comes before the arithmetic."""
    others, selection = plate.others_a, plate.selection_current
    ampacity = _marked_ampacity(plate)
    return {
        "minimum_circuit_ampacity": ampacity,
        "conductor": code.conductor(ampacity.number, ambient_c=plate.ambient),
        "largest_breaker": _marked_breaker(plate),
        "largest_breaker_if_it_will_not_start": _if_it_will_not_start(plate),
        "disconnect": code.disconnect_least(plate.rla, others, selection),
        "lowest_volts": supply.least_operating_volts(plate.lowest_volts or plate.volts),
    }


def _marked_ampacity(plate: NameplateFile) -> Ruled:
    worked = code.minimum_circuit_ampacity(plate.rla, plate.others_a, plate.selection_current)
    marked = plate.marked.minimum_circuit_ampacity
    if marked is None:
        return worked
    note = f"the arithmetic gives {worked.number:.1f} A: {worked.rule}"
    return Ruled(marked, "A", "marked on the unit", "the unit's plate, NEC 2023 440.4(B)", note)


def _marked_breaker(plate: NameplateFile) -> Ruled:
    worked = code.maximum_breaker(plate.rla, plate.others_a, plate.selection_current)
    marked = plate.marked.largest_breaker
    if marked is None:
        return worked
    note = f"the arithmetic gives {worked.number:.0f} A: {worked.rule}"
    return Ruled(marked, "A", "marked on the unit", _MARKED_SOURCE, note)


def _if_it_will_not_start(plate: NameplateFile) -> Ruled:
    """225 %, unless the unit is marked: a marked maximum is not to be exceeded."""
    if plate.marked.largest_breaker is not None:
        note = "what is marked on the unit is not exceeded"
        return Ruled(None, "A", "a marked maximum holds", _MARKED_SOURCE, note)
    found = code.maximum_breaker(
        plate.rla, plate.others_a, plate.selection_current, will_not_start=True
    )
    return found.noted("only if nothing else is wrong")
