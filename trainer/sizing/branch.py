"""Branch circuit of a unit from its plate: conductors, breaker, disconnect, lowest volts.

Puts the code arithmetic together; knows no motor model.
"""

from __future__ import annotations

from trainer.sizing import code, supply
from trainer.sizing.nameplate_file import NameplateFile
from trainer.sizing.ruled import Ruled


def figures(plate: NameplateFile) -> dict[str, Ruled]:
    """Figures of the branch circuit by name. A marking of the unit comes before the arithmetic."""
    others, selection = plate.others_a, plate.selection_current
    ampacity = _marked_ampacity(plate)
    return {
        "minimum_circuit_ampacity": ampacity,
        "conductor": code.conductor(ampacity.number, ambient_c=plate.ambient),
        "largest_breaker": _marked_breaker(plate),
        "largest_breaker_if_it_will_not_start": code.maximum_breaker(
            plate.rla, others, selection, will_not_start=True
        ).noted("only when the breaker trips on every start and nothing else is wrong"),
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
    source = "the unit's plate, NEC 2023 440.22(C) (from memory)"
    return Ruled(marked, "A", "marked on the unit", source, note)
