"""From a nameplate to the whole answer: figures, start gear, whether to fit any, and the proof.

The order of the job: what the code asks, what the motor is, which kit would go with it, does it
start without, which aid then, and the starts that prove it. Knows every part of sizing; holds no
rule of its own.
"""

from __future__ import annotations

from dataclasses import replace

from trainer.motor import psc
from trainer.sizing import aid, bench, branch, kit, motor, proof, standby, start_capacitor
from trainer.sizing.motor import Motor
from trainer.sizing.nameplate_file import NameplateFile
from trainer.sizing.ruled import Ruled
from trainer.sizing.sizing import Aid, Proof, RelayKit, Sizing

#: The line on which a unit must start by itself to need no aid.
LOW_LINE = 0.90


def recommend(plate: NameplateFile, prove: bool = True) -> Sizing:
    """The whole answer. Without ``prove`` phasors decide whether it starts unaided."""
    figures, refused = branch.figures(plate), aid.refused(plate)
    if refused is not None and not plate.takes_start_gear:
        return Sizing(plate.title, figures, None, refused)
    found = motor.of_plate(plate)
    return _for_motor(plate, found, figures, refused, prove)


def _for_motor(
    plate: NameplateFile, found: Motor, figures: dict[str, Ruled], refused: Aid | None, prove: bool
) -> Sizing:
    case = kit.Case(found.params, found.line, plate.rla, found.rated_slip, found.at_rest_nm)
    parts = _kit(plate, case)
    starter = kit.starter_class(plate.rla, plate.lra or 0.0)
    breaker = figures["largest_breaker"].number
    unaided = [proof.start(plate, None, LOW_LINE, breaker)] if prove else []
    well = proof.well(unaided[0]) if unaided else _starts_by_phasors(found)
    decision = refused or aid.chosen(plate, well, parts, starter)
    proofs = [*unaided, *_proofs(plate, decision, parts, starter, breaker)] if prove else []
    return Sizing(
        title=plate.title,
        figures=figures
        | kit.figures(case, parts)
        | {"starter_class": starter}
        | standby.supply_figures(plate, found.params, found.line)
        | _generators(plate, found, parts, starter),
        kit=parts,
        aid=decision,
        proofs=tuple(proofs),
        notes=(*_maker_notes(plate, parts), *found.notes, *_supply_notes(plate, prove)),
    )


def _kit(plate: NameplateFile, case: kit.Case) -> RelayKit | None:
    from_maker = kit.from_maker(case, plate.maker_table) if plate.maker_table else None
    return from_maker or kit.by_rules(case)


def _starts_by_phasors(found: Motor) -> bool:
    return motor.starts_by_phasors(found, replace(found.line, volts=LOW_LINE * found.line.volts))


def _proofs(
    plate: NameplateFile, decision: Aid, parts: RelayKit | None, starter: Ruled, breaker_a: float
) -> list[Proof]:
    """Starts with what was chosen: at rated volts, and at the corners of line and tolerance."""
    if decision.kind == "relay_kit" and parts is not None:
        return [
            proof.start(plate, parts, 1.0, breaker_a),
            proof.start(plate, proof.early_corner(parts), 1.10, breaker_a),
            proof.start(plate, proof.late_corner(parts), 0.85, breaker_a),
        ]
    if decision.kind == "soft_starter":
        gear = str(starter.value)
        return [proof.start(plate, gear, ratio, breaker_a) for ratio in (1.0, LOW_LINE)]
    return [proof.start(plate, None, 1.0, breaker_a)]


def _generators(
    plate: NameplateFile, found: Motor, parts: RelayKit | None, starter: Ruled
) -> dict[str, Ruled]:
    locked = plate.lra or 0.0
    with_kit = None
    if parts is not None:
        line = replace(found.line, start_f=start_capacitor.middle_f(parts.range_f))
        with_kit = float(abs(psc.locked(found.params, line).i_line))
    limited = bench.limited_a(plate, str(starter.value)) if starter.value else None
    return standby.generator_figures(plate, locked, with_kit, limited)


def _maker_notes(plate: NameplateFile, parts: RelayKit | None) -> tuple[str, ...]:
    """What comes first, said in every answer."""
    if plate.maker_table is None:
        return ("The compressor maker's start-parts table comes first; the plate's file gives "
                "none, so the rules here stand in for it.",)  # fmt: skip
    if parts is not None and parts.from_maker:
        return (f"Start parts are those of the maker's table ({plate.maker_table.sheet}).",)
    return (f"The maker's table ({plate.maker_table.sheet}) names no start capacitor with relay.",)


def _supply_notes(plate: NameplateFile, prove: bool) -> tuple[str, ...]:
    if not prove:
        return ("Not proved by a simulated start: phasors at held speeds decided.",)
    if plate.supply.transformer is None:
        return ("No supply is given: the starts were simulated on a strong one, invented.",)
    return ()
