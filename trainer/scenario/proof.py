"""Proves a scenario on its own circuit: clean starts, symptoms that show, readings that can be.

Nothing here says what ought to happen beyond the file: every verdict is read off a simulated
unit. Knows variants and readings; must know no learner and no mark.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trainer.base.errors import TrainerError
from trainer.instruments.shown import OVER, Shown
from trainer.scenario.difficulty import table
from trainer.scenario.model import Scenario
from trainer.scenario.readings import Symptom, lies_in
from trainer.scenario.taking import course_of, energised, take
from trainer.scenario.variants import Variant, variant
from trainer.unit.faults import plant
from trainer.unit.state import Unit
from trainer.unit.world import remembering


@dataclass(frozen=True)
class Proved:
    """One thing looked at: where it stands in the file, what was seen, whether it holds."""

    path: tuple[str | int, ...]
    what: str
    ok: bool
    says: str
    write: str = ""


def prove(scenario: Scenario, name: str, seed: int) -> list[Proved]:
    """Every proof of one variant. A proof that cannot be done is one that failed."""
    built = variant(scenario, name, seed)
    return [*_starts(built), *_symptoms(built), *_readings(built)]


def _starts(built: Variant) -> Iterator[Proved]:
    told = built.scenario
    if not told.proof.starts:
        return
    wanted: list[tuple[tuple[str, ...], Unit]] = [(("target",), built.target)]
    wanted += [(("alternates", n), unit) for n, unit in built.alternates.items()]
    for path, unit in wanted:
        what = "the target starts cleanly" if path == ("target",) else f"{path[-1]}: starts cleanly"
        try:
            trouble = unclean(unit, built)
        except TrainerError as error:
            trouble = error.what
        says = f"seed {built.seed}: it does not start cleanly: {trouble}"
        write = "wiring and parts that start, or proof: with the hands and time it needs"
        yield Proved(path, what, not trouble, says if trouble else "it does", write)


def unclean(unit: Unit, built: Variant) -> str:
    """What is wrong with a start of this unit, or ""."""
    proof = built.scenario.proof
    found = course_of(energised(unit, built.layout, proof, proof.after))
    return ", ".join(sorted(found)[:4])


def _symptoms(built: Variant) -> Iterator[Proved]:
    for fault, shown in built.scenario.symptoms.items():
        for n, symptom in enumerate(shown):
            path = ("symptoms", fault, n)
            what = f"{fault} shows {symptom.name}"
            try:
                trouble = mismatch(built, fault, symptom)
            except TrainerError as error:
                trouble = error.what
            write = "between: what the circuit gives, or another reading"
            says = f"seed {built.seed}: {trouble}" if trouble else "it does"
            yield Proved(path, what, not trouble, says, write)


def mismatch(built: Variant, fault: str, symptom: Symptom) -> str:
    """Why a symptom does not tell its condition from a good unit and its look-alikes, or ""."""
    has = built.unit if fault in built.faults else remembering(plant(built.target, fault))
    shown = take(has, symptom, built.layout, built.scenario.proof)
    if not within(shown, symptom):
        return f"{symptom.name} reads {shown.text} with {fault}, not between {_span(symptom)}"
    others = [("without " + fault, built.target)]
    others += [(f"with {o}", remembering(plant(built.target, o))) for o in symptom.unlike]
    for who, unit in others:
        alike = take(unit, symptom, built.layout, built.scenario.proof)
        if within(alike, symptom):
            return f"{symptom.name} reads {alike.text} {who} too"
        apart = apart_by(shown, alike)
        if apart < table().apart:
            both = f"{shown.text} with {fault} and {alike.text} {who}"
            return f"{symptom.name} reads {both}: {100 * apart:.1f} % apart is too little to tell"
    return ""


def apart_by(one: Shown, other: Shown) -> float:
    """How far two displays are apart, as a share of the larger figure; 1 where one has none."""
    a, b = one.value, other.value
    if a is None or b is None or OVER in (one.text, other.text):
        return 1.0 if one.text != other.text else 0.0
    most = max(abs(a), abs(b))
    return abs(a - b) / most if most > 0.0 else 0.0


def _span(symptom: Symptom) -> str:
    return " and ".join(symptom.between)


def within(shown: Shown, symptom: Symptom) -> bool:
    """Whether a display lies in the span of a symptom; over range is above every number."""
    return lies_in(symptom.between, shown.value, shown.unit, shown.text == OVER)


def _readings(built: Variant) -> Iterator[Proved]:
    """Each reading the job asks for can be taken on the wanted unit."""
    for n, reading in enumerate(built.scenario.readings):
        unit = built.unit if reading.when == "as found" else built.target
        try:
            shown = take(unit, reading, built.layout, built.scenario.proof)
            trouble = "" if shown.text and shown.text != "----" else f"it shows {shown.note}"
        except TrainerError as error:
            shown, trouble = Shown(text=""), error.what
        says = f"seed {built.seed}: {reading.name}: {trouble}" if trouble else shown.text
        write = "a setting and places at which it shows something"
        yield Proved(("readings", n), reading.name, not trouble, says, write)
