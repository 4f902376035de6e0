"""Which exercise comes next: the lowest level that trains what broke first.

A pure function of a mark and of what is on offer. Knows codes, domains and names.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from trainer.assess.marks import DOMAINS, Critical, Domain, Finding, Mark
from trainer.report.assets import Training


@dataclass(frozen=True)
class Offer:
    """A scenario on offer."""

    name: str
    title: str
    level: int


@dataclass(frozen=True)
class Choice:
    """``why`` is a sentence; ``another`` says that it is this job again on another board."""

    name: str
    title: str
    level: int
    why: str
    another: bool = False

    @property
    def sentence(self) -> str:
        told = f"{self.title} ({self.name}, level {self.level})."
        if self.another:
            told = f"{self.title} ({self.name}, level {self.level}, another seed)."
        return " ".join((told, self.why))


def first_broken(mark: Mark) -> Finding | None:
    """The earliest thing that broke: order of work before anything else."""
    broken = [f for f in mark.findings if f.outcome == "not met" and f.evidence.events]
    if not broken:
        return None
    rank = {"critical": 0, "major": 1, "minor": 2, "style": 3}
    return min(
        broken,
        key=lambda f: (f.domain != "sequence", max(f.evidence.events), rank[f.severity]),
    )


def first_critical(mark: Mark) -> Critical | None:
    """The critical error that came first."""
    found = [c for c in mark.critical if c.evidence.events]
    return min(found, key=lambda c: c.evidence.events[0]) if found else None


def next_exercise(mark: Mark, offers: Sequence[Offer], training: Training) -> Choice | None:
    """What to do next; None when nothing is on offer."""
    if not offers:
        return None
    broken, critical = first_broken(mark), first_critical(mark)
    if broken is None and critical is None and mark.findings:
        broken = mark.findings[0]
    if broken is not None:
        # sequence is what hurts; the rest is trained by the job that is named for it
        said = broken.practice.rstrip(".") or broken.sentence.rstrip(".")
        why = f"It trains what broke first: {said}."
        codes, domain = [broken.code], broken.domain
    elif critical is not None:
        why = f"It trains what was not safe: {critical.title}."
        codes, domain = [critical.code], "sequence"
    else:
        return _onward(mark, offers)
    if mark.verdict == "pass":
        return _onward(mark, offers)
    chosen = _named(codes, domain, offers, training)
    if chosen is None:
        return _again(mark, offers, f"{DOMAINS[domain]} broke first, and this job trains it.")
    if chosen.name == mark.subject.scenario or chosen.level > mark.subject.level:
        return _again(mark, offers, why)
    return Choice(chosen.name, chosen.title, chosen.level, why)


def _named(
    codes: Iterable[str], domain: Domain, offers: Sequence[Offer], training: Training
) -> Offer | None:
    names = next((training.codes[c] for c in codes if c in training.codes), None)
    wanted = names or training.domains.get(domain, ())
    found = [o for o in offers if o.name in wanted]
    return min(found, key=lambda o: (o.level, o.name)) if found else None


def _again(mark: Mark, offers: Sequence[Offer], why: str) -> Choice | None:
    own = next((o for o in offers if o.name == mark.subject.scenario), None)
    if own is None:
        return None
    return Choice(own.name, own.title, own.level, why, another=True)


def _onward(mark: Mark, offers: Sequence[Offer]) -> Choice | None:
    """After a pass: the next scenario by level and name; after the last, this one again."""
    order = sorted(offers, key=lambda o: (o.level, o.name))
    here = (mark.subject.level, mark.subject.scenario)
    after = [o for o in order if (o.level, o.name) > here]
    if not after:
        return _again(mark, offers, "Every job was reached; keep this one fresh on another board.")
    why = "This job is done; it is the next one."
    return Choice(after[0].name, after[0].title, after[0].level, why)
