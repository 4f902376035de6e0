"""How an attempt ended that nobody comes back from: what was touched, in numbers, soberly.

Thresholds are those of the shipped table and of unit/body. Knows data of shock and pierced
events; judges nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trainer.assess.marks import Finding, Mark
from trainer.report.timeline import act_before, shock_volts, spelled
from trainer.session.events import Event
from trainer.session.text import clock
from trainer.unit.body import FIBRILLATES, LET_GO_A, REACTION_A, fibrillation_amps, tables

DEATH, LOSS = "death", "loss"


@dataclass(frozen=True)
class Ending:
    """The plain page: ``facts`` are names and values, ``means`` sentences, ``prevents`` the act."""

    title: str
    sentence: str
    facts: tuple[tuple[str, str], ...]
    means: tuple[str, ...]
    prevents: str
    source: str
    event: int


def ending_of(mark: Mark, events: Sequence[Event]) -> Ending | None:
    """The page of a death or a loss; None for any other end."""
    if mark.ended == DEATH:
        fatal = [e for e in events if e.kind == "shock" and e.data.get("effect") == FIBRILLATES]
        return _death(mark, events, fatal[0]) if fatal else None
    if mark.ended == LOSS:
        lost = [e for e in events if e.kind == "pierced"]
        return _loss(mark, events, lost[0]) if lost else None
    return None


def _death(mark: Mark, events: Sequence[Event], shock: Event) -> Ending:
    d = shock.data
    volts, kind = shock_volts(d)
    amps = max(float(d["amps"]), float(d["peak_a"]))
    facts = (
        ("Touched", f"{d['place']}, with {d['doer']}"),
        ("The other contact of the body", str(d["other"])),
        ("Volts between them", f"{volts:.0f} V {kind}"),
        ("Body taken as", f"{d['body_ohms']} Ω"),
        ("Current through the body", f"{1e3 * amps:.0f} mA"),
        ("For", f"{d['for_s']:g} s"),
        ("When", f"{clock(shock.at_ms)}, event {shock.seq}"),
    )
    prevents, source = _prevents(mark, events, shock)
    return Ending(
        "This attempt ended here",
        "A current went through the body that can stop a heart. On a real unit nobody is sure to "
        "come back from it, so the attempt stops.",
        facts, _means(amps, float(d["for_s"])), prevents, source, shock.seq,
    )  # fmt: skip


def _means(amps: float, for_s: float) -> tuple[str, ...]:
    limit = fibrillation_amps(for_s)
    return (
        f"From about {1e3 * REACTION_A:.1f} mA it is felt; from about {1e3 * LET_GO_A:.0f} mA on "
        f"some cannot let go.",
        f"Held for {for_s:g} s, the heart is unlikely to fibrillate below about "
        f"{1e3 * limit:.0f} mA. This was {1e3 * amps:.0f} mA, {amps / limit:.1f} times as much.",
        f"Thresholds: {tables().fibrillation.source}. They teach scale; no touch is safe by them.",
    )


def _loss(mark: Mark, events: Sequence[Event], lost: Event) -> Ending:
    act = act_before(events, lost.seq)
    facts = (
        ("What happened", f"A screw went into the {lost.data['zone']}."),
        ("The act", spelled(act.data) if act else "not known"),
        ("When", f"{clock(lost.at_ms)}, event {lost.seq}"),
    )
    means = (
        "The unit is lost: opening and repairing what holds refrigerant is work for a person with "
        "that certificate.",
    )
    prevents, source = _prevents(mark, events, lost)
    return Ending(
        "This attempt ended here", "The unit was lost, so the attempt stops.",
        facts, means, prevents, source, lost.seq,
    )  # fmt: skip


def _prevents(mark: Mark, events: Sequence[Event], hurt: Event) -> tuple[str, str]:
    """(the practice that would have stopped it, where it is written): of what that act broke."""
    act = act_before(events, hurt.seq)
    numbers = {hurt.seq, act.seq if act else hurt.seq}
    broken = [f for f in mark.findings if _of(f, numbers)]
    for finding in sorted(broken, key=lambda f: f.severity != "critical"):
        if finding.practice:
            return finding.practice, finding.source
    for critical in mark.critical:
        if numbers & set(critical.evidence.events):
            return critical.practice, critical.source
    return "Make it dead and prove it dead before a hand goes in.", "common practice"


def _of(finding: Finding, numbers: set[int]) -> bool:
    return finding.outcome == "not met" and bool(numbers & set(finding.evidence.events))
