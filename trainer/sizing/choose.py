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
#: Pairs of capacitor and relay tried by simulated starts, and as many that nearly keep the rules.
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
        """A start on the site's line, kept."""
        self.done.append(self.tried(gear, line_ratio))
        return self.done[-1]

    def tried(self, gear: RelayKit | str | None, line_ratio: float) -> Proof:
        """A start on the site's line that nobody need hear of."""
        return proof.start(self.plate, gear, feed.line(self.plate, line_ratio), self.breaker_a)

    def on_generator(self, gear: RelayKit | str | None, rating: Ruled | None) -> None:
        """On the set that the figures ask for, where they ask for one."""
        if self.prove and rating is not None and rating.value is not None:
            on = feed.generator(self.plate, rating.number)
            self.done.append(proof.start(self.plate, gear, on, self.breaker_a))


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
    soft = trials.start(str(starter.value), 1.0) if starter.value and trials.prove else None
    decision = refused or aid.chosen(plate, well, parts, _that_starts(starter, soft), how)
    if decision.kind == "soft_starter" and trials.prove:
        trials.start(str(starter.value), LOW_LINE)
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
    """The maker's pair, else the first by the rules that proves itself where torque is needed.

    Where no pair keeps every rule, one that breaks a single rule and proves itself will do.
    """
    table = trials.plate.maker_table
    from_maker = kit.from_maker(case, table) if table else None
    pairs = [from_maker] if from_maker else list(islice(kit.by_rules(case), MOST_PAIRS))
    if not (torque_needed and trials.prove):
        return pairs[0] if pairs else None
    proved = _proved(iter(pairs), trials)
    if proved is None and not from_maker:
        proved = _proved(islice(kit.nearly(case), MOST_PAIRS), trials)
    if proved is None and pairs:
        trials.done += _corners(pairs[0], trials)
        return pairs[0]
    return proved


def _proved(pairs: Iterator[RelayKit], trials: _Trials) -> RelayKit | None:
    """The first pair that starts cleanly at rated volts and both corners; its starts are kept."""
    for pair in pairs:
        starts = _corners(pair, trials)
        if all(proof.well(each) for each in starts):
            trials.done += starts
            return pair
    return None


def _corners(pair: RelayKit, trials: _Trials) -> list[Proof]:
    """Starts with a pair at rated volts and at the corners of line and tolerance."""
    return [
        trials.tried(pair, 1.0),
        trials.tried(proof.early_corner(pair), 1.10),
        trials.tried(proof.late_corner(pair), 0.85),
    ]


def _that_starts(starter: Ruled, soft: Proof | None) -> Ruled:
    """The soft starter's class; none where its simulated start at rated volts fails."""
    if soft is None or soft.outcome == "clean":
        return starter
    return replace(
        starter, value=None, note=f"with {starter.value} a simulated start {soft.outcome}"
    )


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
