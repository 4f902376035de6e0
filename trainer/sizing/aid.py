"""Whether a start aid is right, and which: the order of questions a tradesman asks.

Works on what was found out (does it start unaided, what is the complaint); computes nothing.
All of it common practice, no source, unless a line says otherwise.
"""

from __future__ import annotations

from trainer.sizing.nameplate_file import NameplateFile
from trainer.sizing.ruled import Ruled
from trainer.sizing.sizing import Aid, RelayKit
from trainer.sizing.tables import start_gear

_PRACTICE = "common practice, no source"
#: How it was found out whether the unit starts by itself.
SIMULATED, BY_PHASORS = "simulated start", "phasors at held speeds, no simulated start"
_FIRST = (
    "First make sure of the basics: volts at the unit at rest and while starting, run capacitor "
    "inside its tolerance, tight joints, clean coil, five minutes off.",
)


def refused(plate: NameplateFile) -> Aid | None:
    """No aid, whatever the motor does: not a capacitor-run motor, or the maker forbids it."""
    if plate.phases == 3:
        return Aid("none", "a three-phase compressor makes its own rotating field and takes no "
                   "start capacitor or single-phase soft starter", _PRACTICE)  # fmt: skip
    if plate.drive == "variable_speed":
        return Aid("none", "a variable-speed drive starts its motor gently by itself; start gear "
                   "on it destroys one of the two", _PRACTICE)  # fmt: skip
    table = plate.maker_table
    if table is not None and table.start_aid == "forbidden":
        return Aid("none", f"the compressor maker's sheet ({table.sheet}) forbids start aids",
                   "maker's start-parts table, which comes first")  # fmt: skip
    return None


def chosen(
    plate: NameplateFile,
    starts_unaided: bool,
    kit: RelayKit | None,
    starter: Ruled,
    how: str = SIMULATED,
) -> Aid:
    """The aid for a capacitor-run motor whose maker allows one; ``how`` it was found out."""
    if not starts_unaided:
        return _for_torque(plate, kit, how)
    if plate.complaint in ("lights_dip", "generator"):
        return _for_inrush(plate, starter)
    return _needless(plate, how)


def _needless(plate: NameplateFile, how: str) -> Aid:
    why = f"{_described(plate)} starts well by itself on a line 10 % low"
    if plate.complaint == "will_not_start":
        notes = ("It is said not to start: a healthy motor of this plate does. Find the cause "
                 "(weak run capacitor, low volts, a bad joint, pressures that have not "
                 "equalised) before any aid.", *_FIRST)  # fmt: skip
        return Aid("none", why, f"{how}; {_PRACTICE}", notes)
    return Aid("none", why, f"{how}; {_PRACTICE}")


def _for_inrush(plate: NameplateFile, starter: Ruled) -> Aid:
    if starter.value is None:
        return Aid("none", f"it starts by itself and no soft starter serves it "
                   f"({starter.note}): improve the supply", _PRACTICE)  # fmt: skip
    notes = [
        "Torque falls with the square of the volts: it needs equal pressures, a healthy run "
        "capacitor and no other start gear left in. Allow 3-5 starts before judging it."
    ]
    if plate.complaint == "generator":
        why = "it starts by itself and the generator is to be no larger than it must"
        notes.append("Start the largest motor first and the rest of the load after it.")
    else:
        why = "it starts by itself and the lamps suffer"
        notes.append("A larger transformer or shorter, thicker conductors cure the cause.")
    return Aid("soft_starter", why, _PRACTICE, tuple(notes))


def _for_torque(plate: NameplateFile, kit: RelayKit | None, how: str) -> Aid:
    why = f"{_described(plate)} does not start by itself on a line 10 % low"
    if kit is None:
        return Aid("none", f"{why}, and no shipped pair of capacitor and relay suits it: change "
                   "the load (let the pressures equalise) or ask the maker", _PRACTICE)  # fmt: skip
    notes = list(_FIRST)
    if plate.complaint in ("lights_dip", "generator"):
        notes.append("A start capacitor shortens the inrush and hardly lowers it; a soft starter "
                     "gives less torque, not more.")  # fmt: skip
    if sum(kit.range_f) / 2.0 < start_gear().ptc_instead_below:
        notes.append(
            "A PTC starter may stand in for so small a start capacitor (a starter maker's "
            "article); it needs minutes to cool before every start."
        )
    return Aid("relay_kit", why, f"{how}; {_PRACTICE}", tuple(notes))


def _described(plate: NameplateFile) -> str:
    if plate.compressor == "scroll":
        return "a scroll that lets its own set equalise"
    state = "against equal pressures" if plate.pressures_equalise else "against standing pressure"
    return f"a {plate.compressor} compressor {state}"
