"""The debrief as plain data in the order in which it is read; every face of it shows this.

Knows marks, events and a scenario; must know no markup, and not how a mark was reached.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from trainer.assess.marks import (
    DOMAINS,
    UNHARMED,
    Critical,
    DomainScore,
    Evidence,
    Finding,
    Mark,
    Note,
)
from trainer.assess.procedure import procedure
from trainer.assess.showing import floored
from trainer.report.assets import Cautions, Training, cautions, training, whys
from trainer.report.harm import Ending, ending_of
from trainer.report.next_exercise import Choice, Offer, first_broken, first_critical, next_exercise
from trainer.report.startplot import Row as Number
from trainer.report.startplot import table
from trainer.report.starts import Start, chosen, reference_of, starts_of, with_levels
from trainer.report.timeline import Row, rows_of
from trainer.report.wiring import Joint, joints
from trainer.scenario.model import Point, Scenario
from trainer.session.log import Attempt
from trainer.session.text import clock

QUESTION = "What would you do differently?"
#: Findings told at once, what broke first among them; the rest is on demand.
TOLD = 3


@dataclass(frozen=True)
class Told:
    """Something judged in four parts: happened, does, practice, where it is written."""

    title: str
    code: str
    happened: str
    does: str
    practice: str
    source: str
    where: str
    status: str = ""


@dataclass(frozen=True)
class Score:
    """A domain as shown: digits that never reach a floor from below."""

    title: str
    shown: str
    floor: str
    weight: str
    status: str
    items: tuple[Told, ...]
    points: tuple[str, ...]


@dataclass(frozen=True)
class Debrief:
    """One page. ``start`` is the start whose plot is shown."""

    mark: Mark
    title: str
    facts: tuple[tuple[str, str], ...]
    ending: Ending | None
    critical: tuple[Told, ...]
    well: tuple[str, ...]
    first: Told | None
    starts: tuple[Start, ...]
    start: Start | None
    reference: Start | None
    numbers: tuple[Number, ...]
    findings: tuple[Told, ...]
    more: tuple[Told, ...]
    verdict: str
    total: str
    cut: str
    scores: tuple[Score, ...]
    notes: tuple[tuple[str, str], ...]
    timeline: tuple[Row, ...]
    until_ms: int
    wires: tuple[Joint, ...]
    points: tuple[Point, ...]
    next: Choice | None
    cautions: Cautions

    @property
    def footer(self) -> str:
        s = self.mark.subject
        who = s.learner or "no name"
        return f"{s.scenario}, seed {s.seed} · {who} · rubric {s.rubric} · attempt {digest(s)}"


def digest(subject: Any) -> str:
    """As many digits as tell two attempts apart."""
    return str(subject.attempt_digest)[:12] or "not taken"


def debrief(
    mark: Mark, attempt: Attempt, scenario: Scenario | None, offers: Sequence[Offer] = (),
    trains: Training | None = None,
) -> Debrief:  # fmt: skip
    """Everything a debrief says, in order."""
    events = attempt.events
    starts = starts_of(events)
    shown, reference = chosen(starts), reference_of(events)
    shown = with_levels(shown, events) if shown else None
    first = _first(mark)
    findings = [told for f in mark.findings if (told := _finding(f)) != first]
    at_once = TOLD - 1 if first else TOLD
    return Debrief(
        mark, mark.subject.title or mark.subject.scenario, _facts(mark, attempt),
        ending_of(mark, events), tuple(_critical(c) for c in mark.critical), _well(mark),
        first, tuple(starts), shown, reference,
        tuple(table(shown, reference)) if shown else (),
        tuple(findings[:at_once]), tuple(findings[at_once:]), verdict_of(mark),
        floored(mark.total, mark.cut), floored(mark.cut, mark.cut),
        tuple(_score(d) for d in mark.domains), _notes(mark.notes),
        tuple(rows_of(mark, events)), events[-1].at_ms if events else 0,
        tuple(joints(mark.wiring.get("rows", ()))), tuple(scenario.debrief) if scenario else (),
        next_exercise(mark, offers, trains or training()), cautions(),
    )  # fmt: skip


def verdict_of(mark: Mark) -> str:
    """The verdict in words: safety is never hidden by a number."""
    if not mark.safe:
        return "Not safe yet"
    return "Pass" if mark.verdict == "pass" else "Safe, not passed yet"


def where(evidence: Evidence, most: int = 4) -> str:
    """Events and bench times, the first few."""
    seqs = list(dict.fromkeys(zip(evidence.events, evidence.at_ms, strict=False)))
    if not seqs:
        return ""
    told = ", ".join(f"event {seq} at {clock(at_ms)}" for seq, at_ms in seqs[:most])
    left = len(seqs) - most
    return f"{told}, and {left} more" if left > 0 else told


def _facts(mark: Mark, attempt: Attempt) -> tuple[tuple[str, str], ...]:
    s = mark.subject
    modes = {"moves": "from a file of moves", "practice": "practice", "graded": "graded"}
    provisional = " (provisional)" if s.provisional else ""
    end = attempt.events[-1].at_ms if attempt.events else 0
    return (
        ("Learner", s.learner or "no name given"),
        ("Exercise", f"{s.scenario}, level {s.level}, seed {s.seed}"),
        ("Mode", modes.get(s.mode, s.mode or "not said")),
        ("Bench time", clock(end)),
        ("Ended", mark.ended),
        ("Rubric", f"{s.rubric}{provisional}, {s.rubric_digest[:12]}"),
        ("Attempt", digest(s)),
    )


def _critical(c: Critical) -> Told:
    does = c.consequence
    if not does or does == UNHARMED:
        does = f"{whys().codes.get(c.code, '')} {does}".strip()
    return Told(
        _capital(c.title), c.code, c.sentence, does, c.practice, c.source,
        where(c.evidence), "critical error",
    )  # fmt: skip


def _finding(f: Finding) -> Told:
    return Told(
        title_of(f), f.code, f.sentence, f.consequence or _why(f),
        f.practice, f.source or "common practice", where(f.evidence), f.outcome,
    )  # fmt: skip


def title_of(f: Finding) -> str:
    """What was judged in words of the trade: a rule of order by the name of its first step."""
    steps = procedure().steps
    ordered = f.code in steps and " before " in f.rule
    return _capital(steps[f.code].title if ordered else f.rule)


def _why(f: Finding) -> str:
    """What comes of it in general, where this attempt has no number."""
    return whys().codes.get(f.code) or whys().domains[f.domain]


def _capital(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"


def _first(mark: Mark) -> Told | None:
    """What broke first: the earliest of broken order and critical errors."""
    finding, critical = first_broken(mark), first_critical(mark)
    if finding is None:
        return _critical(critical) if critical else None
    if critical is not None and (
        finding.domain != "sequence" or critical.evidence.events[0] < max(finding.evidence.events)
    ):
        return _critical(critical)
    return _finding(finding)


def _well(mark: Mark) -> tuple[str, ...]:
    """What was done well as noted; without notes the dearest things that were met."""
    noted = tuple(n.sentence for n in mark.notes if n.kind == "done well")
    met = [f for d in mark.domains for f in d.findings if f.outcome == "met"]
    met.sort(key=lambda f: (f.domain != "sequence", -f.points))
    return noted + tuple(f.sentence for f in met[: max(0, TOLD - len(noted))])


def _notes(notes: Sequence[Note]) -> tuple[tuple[str, str], ...]:
    return tuple((_capital(n.kind), n.sentence) for n in notes if n.kind != "done well")


def _score(d: DomainScore) -> Score:
    status = "at or over its floor" if d.above_floor else "under its floor"
    return Score(
        DOMAINS[d.name], f"{floored(d.percent, d.floor)} %", f"{float(d.floor):g} %",
        f"{float(d.weight):.1f}", status, tuple(_finding(f) for f in d.findings),
        tuple(f"{float(f.points - f.lost):.2f} of {float(f.points):.2f}" for f in d.findings),
    )  # fmt: skip


def as_data(d: Debrief) -> dict[str, Any]:
    """JSON's ``data``: the mark, and the page in its order."""
    return {
        "question": QUESTION,
        "mark": d.mark.as_data(),
        "ending": vars(d.ending) if d.ending else None,
        "critical": [vars(t) for t in d.critical],
        "done_well": list(d.well),
        "first_broken": vars(d.first) if d.first else None,
        "starts": [_start(s) for s in d.starts],
        "shown_start": d.start.seq if d.start else None,
        "numbers": [{"name": n, "this": own, "wanted": wanted} for n, own, wanted in d.numbers],
        "findings": [vars(t) for t in d.findings],
        "more_findings": [vars(t) for t in d.more],
        "verdict": d.verdict, "total_shown": d.total, "cut_shown": d.cut,
        "timeline": [r.as_data() for r in d.timeline],
        "talk_about": [p.model_dump() for p in d.points],
        "next": vars(d.next) if d.next else None,
        "cautions": [f"{c.title}. {c.say}" for c in d.cautions.cautions],
    }  # fmt: skip


def _start(s: Start) -> dict[str, Any]:
    return {
        "event": s.seq, "at_ms": s.at_ms, "outcome": s.outcome, "said": s.said,
        "peak_a": s.peak_a, "time_to_90pct_s": s.to_speed_s, "figures": dict(s.figures),
    }  # fmt: skip
