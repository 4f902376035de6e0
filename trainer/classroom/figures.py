"""Statistics of a class on one assignment: who is ready, what was missed, how far figures carry.

One attempt of each learner, the one that counts. Every figure is exact where it can be and None
where it is undefined. Knows grades and their items; must know no page.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from sqlalchemy import Connection, Row, select

from trainer.classroom.gradebook import GRADED, Entry, assignments_of, entries
from trainer.classroom.variants_met import Dialled, variants_met
from trainer.standards import flags, reliability
from trainer.standards.exact import correlation, mean, total
from trainer.standards.generalizability import Generalizability, generalizability
from trainer.standards.items import ItemFigures
from trainer.store import tables as t

#: Learners below which a figure of items or of reliability says nothing. Of a class of twelve the
#: interval and n are printed with it, or nothing at all (assessment reference, section 1.7); at its
#: n = 8 the interval of the worked matrix is -0.237 to 0.906, which is no alpha in particular.
FEW = 12


@dataclass(frozen=True)
class Judged:
    """One item of one learner's grade."""

    points: Fraction
    share: Fraction
    outcome: str
    sentence: str

    @property
    def earned(self) -> Fraction:
        return self.points * self.share


@dataclass(frozen=True)
class Item:
    """An item over all learners it was judged for. ``said`` is what was most often said of a miss.

    ``figures`` is None for a line of the rubric that no attempt of this class triggered.
    """

    rule: str
    code: str
    domain: str
    judged: int
    missed: tuple[str, ...]
    not_shown: int
    said: str
    practice: str
    source: str
    severity: str
    figures: ItemFigures | None

    @property
    def wrong(self) -> int:
        """How many took it and did not meet it; the rest of the missed showed nothing."""
        return len(self.missed) - self.not_shown


@dataclass(frozen=True)
class CriticalError:
    """A critical error with the learners (by person id) who made it."""

    code: str
    title: str
    practice: str
    source: str
    learners: tuple[str, ...]


@dataclass(frozen=True)
class Reliability:
    """Of the ``k`` items judged for all ``n`` learners; ``left_out`` items were not."""

    n: int
    k: int
    left_out: int
    alpha: Fraction | None
    interval: tuple[float, float] | None
    sem: float | None
    livingston: Fraction | None


@dataclass(frozen=True)
class Course:
    """Persons by assignments of the class, for generalizability; None where there is no table."""

    assignments: tuple[str, ...]
    persons: int
    study: Generalizability | None


@dataclass(frozen=True)
class Figures:
    """``ready``, ``unsafe`` and ``safe`` part those with a mark; ``waiting`` have none."""

    assignment: Row[Any]
    entries: tuple[Entry, ...]
    ready: tuple[Entry, ...]
    unsafe: tuple[Entry, ...]
    safe: tuple[Entry, ...]
    waiting: tuple[Entry, ...]
    critical: tuple[CriticalError, ...]
    items: tuple[Item, ...]
    misbuilt: tuple[tuple[str, tuple[str, ...]], ...]
    mean: Fraction | None
    reliability: Reliability
    flags: tuple[flags.Flag, ...]
    variants: tuple[Dialled, ...]
    course: Course

    @property
    def graded(self) -> tuple[Entry, ...]:
        return tuple(e for e in self.entries if e.status == GRADED)

    @property
    def few(self) -> bool:
        return len(self.graded) < FEW


def figures(connection: Connection, assignment: Row[Any], now_ms: int) -> Figures:
    """Everything that can be said of a class on an assignment."""
    book = entries(connection, assignment, now_ms)
    graded = [e for e in book if e.mark is not None]
    cells = {e.who.id: _cells(connection, e) for e in graded}
    rubric = connection.execute(
        select(t.rubric.c.body).where(t.rubric.c.id == assignment.rubric_id)
    ).scalar_one()
    items = items_of(cells, _practice(graded), lines_of(rubric))
    return Figures(
        assignment, tuple(book),
        ready=tuple(e for e in graded if standing_of(e) == "ready"),
        unsafe=tuple(e for e in graded if standing_of(e) == "unsafe"),
        safe=tuple(e for e in graded if standing_of(e) == "safe"),
        waiting=tuple(e for e in book if e.mark is None),
        critical=tuple(_criticals(graded)), items=tuple(items), misbuilt=tuple(_misbuilt(graded)),
        mean=mean([e.mark.total for e in graded if e.mark]) if graded else None,
        reliability=reliability_of(cells, _cut(graded)),
        flags=tuple(_flags(items)),
        variants=tuple(variants_met(connection, assignment, graded)),
        course=_course(connection, assignment, now_ms),
    )  # fmt: skip


def _flags(items: Sequence[Item]) -> list[flags.Flag]:
    """Of items judged for enough learners; that a line was never triggered can always be said."""
    told = [i for i in items if i.figures is None or i.judged >= FEW]
    return flags.item_flags([i.rule for i in told], [i.figures for i in told])


def standing_of(entry: Entry) -> str:
    """ready: passed; unsafe: a critical error or too little shown to be safe; safe: neither."""
    mark = entry.mark
    assert mark is not None
    if mark.verdict == "pass":
        return "ready"
    return "unsafe" if mark.critical or not mark.body.get("safe", False) else "safe"


def _cut(graded: Sequence[Entry]) -> Fraction | None:
    cuts = {e.mark.cut for e in graded if e.mark}
    return cuts.pop() if len(cuts) == 1 else None


# --- items ----------------------------------------------------------------------------------------

#: Domain, rule and code: what makes items of two learners the same item.
Key = tuple[str, str, str]
Cells = Mapping[str, Mapping[Key, Judged]]


def _cells(connection: Connection, entry: Entry) -> dict[Key, Judged]:
    """The items of the grade that counts, with what the mark said of each."""
    assert entry.mark is not None
    said = {
        (d["name"], i["rule"], i["code"]): i["sentence"]
        for d in entry.mark.body["domains"]
        for i in d["items"]
    }
    g = t.grade_item.c
    rows = select(t.grade_item).where(g.grade_id == entry.mark.grade_id).order_by(g.n)
    found = {}
    for row in connection.execute(rows):
        key = (row.domain, row.rule, row.code)
        share = Fraction(row.share)
        found[key] = Judged(Fraction(row.points), share, row.outcome, said.get(key, ""))
    return found


#: What should have been done, where it is written, and how grave it is to miss it.
Words = tuple[str, str, str]


def _practice(graded: Iterable[Entry]) -> dict[Key, Words]:
    return {
        (d["name"], i["rule"], i["code"]): (i["practice"], i["source"], i["severity"])
        for e in graded
        if e.mark
        for d in e.mark.body["domains"]
        for i in d["items"]
    }


def lines_of(rubric: Mapping[str, Any]) -> list[Key]:
    """The lines of order and of tables; a line without weight is none."""
    found: list[Key] = [
        ("sequence", f"{o['first']} before {o['then']}", o["first"])
        for o in rubric.get("sequence", ())
        if Fraction(str(o["weight"]))
    ]
    return found


def items_of(cells: Cells, practice: Mapping[Key, Words], lines: Sequence[Key]) -> list[Item]:
    """Every item judged for anybody, then lines of the rubric judged for nobody."""
    keys = list(dict.fromkeys(key for own in cells.values() for key in own))
    totals = {p: total([j.earned for j in own.values()]) for p, own in cells.items() if own}
    found = [_item(key, cells, totals, practice) for key in keys]
    never = [key for key in lines if key not in keys] if cells else []
    blank = [
        Item(rule, code, domain, 0, (), 0, "", "", "", "minor", None)
        for domain, rule, code in never
    ]
    return found + blank


def _item(
    key: Key, cells: Cells, totals: Mapping[str, Fraction],
    practice: Mapping[Key, Words],
) -> Item:  # fmt: skip
    domain, rule, code = key
    own = {p: c[key] for p, c in cells.items() if key in c}
    missed = tuple(p for p, j in own.items() if j.share < 1)
    said = Counter(own[p].sentence for p in missed)
    shares = [j.share for j in own.values()]
    rest = correlation(shares, [totals[p] - j.earned for p, j in own.items()])
    whole = correlation(shares, [totals[p] for p in own])
    figures = ItemFigures(mean(shares), rest, whole, None)
    words = practice.get(key, ("", "", "minor"))
    return Item(
        rule, code, domain, len(own), missed, sum(j.outcome == "not shown" for j in own.values()),
        said.most_common(1)[0][0] if said else "", *words, figures,
    )  # fmt: skip


def reliability_of(cells: Cells, cut: Fraction | None) -> Reliability:
    """Alpha with its interval over the items judged for everybody.

    SEM and Livingston's coefficient are in points of the total, and stand only where no item had to
    be left out.
    """
    keys = list(dict.fromkeys(key for own in cells.values() for key in own))
    common = [key for key in keys if all(key in own for own in cells.values())]
    left = len(keys) - len(common)
    rows = [[own[key].earned for key in common] for own in cells.values()]
    if len(rows) < 2 or len(common) < 2:
        return Reliability(len(rows), len(common), left, None, None, None, None)
    whole = not left
    return Reliability(
        len(rows), len(common), left, reliability.alpha(rows), reliability.alpha_interval(rows),
        reliability.standard_error_of_measurement(rows) if whole else None,
        reliability.livingston(rows, cut) if whole and cut is not None else None,
    )  # fmt: skip


# --- what went wrong ------------------------------------------------------------------------------


def _criticals(graded: Iterable[Entry]) -> Iterable[CriticalError]:
    """Critical errors that count, the commonest first."""
    told: dict[str, Mapping[str, Any]] = {}
    who: defaultdict[str, list[str]] = defaultdict(list)
    for e in graded:
        assert e.mark is not None
        told |= {c["code"]: c for c in e.mark.body["critical"]}
        for code in e.mark.critical:
            who[code].append(e.who.id)
    for code, learners in sorted(who.items(), key=lambda item: (-len(item[1]), item[0])):
        c = told.get(code, {})
        yield CriticalError(
            code, str(c.get("title", "")), str(c.get("practice", "")), str(c.get("source", "")),
            tuple(learners),
        )  # fmt: skip


def _misbuilt(graded: Iterable[Entry]) -> list[tuple[str, tuple[str, ...]]]:
    """What the assessor said of wiring that is not the diagram's, with who built it."""
    who: defaultdict[str, list[str]] = defaultdict(list)
    for e in graded:
        assert e.mark is not None
        for sentence in dict.fromkeys(e.mark.body.get("wiring", {}).get("sentences", ())):
            who[sentence].append(e.who.id)
    return sorted(((s, tuple(p)) for s, p in who.items()), key=lambda row: (-len(row[1]), row[0]))


# --- over several assignments ---------------------------------------------------------------------


def _course(connection: Connection, assignment: Row[Any], now_ms: int) -> Course:
    """Totals of those who have a mark in every assignment of the class that has been marked."""
    books = {
        row.name: {e.who.id: e.mark.total for e in entries(connection, row, now_ms) if e.mark}
        for row in assignments_of(connection, assignment.course_id)
    }
    used = {name: marks for name, marks in books.items() if marks}
    everyone = set.intersection(*(set(m) for m in used.values())) if used else set()
    rows = [[marks[p] for marks in used.values()] for p in sorted(everyone)]
    study = generalizability(rows) if len(rows) > 1 and len(used) > 1 else None
    return Course(tuple(used), len(rows), study)
