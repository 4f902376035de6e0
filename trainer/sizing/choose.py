"""From a nameplate to the whole answer: figures, start gear, whether to fit any, and the proof.

The order of the job: what the code asks, what the motor is, does it start unaided, which pair of
capacitor and relay would go with it, which aid then, and the starts that prove it. Knows every
part of sizing; holds no rule of its own.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from itertools import islice

from trainer.motor import psc
from trainer.sizing import aid, branch, feed, kit, motor, proof, remarks, standby
from trainer.sizing.motor import Motor
from trainer.sizing.nameplate_file import NameplateFile
from trainer.sizing.ruled import Ruled
from trainer.sizing.sizing import Aid, Proof, RelayKit, Sizing

#: The line on which a unit must start by itself to need no aid.
LOW_LINE = 0.90
#: Pairs of capacitor and relay tried by simulated starts before the first is given with a remark.
MOST_PAIRS = 5


def recommend(plate: NameplateFile, prove: bool = True) -> Sizing:
    """The whole answer. Without ``prove`` phasors decide whether it starts unaided."""
    figures, refused = branch.figures(plate), aid.refused(plate)
    if refused is not None and not plate.takes_start_gear:
        return Sizing(plate.title, figures, None, refused, notes=remarks.of_code(plate))
    found = motor.of_plate(plate)
    trials = _Trials(plate, figures["largest_breaker"].number, prove)
    return _for_motor(plate, found, figures, refused, trials)


@dataclass
class _Trials:
    """Simulated starts of one plate, kept in order; none at all when nothing is to be proved."""

    plate: NameplateFile
    breaker_a: float
    prove: bool
    done: list[Proof] = field(default_factory=list)

    def start(self, gear: RelayKit | str | None, line_ratio: float) -> Proof:
        return self._on(gear, feed.line(self.plate, line_ratio))

    def on_generator(self, gear: RelayKit | str | None, rating: Ruled | None) -> None:
        """On the set that the figures ask for, where they ask for one."""
        if self.prove and rating is not None and rating.value is not None:
            self._on(gear, feed.generator(self.plate, rating.number))

    def _on(self, gear: RelayKit | str | None, on: feed.Feed) -> Proof:
        found = proof.start(self.plate, gear, on, self.breaker_a)
        self.done.append(found)
        return found


def _for_motor(
    plate: NameplateFile,
    found: Motor,
    figures: dict[str, Ruled],
    refused: Aid | None,
    trials: _Trials,
) -> Sizing:
    case = kit.Case(found.params, found.line, plate.rla, found.rated_slip, found.at_rest_nm)
    well = _starts_unaided(found, trials)
    parts = _kit(case, trials, torque_needed=not (well or refused))
    starter = kit.starter_class(plate.rla, plate.lra or 0.0)
    how = aid.SIMULATED if trials.prove else aid.BY_PHASORS
    decision = refused or aid.chosen(plate, well, parts, starter, how)
    soft = _soft_start(decision, starter, trials)
    sets = standby.generator_figures(plate, _locked_with(found, parts), starter, soft)
    if plate.complaint == "generator":
        _on_generators(well, decision, parts, starter, sets, trials)
    return Sizing(
        title=plate.title,
        figures=figures
        | kit.figures(case, parts)
        | {"starter_class": starter}
        | standby.supply_figures(plate, found.params, found.line)
        | sets,
        kit=parts,
        aid=decision,
        proofs=tuple(trials.done),
        notes=(*remarks.of_makers_table(plate, parts), *found.notes, *remarks.of_code(plate),
               *remarks.of_proof(plate, trials.done)),
        warnings=remarks.failures(decision, trials.done),
    )  # fmt: skip


def _starts_unaided(found: Motor, trials: _Trials) -> bool:
    """On a line 10 % low; proved at rated volts too when it does."""
    if not trials.prove:
        low = replace(found.line, volts=LOW_LINE * found.line.volts)
        return motor.starts_by_phasors(found, low)
    well = proof.well(trials.start(None, LOW_LINE))
    trials.start(None, 1.0)
    return well


def _kit(case: kit.Case, trials: _Trials, torque_needed: bool) -> RelayKit | None:
    """The maker's pair, else the first by the rules that proves itself where torque is needed."""
    table = trials.plate.maker_table
    from_maker = kit.from_maker(case, table) if table else None
    pairs = iter([from_maker]) if from_maker else kit.by_rules(case)
    if torque_needed and trials.prove:
        return _proved(pairs, trials)
    return next(pairs, None)


def _proved(pairs: Iterator[RelayKit], trials: _Trials) -> RelayKit | None:
    """The first pair that starts cleanly at rated volts and at both corners, else the first."""
    first, before = None, list(trials.done)
    for pair in islice(pairs, MOST_PAIRS):
        trials.done = list(before)
        starts = [
            trials.start(pair, 1.0),
            trials.start(proof.early_corner(pair), 1.10),
            trials.start(proof.late_corner(pair), 0.85),
        ]
        if all(proof.well(each) for each in starts):
            return pair
        first = first or (pair, trials.done)
    if first is None:
        return None
    trials.done = first[1]
    return first[0]


def _soft_start(decision: Aid, starter: Ruled, trials: _Trials) -> Proof | None:
    """A start with the soft starter at rated volts: for the generator, and as proof if chosen."""
    if starter.value is None or not trials.prove:
        return None
    soft = trials.start(str(starter.value), 1.0)
    if decision.kind == "soft_starter":
        trials.start(str(starter.value), LOW_LINE)
    return soft


def _on_generators(
    well: bool,
    decision: Aid,
    parts: RelayKit | None,
    starter: Ruled,
    sets: dict[str, Ruled],
    trials: _Trials,
) -> None:
    """Starts on the sets the figures ask for: unaided if it starts so at all, and as chosen."""
    if well:
        trials.on_generator(None, sets["generator_without_aid"])
    if decision.kind == "relay_kit":
        trials.on_generator(parts, sets.get("generator_with_relay_kit"))
    if decision.kind == "soft_starter":
        trials.on_generator(str(starter.value), sets.get("generator_with_soft_starter"))


def _locked_with(found: Motor, parts: RelayKit | None) -> float | None:
    """Locked line amps with the pair's capacitor in [A]."""
    if parts is None:
        return None
    line = replace(found.line, start_f=sum(parts.range_f) / 2.0)
    return float(abs(psc.locked(found.params, line).i_line))
