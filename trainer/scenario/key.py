"""The instructor's answer sheet of one variant: one page of plain text.

Every number on it is computed from the circuit of this seed. Knows variants and their proofs;
must know no learner and no mark.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from itertools import groupby
from pathlib import Path
from typing import Any

from trainer.base.errors import TrainerError
from trainer.base.yamlfile import read
from trainer.nets.nets import in_order, nets_of
from trainer.scenario.dials import Colours
from trainer.scenario.taking import take, usual_setting
from trainer.scenario.variants import Variant
from trainer.unit.conductor import SIDES
from trainer.unit.faults import FAULTS
from trainer.unit.state import Unit

WIDTH = 96
#: The variant that a file of model acts is written for.
MODEL_SEED = 0
CAUTION = (
    "Training aid only: invented equipment, computed readings. Nothing here is a work instruction; "
    "codes, the maker's instructions and your licence rule real work."
)


def answer_sheet(built: Variant, moves: Path | None = None) -> str:
    """The page; ``moves`` is the file of acts that does the job, see ``load.model_file``."""
    told = built.scenario
    blocks = [
        [f"{told.title}  (level {told.level}, {built.name}, seed {built.seed})", CAUTION],
        ["DRAWN FOR THIS SEED", *_draws(built)],
        ["PLANTED", *_planted(built)],
        ["WIRING WANTED, net by net (terminal = terminal  by these wires)", *_nets(built.target)],
        ["DIFFERENT AS FOUND", *_found(built)],
        ["READINGS ON THE WANTED UNIT", *_readings(built)],
        ["FREEDOMS", *_freedoms(built)],
        ["ACTS OF A CAREFUL HAND", *_acts(moves, built.seed)],
        ["TO TALK ABOUT", *[f"{p.say} ({p.source})" for p in told.debrief]],
    ]
    return "\n\n".join("\n".join(_wrapped(block)) for block in blocks)


def _wrapped(block: list[str]) -> Iterator[str]:
    yield block[0]
    for line in block[1:] or ["none"]:
        yield from textwrap.wrap(
            line, WIDTH, initial_indent="  ", subsequent_indent="    ", break_on_hyphens=False
        )


def job_sheet(built: Variant) -> str:
    """What the person sent there is told, and nothing else."""
    told = built.scenario
    minutes = f"{told.time / 60:g} min"
    blocks = [
        [
            f"{told.title}  (level {told.level}, {built.name}, seed {built.seed}, {minutes})",
            CAUTION,
        ],
        ["WHERE", told.setting, built.layout.title],
        ["THE JOB", " ".join(told.briefing.split())],
        ["FOUND", "made dead and proved" if told.start.state == "proved dead" else "as it is"],
        ["READY", *[f"{n}: {f.type}" for n, f in told.tray.items()], ", ".join(told.tools)],
        ["READINGS TO TAKE", *[r.name for r in told.readings]],
    ]
    return "\n\n".join("\n".join(_wrapped(block)) for block in blocks)


def _draws(built: Variant) -> Iterator[str]:
    for dial, shown in built.draws.items():
        if isinstance(built.scenario.variants.dials[dial], Colours):
            here = [t for t in shown if t in built.unit.conductors]
            shown = [f"{t} {built.unit.conductors[t].colour}" for t in sorted(here, key=in_order)]
        words = ", ".join(map(str, shown)) if isinstance(shown, list) else str(shown)
        unit = " V" if isinstance(shown, float) else ""
        yield f"{dial}: {words}{unit}"


def _planted(built: Variant) -> Iterator[str]:
    for fault in built.faults:
        yield f"{fault} {FAULTS[fault].name}"
        for symptom in built.scenario.symptoms.get(fault, []):
            yield f"{fault} shows: {symptom.name}, {_taken(built.unit, built, symptom)}"
    for place, volts in built.charges.items():
        yield f"{place} holds {volts:g} V dc"
    for tool, state in built.conditions.items():
        yield f"{tool}: {state}"


def _nets(unit: Unit) -> Iterator[str]:
    for net in nets_of(unit):
        yield f"{' = '.join(net.terminals)}  by {', '.join(net.wires)}"


def _found(built: Variant) -> Iterator[str]:
    """Ends and parts that are not as wanted."""
    for tag in dict.fromkeys([*built.target.conductors, *built.unit.conductors]):
        wanted, found = built.target.conductors.get(tag), built.unit.conductors.get(tag)
        if wanted is None or found is None:
            yield f"wire {tag}: {'to be fitted' if found is None else 'there, not wanted'}"
            continue
        for side in SIDES:
            is_on, to = found.end(side).on or "loose", wanted.end(side).on or "loose"
            if is_on != to:
                yield f"wire {tag} {side}: {is_on}, wanted {to}"
    for name in dict.fromkeys([*built.target.parts, *built.unit.parts]):
        wanted_part, part = built.target.parts.get(name), built.unit.parts.get(name)
        kinds = [p.type if p else "nothing" for p in (part, wanted_part)]
        if kinds[0] != kinds[1]:
            yield f"{name}: {kinds[0]}, wanted {kinds[1]}"


def _readings(built: Variant) -> Iterator[str]:
    for reading in built.scenario.readings:
        unit = built.unit if reading.when == "as found" else built.target
        yield f"{reading.name}: {_taken(unit, built, reading)}"


def _taken(unit: Unit, built: Variant, reading) -> str:  # type: ignore[no-untyped-def]
    try:
        shown = take(unit, reading, built.layout, built.scenario.proof)
        text = f"{shown.text} {shown.note}".strip()
    except TrainerError as error:
        text = f"cannot be taken: {error.what}"
    when = f"{reading.when} for {reading.after:g} s" if reading.when == "running" else reading.when
    off = f", bared: {' '.join(reading.lifted)}" if reading.lifted else ""
    where = " to ".join(reading.at) if reading.with_ != "clamp" else f"wire {', '.join(reading.at)}"
    return f"{text}  [{reading.with_} {usual_setting(reading)}, {where}, {when}{off}]"


def _freedoms(built: Variant) -> Iterator[str]:
    yield "any tab of a terminal; the order of work where nothing depends on it"
    for one, other in built.scenario.symmetries:
        yield f"{one} and {other} may change places"
    for name in built.alternates:
        yield f"also right: {name}"


def _acts(moves: Path | None, seed: int) -> Iterator[str]:
    """The acts of a file as one paragraph, acts of one kind in a row together."""
    if moves is None or not moves.is_file():
        yield "not written down yet"
        return
    if seed != MODEL_SEED:
        yield f"written for seed {MODEL_SEED}; causes, values and what is wiped differ here"
    acts = [act for act in read(moves).data.get("acts", []) if isinstance(act, dict)]
    numbered = enumerate(acts, 1)
    yield "; ".join(_together(list(row)) for _, row in groupby(numbered, lambda n: n[1].get("act")))


def _together(row: list[tuple[int, dict[str, Any]]]) -> str:
    first, last = row[0][0], row[-1][0]
    span = f"{first}." if first == last else f"{first}-{last}."
    rest = [" ".join(_said(v) for k, v in act.items() if k != "act") for _, act in row]
    return f"{span} {row[0][1].get('act')} {', '.join(rest)}".rstrip()


def _said(value: Any) -> str:
    return ", ".join(map(str, value)) if isinstance(value, list) else str(value)
