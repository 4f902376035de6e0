"""What a mark is made of: findings with their evidence, domain scores, critical errors, a verdict.

Plain frozen records and their JSON. Shares and totals are exact fractions; only ``showing`` turns
them into digits. Knows no event and no rule.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any, Literal

from trainer.assess.showing import floored

Outcome = Literal["met", "not met", "not shown"]
Severity = Literal["critical", "major", "minor", "style"]
Domain = Literal["sequence", "correctness", "workmanship", "commissioning", "diagnosis", "records"]
DOMAINS: dict[Domain, str] = {
    "sequence": "Safe sequence",
    "correctness": "Circuit correctness",
    "workmanship": "Workmanship",
    "commissioning": "Test and commissioning",
    "diagnosis": "Diagnosis",
    "records": "Records",
}

#: What is said of a critical error that had no victim.
UNHARMED = "This time it did nobody harm."


@dataclass(frozen=True)
class Evidence:
    """Where in the attempt a finding comes from: numbers of events and their bench times."""

    events: tuple[int, ...] = ()
    at_ms: tuple[int, ...] = ()


@dataclass(frozen=True)
class Finding:
    """One item judged. ``share`` of its weight is credited: 1 when met, below 1 when not.

    ``points`` is what the item is worth in the total once domains are rescaled. ``rule`` names
    the rule of the rubric, ``code`` the step or point of the trade (P12, W06, CF3) or "".
    """

    rule: str
    code: str
    domain: Domain
    outcome: Outcome
    share: Fraction
    sentence: str
    evidence: Evidence = Evidence()
    consequence: str = ""
    practice: str = ""
    source: str = ""
    severity: Severity = "minor"
    weight: Fraction = Fraction(1)
    points: Fraction = Fraction(0)

    @property
    def lost(self) -> Fraction:
        return self.points * (1 - self.share)

    def as_data(self) -> dict[str, Any]:
        return {
            "rule": self.rule, "code": self.code, "domain": self.domain,
            "outcome": self.outcome, "share": float(self.share), "severity": self.severity,
            "points": float(self.points), "lost": float(self.lost),
            "events": list(self.evidence.events), "at_ms": list(self.evidence.at_ms),
            "sentence": self.sentence, "consequence": self.consequence,
            "practice": self.practice, "source": self.source,
        }  # fmt: skip


@dataclass(frozen=True)
class Critical:
    """A critical error: recorded once for each code, with every event it came from."""

    code: str
    title: str
    sentence: str
    consequence: str
    practice: str
    source: str
    evidence: Evidence

    def as_data(self) -> dict[str, Any]:
        return {
            "code": self.code, "title": self.title, "sentence": self.sentence,
            "consequence": self.consequence, "practice": self.practice, "source": self.source,
            "events": list(self.evidence.events), "at_ms": list(self.evidence.at_ms),
        }  # fmt: skip


@dataclass(frozen=True)
class DomainScore:
    """A domain: its share of its own items, what it weighs in the total, and its floor [%]."""

    name: Domain
    score: Fraction
    weight: Fraction
    floor: Fraction
    findings: tuple[Finding, ...]

    @property
    def percent(self) -> Fraction:
        return 100 * self.score

    @property
    def above_floor(self) -> bool:
        return self.percent >= self.floor

    def as_data(self) -> dict[str, Any]:
        return {
            "name": self.name, "title": DOMAINS[self.name], "score": float(self.percent),
            "shown": floored(self.percent, self.floor), "weight": float(self.weight),
            "floor": float(self.floor), "above_floor": self.above_floor,
            "items": [f.as_data() for f in self.findings],
        }  # fmt: skip


@dataclass(frozen=True)
class Note:
    """Something told beside the findings: a near miss, a hint, a time, a thing done well."""

    kind: Literal["near miss", "hint", "time", "done well", "info"]
    sentence: str
    evidence: Evidence = Evidence()

    def as_data(self) -> dict[str, Any]:
        return {
            "kind": self.kind, "sentence": self.sentence,
            "events": list(self.evidence.events), "at_ms": list(self.evidence.at_ms),
        }  # fmt: skip


@dataclass(frozen=True)
class Subject:
    """Whose attempt at what: as its header and its scenario say, and the digests marked by."""

    scenario: str
    title: str
    level: int
    seed: int
    mode: str
    learner: str
    attempt_digest: str
    scenario_digest: str
    rubric: str
    rubric_digest: str
    scorer: str
    provisional: bool


@dataclass(frozen=True)
class Mark:
    """The three things kept apart: domain scores, critical errors, verdict.

    ``findings`` are those not met or not shown, worst first. ``ended`` says how the attempt
    ended; ``reasons`` why it is no pass. ``wiring`` is the comparison as plain data.
    """

    subject: Subject
    verdict: Literal["pass", "fail"]
    safe: bool
    total: Fraction
    cut: Fraction
    domains: tuple[DomainScore, ...]
    critical: tuple[Critical, ...]
    findings: tuple[Finding, ...]
    notes: tuple[Note, ...]
    reasons: tuple[str, ...]
    ended: str
    hint_points: Fraction = Fraction(0)
    time_points: Fraction = Fraction(0)
    wiring: Mapping[str, Any] = field(default_factory=dict)

    def as_data(self) -> dict[str, Any]:
        """JSON's ``data``: totals as numbers and as they are shown."""
        return {
            **vars(self.subject),
            "verdict": self.verdict, "safe": self.safe,
            "total": float(self.total), "total_shown": floored(self.total, self.cut),
            "cut": float(self.cut), "reasons": list(self.reasons), "ended": self.ended,
            "hint_points": float(self.hint_points), "time_points": float(self.time_points),
            "hints_used": sum(n.kind == "hint" for n in self.notes),
            "domains": [d.as_data() for d in self.domains],
            "critical": [c.as_data() for c in self.critical],
            "findings": [f.as_data() for f in self.findings],
            "notes": [n.as_data() for n in self.notes],
            "wiring": dict(self.wiring),
        }  # fmt: skip
