"""From judged items to domain scores, a total and a verdict, in exact fractions.

A domain the rubric gives weight is used even when nothing was shown in it; only what a job
cannot show is left out. Knows rubrics and judged items; must know no event.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from trainer.assess.judged import Judged
from trainer.assess.marks import DOMAINS, Critical, Domain, DomainScore, Finding
from trainer.assess.rubric import Rubric

#: Ends that are no pass whatever the score is.
ENDINGS = {
    "death": "the attempt ended with a touch that may stop a heart",
    "loss": "the attempt ended with the loss of the unit",
}


@dataclass(frozen=True)
class Item:
    """A judged item with its weight inside its domain and the words that go with it."""

    rule: str
    code: str
    weight: Fraction
    judged: Judged
    practice: str = ""
    source: str = ""
    severity: str = "minor"
    consequence: str = ""


def scored(
    rubric: Rubric, items: Mapping[Domain, Sequence[Item]], unused: frozenset[Domain]
) -> list[DomainScore]:
    """Every domain that counts, weights rescaled to 100 over those that are used."""
    used = {
        name: spec for name, spec in rubric.domains.items() if spec.weight and name not in unused
    }
    whole = sum((spec.weight for spec in used.values()), Fraction(0))
    return [
        _domain(name, 100 * spec.weight / whole, spec.floor, items.get(name, ()))
        for name in DOMAINS
        if (spec := used.get(name)) is not None
    ]


def _domain(name: Domain, weight: Fraction, floor: Fraction, items: Sequence[Item]) -> DomainScore:
    counted = [item for item in items if item.weight]
    whole = sum((item.weight for item in counted), Fraction(0))
    findings = tuple(
        _finding(name, item, weight * item.weight / whole if whole else Fraction(0))
        for item in counted
    )
    got = sum((item.weight * item.judged.share for item in counted), Fraction(0))
    return DomainScore(name, got / whole if whole else Fraction(0), weight, floor, findings)


def _finding(domain: Domain, item: Item, points: Fraction) -> Finding:
    j = item.judged
    return Finding(
        item.rule, item.code, domain, j.outcome, j.share, j.sentence, j.evidence,
        j.consequence or item.consequence, item.practice, item.source,
        item.severity, item.weight, points,  # type: ignore[arg-type]
    )  # fmt: skip


def total_of(domains: Iterable[DomainScore], points_off: Fraction) -> Fraction:
    """Of 100; hints and time cost points of it, and it is never below nothing."""
    whole = sum((d.weight * d.score for d in domains), Fraction(0))
    return max(Fraction(0), whole - points_off)


def reasons_of(
    total: Fraction, cut: Fraction, domains: Sequence[DomainScore], critical: Sequence[Critical],
    ended: str,
) -> list[str]:  # fmt: skip
    """Why it is no pass, each in a sentence; none for a pass."""
    told = []
    if critical:
        codes = ", ".join(c.code for c in critical)
        many = len(critical) > 1
        told.append(
            f"not safe yet: critical errors {codes}"
            if many
            else f"not safe yet: critical error {codes}"
        )
    if total < cut:
        told.append("the total is under the cut")
    told += [f"{DOMAINS[d.name]} is under its floor" for d in domains if not d.above_floor]
    if ended in ENDINGS:
        told.append(ENDINGS[ended])
    return told


def worst_first(domains: Sequence[DomainScore]) -> tuple[Finding, ...]:
    """Findings not met before those not shown, the dearest first; ties in the order judged."""
    rank = {"critical": 0, "major": 1, "minor": 2, "style": 3}
    open_ = [f for d in domains for f in d.findings if f.outcome != "met"]
    return tuple(sorted(open_, key=lambda f: (rank[f.severity], f.outcome != "not met", -f.lost)))
