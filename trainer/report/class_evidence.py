"""One learner's evidence as a page for an appeal: every number of it with where it is from.

Knows the gathered rows and the arithmetic; judges nothing. Sections follow the questions of an
appeal: what was decided and why, on what, by which rule, what was changed, who knew what when.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from trainer.base.tongue import later
from trainer.classroom.evidence import Evidence, Line
from trainer.report.cited import (
    Cell,
    Facts,
    Lines,
    Paper,
    Part,
    Said,
    Section,
    Table,
    again,
    joined,
    listed,
    phrase,
    plain,
)
from trainer.report.class_arithmetic import DomainLines, ItemLine, Sums, sums, unescaped
from trainer.report.class_record import changes, papers, terms, when
from trainer.report.class_rows import Rows
from trainer.report.timeline import HURTS, acts_of, sober, spelled
from trainer.session.events import ASKED, Event
from trainer.session.text import clock, tell

KIND = "Evidence for one attempt"


def paper(e: Evidence, printed_by: str, printed_ms: int, code: str = "") -> Paper:
    """The page. With ``code`` the learner is only called by it, and his name stands nowhere."""
    r, counted = Rows(e), sums(e)
    sections = [
        Section("why", "How the verdict came about", _verdict(r, counted)),
        *([Section("critical", "Critical errors", tuple(_critical(r)))] if e.criticals else []),
        Section("items", "From items to the total", tuple(_items(r, counted)), _NOTE),
        Section("changes", "What was changed, rated and shown", tuple(changes(r))),
        Section("terms", "The terms and the rubric", tuple(terms(r))),
        Section("when", "Who, when, and what was noticed", tuple(when(r, code))),
        Section("papers", "Digests, keys and signatures", tuple(papers(r))),
        Section("events", "The events that count", (_events(r),), _EVENTS),
    ]
    who = plain(code) if code else r.name()
    return Paper(
        KIND, joined(r.cell("assignment", "title")), Facts(tuple(_facts(r, who))),
        _headline(r, counted), tuple(sections), _end(r, printed_by, printed_ms),
        f"{e.assignment['name']} · {code or e.person['learner_id']} · attempt "
        f"{e.attempt['attempt_digest'][:12]} · grade {e.mark.revision}",
        _status(e),
    )  # fmt: skip


_NOTE = (
    "Weights come from the rubric, credit from the item of the grade. Numbers are exact fractions "
    "and are written rounded down; point at one to read it whole."
)
_EVENTS = "Every event named on these pages, the act it belongs to and what came of that act."


def _status(e: Evidence) -> str:
    if e.mark.verdict == "pass":
        return "Pass"
    return "Not safe yet" if e.mark.critical or not e.grade["body"]["safe"] else "Not passed yet"


def _facts(r: Rows, who: Cell) -> Iterable[tuple[str, Cell]]:
    yield "Learner", who
    yield "Class", joined(r.cell("course", "title" if r.e.course["title"] else "name"))
    yield "Assignment", r.cell("assignment", "name")
    yield (
        "Attempt",
        phrase(
            later("{no!s} of {most!s} allowed"),
            no=r.cell("attempt", "no"),
            most=r.cell("assignment", "attempts"),
        ),
    )
    yield "Handed in", r.moment("attempt", "received_ms")
    by = r.cell("grade", "made_by")
    yield "Marked", phrase(later("{at!s} by {who!s}"), at=r.moment("grade", "made_ms"), who=by)


def _headline(r: Rows, s: Sums) -> Cell:
    """The verdict's numbers; what counts where a total was overridden."""
    total = again(s.total)
    for o in r.e.mark.overrides:
        if o.field == "total":
            against = f"row/grade/{r.e.grade['id']}/cut"
            total = (Said(r.e.mark.shown, f"row/override/{o.id}/new", f"shown:{against}"),)
    text = later("{total!s} of {full!s}, cut {cut!s}")
    if r.e.rubric["body"].get("cut_set") is None:
        text = later("{total!s} of {full!s}, cut {cut!s} (provisional)")
    return phrase(text, total=total, full=(Said("100", "full-marks"),), cut=again(s.cut))


def _verdict(r: Rows, s: Sums) -> tuple[Part, ...]:
    """Every condition of a pass with what was found; all must hold."""
    e, body = r.e, r.e.grade["body"]
    rows = [
        (plain("The total reaches the cut"), again(s.kept), again(s.cut), _holds(s.reaches)),
        *((joined(f"{d.title} reaches its floor"), _percent(again(d.score)), _percent(d.floor),
           _holds(d.holds)) for d in s.domains),
        (plain("No critical error"), _criticals(r), plain("none"), _holds(not e.criticals)),
        (plain("The attempt ended in an allowed way"), r.cell("grade", "ended", "body"),
         plain("no death, no loss of the unit"), _holds(body["ended"] not in ("death", "loss"))),
    ]  # fmt: skip
    told: list[Part] = [
        Table(plain("A pass needs every line"), ("Condition", "Found", "Needed", "Holds"),
              tuple(rows), (1, 2), "conditions"),
    ]  # fmt: skip
    computed = phrase(later("By the rubric: {verdict!s}."), verdict=r.cell("grade", "verdict"))
    lines = [computed]
    if e.mark.overrides:
        lines.append(plain("What counts differs by an override; see what was changed."))
    if not s.agrees:
        lines.append(plain("The items do not add up to the total kept: do not rely on this mark."))
    return (*told, Lines(tuple(lines)))


def _holds(yes: bool) -> Cell:
    return (Said(later("holds") if yes else later("does not hold")),)


def _percent(cell: Cell) -> Cell:
    return joined(cell, " %")


def _criticals(r: Rows) -> Cell:
    rows = {c["code"]: c for c in r.e.criticals}
    if not rows:
        return plain("none")
    return listed([(r.said("critical_event", row, "code"),) for row in rows.values()])


def _critical(r: Rows) -> Iterable[Part]:
    for n, c in enumerate(r.e.grade["body"]["critical"]):
        at = f"critical/{n}"
        facts = [
            ("What", joined(r.body(f"{at}/code"), " ", r.body(f"{at}/title"))),
            ("What happened", r.body(f"{at}/sentence")),
            *([("What it did", r.body(f"{at}/consequence"))] if c["consequence"] else []),
            ("The practice", r.body(f"{at}/practice")),
            ("Written in", r.body(f"{at}/source")),
            ("Rubric line", _named(r, f"critical/{_place(r, c['code'])}")),
            ("Events", r.events(c["events"])),
        ]
        yield Facts(tuple(facts))


def _place(r: Rows, code: str) -> int:
    return list(r.e.rubric["body"]["critical"]).index(code)


def _named(r: Rows, pointer: str) -> Cell:
    return (Said(placed(pointer), f"place/{pointer}", "place"),)


def placed(pointer: str) -> str:
    """A place in the rubric as a person counts: 'sequence/4/weight' is its fifth line."""
    parts = [unescaped(part) for part in pointer.removesuffix("/weight").split("/")]
    return " ".join(str(int(part) + 1) if part.isdigit() else part for part in parts)


def _items(r: Rows, s: Sums) -> Iterable[Part]:
    for d in s.domains:
        yield _domain(r, d)
    yield _totals(s)


def _domain(r: Rows, d: DomainLines) -> Table:
    foot = (
        ((), plain("All items"), (), d.weights, d.points, (), d.earned),
        ((), phrase(later("Score: earned of worth, floor {floor!s} %"), floor=d.floor),
         (), (), (), (), _percent(d.score)),
    )  # fmt: skip
    return Table(
        phrase(later("{domain!s}: weight {weight!s} in the rubric, {points!s} of the total"),
               domain=d.title, weight=d.weight, points=again(d.points)),
        ("Judged", "Item and evidence", "Rubric line", "Weight", "Worth", "Credit", "Earned"),
        tuple(_item(r, i) for i in d.items), (3, 4, 5, 6), "sums", foot,
    )  # fmt: skip


def _item(r: Rows, i: ItemLine) -> tuple[Cell, ...]:
    n = i.item
    named = " before " in n["rule"] or not n["code"]
    code = () if named else joined((r.said("grade_item", n, "code"),), " ")
    said = joined(code, (r.said("grade_item", n, "rule"),), ": ", r.body(f"{i.pointer}/sentence"))
    seen = i.body["events"]
    said = (
        phrase(later("{said!s} Event {events!s}."), said=said, events=r.events(seen))
        if seen
        else said
    )
    outcome = (r.said("grade_item", n, "outcome"),)
    return (outcome, said, _named(r, i.line), i.weight, i.points, i.share, i.earned)


def _totals(s: Sums) -> Table:
    rows = [(plain(d.title), d.weight, again(d.points), again(d.earned)) for d in s.domains]
    foot = (
        (plain("Together"), s.weights, plain(""), s.sum),
        (plain("Off for hints"), plain(""), plain(""), s.hints),
        (plain("Off for time"), plain(""), plain(""), s.time),
        (plain("Total, never below nothing"), plain(""), plain(""), s.total),
        (plain("Total kept in the grade"), plain(""), plain(""), s.kept),
        (plain("Cut to pass"), plain(""), plain(""), s.cut),
    )
    return Table(
        plain("From domains to the total"), ("Domain", "Weight", "Worth", "Earned"), tuple(rows),
        (1, 2, 3), "totals", foot,
    )  # fmt: skip


# --- events ---------------------------------------------------------------------------------------


def words_of(event: Event) -> str:
    """An event in one sentence, the act as it was asked for and results as the bench told them."""
    if event.kind == ASKED:
        return spelled(event.data)
    if event.kind in HURTS:
        return sober(event)
    return " ".join(tell([event])).removeprefix(f"[{event.seq}] ") or f"({event.kind})"


def _events(r: Rows) -> Part:
    cited = _cited(r.e.grade["body"])
    if not r.e.events:
        return Lines((plain("The events were erased at the person's wish; the marks stay."),))
    rows = []
    for asked, results in acts_of(list(r.e.events.values())):
        if not cited & {asked.seq, *(e.seq for e in results)}:
            continue
        for event in (asked, *results):
            if event is asked or event.seq in cited or tell([event]):
                rows.append(_event(event, event is asked))
    first = r.e.events[1]
    if first.seq in cited:
        rows.insert(0, _event(first, True))
    heads = ("Event", "Bench time", "What was done, and what came of it")
    return Table(plain("In order"), heads, tuple(rows), (0,), "log")


def _event(event: Event, act: bool) -> tuple[Cell, ...]:
    at = f"event/{event.seq}"
    said = (Said(words_of(event), f"{at}/told"),)
    time = (Said(clock(event.at_ms), f"{at}/at", "clock"),)
    words = said if act else joined("→ ", said)
    return ((Said(str(event.seq), f"{at}/seq"),), time, words)


def _cited(body: Mapping[str, Any]) -> set[int]:
    found: set[int] = set()
    for domain in body["domains"]:
        for item in domain["items"]:
            found |= set(item["events"])
    for one in (*body["critical"], *body["notes"]):
        found |= set(one["events"])
    return found


def _end(r: Rows, printed_by: str, printed_ms: int) -> Cell:
    at = Said(r.at(printed_ms), "printed/now", "moment")
    who = Said(printed_by, "printed/who")
    digest: Line = r.e.attempt
    short = Said(
        digest["attempt_digest"][:12], r.source("attempt", digest, "attempt_digest"), "short"
    )
    return phrase(
        later("Printed {at!s} by {who!s}. Attempt {digest!s}."),
        at=(at,),
        who=(who,),
        digest=(short,),
    )
