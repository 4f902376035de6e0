"""The report of a class on one assignment as plain data, in the order in which it is read.

Who is ready; who is not safe yet and why; what the group misunderstands; and only then how far the
figures carry. With ``names`` a learner is called by what that gives him. Knows figures; computes
none.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, NamedTuple

from trainer.assess.marks import DOMAINS
from trainer.assess.procedure import procedure
from trainer.assess.showing import floored
from trainer.base.tongue import later, term
from trainer.classroom import zones
from trainer.classroom.attempts import code_of
from trainer.classroom.figures import FEW, Figures, Item, standing_of
from trainer.classroom.gradebook import Entry
from trainer.classroom.variants_met import GROUP_LEAST, Dialled
from trainer.report.assets import whys
from trainer.report.class_plots import Dot
from trainer.standards.exact import UNDEFINED, shown

#: How groups and statuses are told.
WORDS = {
    "ready": later("ready"), "safe": "safe, not passed yet", "unsafe": "not safe yet",
    "not_started": "not started", "in_progress": "in progress", "handed_in": "not marked yet",
    "excused": later("excused"),
}  # fmt: skip
#: Which attempt of a learner counts.
COUNTED = {
    "best": "best attempt of each", "last": "last attempt of each",
    "first": "first attempt of each",
}  # fmt: skip
#: In place of a figure of fewer learners than it means anything for.
TOO_FEW = "too few"
#: Rules told at length, and the least share of learners who missed one.
TOLD, LEAST = 8, Fraction(1, 5)
#: The gravest first.
SEVERITIES = ("critical", "major", "minor", "style")


class Called(NamedTuple):
    """A learner as the page names him; ``tag`` is his id, or "" on a page without names."""

    name: str
    tag: str = ""


Names = Callable[[Entry], Called]
Who = tuple[Called, ...]


@dataclass(frozen=True)
class LearnerRow:
    """A learner's line: his domains in order, blank where there is no mark."""

    name: Called
    status: str
    group: str
    total: str
    domains: tuple[tuple[str, bool], ...]
    critical: str
    released: str


@dataclass(frozen=True)
class Missed:
    """A rule or point that many missed: what was mostly said, what it leads to, the practice."""

    title: str
    code: str
    domain: str
    judged: int
    wrong: int
    not_shown: int
    said: str
    why: str
    practice: str
    source: str
    who: Who


@dataclass(frozen=True)
class ErrorRow:
    code: str
    title: str
    practice: str
    source: str
    n: int
    who: Who


@dataclass(frozen=True)
class ItemRow:
    title: str
    code: str
    domain: str
    judged: int
    wrong: int
    not_shown: int
    difficulty: str
    rest: str
    checks: tuple[str, ...]


@dataclass(frozen=True)
class Report:
    """One page."""

    title: str
    facts: tuple[tuple[str, str], ...]
    counts: tuple[tuple[str, int, str], ...]
    ready: Who
    learners: tuple[LearnerRow, ...]
    domains: tuple[str, ...]
    errors: tuple[ErrorRow, ...]
    missed: tuple[Missed, ...]
    misbuilt: tuple[tuple[str, int, Who], ...]
    items: tuple[ItemRow, ...]
    variants: tuple[Dialled, ...]
    carry: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]
    dots: tuple[Dot, ...]
    cut: Fraction | None
    graded: int
    footer: str


def report(f: Figures, now_ms: int, names: Names | None = None) -> Report:
    """Everything the page says."""
    called = names or _name
    by_id = {e.who.id: called(e) for e in f.entries}
    cuts = {e.mark.cut for e in f.graded if e.mark}
    cut = cuts.pop() if len(cuts) == 1 else None
    domains = _domains(f)
    return Report(
        f.assignment.title, tuple(_facts(f, now_ms, cut)), tuple(_counts(f)),
        tuple(by_id[e.who.id] for e in f.ready),
        tuple(_learner(e, called, domains) for e in sorted(f.entries, key=_order)),
        tuple(DOMAINS[d] for d in domains),  # type: ignore[index]
        tuple(
            ErrorRow(c.code, _capital(c.title), c.practice, c.source, len(c.learners),
                     _listed(c.learners, by_id))
            for c in f.critical
        ),
        tuple(_missed(f, by_id)),
        tuple((s, len(p), _listed(p, by_id)) for s, p in f.misbuilt),
        tuple(_item(i, f) for i in f.items), f.variants, tuple(_carry(f)), tuple(_notes(f)),
        tuple(Dot(float(e.mark.total), standing_of(e)) for e in f.graded if e.mark), cut,
        len(f.graded),
        f"{f.assignment.name} · {len(f.entries)} learners · {zones.shown(now_ms, 'UTC')}",
    )  # fmt: skip


def _name(e: Entry) -> Called:
    named = " ".join(word for word in (e.who.given_name, e.who.family_name) if word)
    return Called(named, e.who.learner_id) if named else Called(e.who.learner_id)


def by_code(secret: str) -> Names:
    """Nobody by name: the code of the attempt that counts, and a bare word where there is none."""

    def called(e: Entry) -> Called:
        return Called(code_of(secret, e.attempt.id) if e.attempt is not None else "no attempt")

    return called


def _listed(learners: Sequence[str], by_id: dict[str, Called]) -> Who:
    return tuple(sorted((by_id[p] for p in learners), key=lambda c: c[::-1]))


def _capital(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"


def _facts(f: Figures, now_ms: int, cut: Fraction | None) -> list[tuple[str, str]]:
    a = f.assignment
    rows = [
        ("Assignment", a.name), ("Due", zones.shown(a.due_ms, a.zone)),
        ("As of", zones.shown(now_ms, a.zone)),
        ("Marked", f"{len(f.graded)} of {len(f.entries)} learners, {COUNTED[a.counting]}"),
    ]  # fmt: skip
    if f.graded:
        provisional = any(e.mark and e.mark.body.get("provisional") for e in f.graded)
        told = "not one for all"
        if cut is not None:
            told = f"{floored(cut, cut)} of 100"
            told = f"{floored(cut, cut)} of 100 (provisional)" if provisional else told
        rows.append(("Cut to pass", told))
    if f.mean is not None:
        rows.append(("Mean of totals", f"{shown(f.mean, 1)} of 100, n = {len(f.graded)}"))
    return rows


def _counts(f: Figures) -> list[tuple[str, int, str]]:
    """(words, how many, group) of those with a mark, then of those without where there are any."""
    found = [(WORDS[g], len(getattr(f, g)), g) for g in ("ready", "safe", "unsafe")]
    for status in ("handed_in", "in_progress", "not_started", "excused"):
        count = sum(e.status == status for e in f.waiting)
        if count:
            found.append((WORDS[status], count, "waiting"))
    return found


_GROUPS = ("unsafe", "safe", "ready")


def _order(e: Entry) -> tuple[int, Fraction, str]:
    """Who needs help first: not safe, then not passed, each from the lowest total up."""
    if e.mark is None:
        return len(_GROUPS), Fraction(0), e.who.learner_id
    return _GROUPS.index(standing_of(e)), e.mark.total, e.who.learner_id


def _domains(f: Figures) -> list[str]:
    used = {d["name"] for e in f.graded if e.mark for d in e.mark.body["domains"]}
    return [name for name in DOMAINS if name in used]


def _learner(e: Entry, called: Names, domains: Sequence[str]) -> LearnerRow:
    if e.mark is None:
        blank = tuple(("", True) for _ in domains)
        return LearnerRow(called(e), WORDS[e.status], "waiting", "", blank, "", "")
    own = {d["name"]: (d["shown"], bool(d["above_floor"])) for d in e.mark.body["domains"]}
    group = standing_of(e)
    return LearnerRow(
        called(e), WORDS[group], group, e.mark.shown,
        tuple(own.get(d, (UNDEFINED, True)) for d in domains),
        " ".join(e.mark.critical), term("code", e.released),
    )  # fmt: skip


def _missed(f: Figures, by_id: dict[str, Called]) -> list[Missed]:
    """The most-missed rules that a good part of the class missed, the commonest first."""
    open_ = [i for i in f.items if i.missed and Fraction(len(i.missed), i.judged) >= LEAST]
    open_.sort(key=_gravest)
    return [
        Missed(
            title_of(i), i.code, DOMAINS[i.domain], i.judged, i.wrong, i.not_shown, i.said,  # type: ignore[index]
            whys().codes.get(i.code) or whys().domains[i.domain], i.practice,  # type: ignore[index]
            i.source, _listed(i.missed, by_id),
        )
        for i in open_[:TOLD]
    ]  # fmt: skip


def _gravest(i: Item) -> tuple[Fraction, int, str]:
    """By how many missed it, then by how grave that is."""
    return -Fraction(len(i.missed), i.judged), SEVERITIES.index(i.severity), i.rule


def title_of(i: Item) -> str:
    """An item in words of the trade: a rule of order by the name of its first step."""
    steps = procedure().steps
    ordered = i.code in steps and i.rule.startswith(f"{i.code} before ")
    if not ordered:
        return _capital(i.rule)
    then = i.rule.partition(" before ")[2]
    after = steps[then].title if then in steps else _PLACES.get(then, then)
    return f"{_capital(steps[i.code].title)}, before {after}"


#: What stands for no step: hands going in, a test, power coming back.
_PLACES = {"WORK": "hands go in", "TEST": "the tests", "RESTORE": "power comes back"}


def _item(i: Item, f: Figures) -> ItemRow:
    checks = tuple(flag.sentence for flag in f.flags if flag.subject == i.rule)
    figures = i.figures
    few = figures is not None and i.judged < FEW
    difficulty, rest = (figures.difficulty, figures.rest) if figures else (None, None)
    return ItemRow(
        title_of(i), i.code, i.domain, i.judged, i.wrong, i.not_shown,
        TOO_FEW if few else shown(difficulty, 2), TOO_FEW if few else shown(rest, 2), checks,
    )  # fmt: skip


def _carry(f: Figures) -> list[tuple[str, str]]:
    """How far the figures carry; an interval and n with each, or that there are too few."""
    r = f.reliability
    rows = []
    if r.alpha is not None and r.interval is not None:
        low, high = r.interval
        rows.append((
            "Reliability of the items (alpha)",
            _enough(r.n) or f"{shown(r.alpha, 2)}, 95 % interval {shown(low, 2)} to "
            f"{shown(high, 2)}, n = {r.n} learners, k = {r.k} items",
        ))  # fmt: skip
    if r.sem is not None:
        told = _enough(r.n) or f"{shown(r.sem, 1)} points, n = {r.n}"
        rows.append(("Standard error of a total", told))
    if r.livingston is not None:
        told = _enough(r.n) or f"{shown(r.livingston, 2)}, n = {r.n}"
        rows.append(("Reliability of pass or fail at the cut (Livingston)", told))
    study = f.course.study
    if study is not None:
        few = _enough(f.course.persons)
        over = f"{f.course.persons} learners, {len(f.course.assignments)} assignments"
        absolute, relative = study.absolute(), study.relative()
        rows.append((
            "Over assignments, against a cut (phi)", few or f"{shown(absolute, 2)}, {over}",
        ))  # fmt: skip
        rows.append(("Over assignments, for ranking", few or f"{shown(relative, 2)}, {over}"))
    return rows


def _enough(n: int) -> str:
    """What is told in place of a figure of so few learners; "" where there are enough."""
    return f"too few to say: n = {n} learners of {FEW} at least" if n < FEW else ""


def _notes(f: Figures) -> list[str]:
    told = []
    if f.graded and f.few:
        told.append(
            f"With {len(f.graded)} learners figures of items and of reliability are hardly more "
            f"than chance and are not told: look at what was done. From {FEW} on they begin to "
            "mean something."
        )
    if f.reliability.left_out and f.reliability.alpha is not None:
        told.append(
            f"{f.reliability.left_out} items were judged for some learners only and are left out "
            "of the reliability; a standard error of the total is not told."
        )
    study = f.course.study
    if study is not None and study.set_to_zero:
        told.append(
            f"A variance came out below nothing and is set to 0: {', '.join(study.set_to_zero)}."
        )
    return told


def as_data(r: Report) -> dict[str, Any]:
    """JSON's ``data``."""
    from dataclasses import asdict

    data = asdict(r)
    del data["dots"], data["footer"]
    data["cut"] = float(r.cut) if r.cut is not None else None
    data["variants"] = [
        {"dial": d.dial, "flags": [flag.sentence for flag in d.flags],
         "groups": [
             {"shown": g.shown, "n": g.n, "mean": float(g.mean) if g.n >= GROUP_LEAST else None}
             for g in d.groups
         ]}
        for d in r.variants
    ]  # fmt: skip
    return data
