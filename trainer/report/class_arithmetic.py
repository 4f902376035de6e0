"""From the items of a grade to its domains, its total and its verdict, line by line and exact.

Knows a grade's rows and the rubric it was made by; must know no event and judge nothing anew.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from trainer.assess.marks import DOMAINS
from trainer.assess.rubric import TIERS
from trainer.assess.showing import floored
from trainer.classroom.evidence import Evidence, Line
from trainer.report.cited import Cell, Said, figure
from trainer.report.cited import weight as weight_of

_OF = "of(full-marks; #earned-{0}; #points-{0})"


@dataclass(frozen=True)
class ItemLine:
    """One item: what it was worth, what was credited, what it earned; ``line`` of the rubric."""

    item: Line
    body: Mapping[str, Any]
    pointer: str
    line: str
    weight: Cell
    points: Cell
    share: Cell
    earned: Cell


@dataclass(frozen=True)
class DomainLines:
    """A domain: its weight in the total, its items, what they earned, its score and floor."""

    name: str
    title: str
    pointer: str
    items: tuple[ItemLine, ...]
    weight: Cell
    weights: Cell
    points: Cell
    earned: Cell
    score: Cell
    floor: Cell
    holds: bool


@dataclass(frozen=True)
class Sums:
    """Everything from the first item to the verdict. ``agrees``: the sum is the total kept."""

    domains: tuple[DomainLines, ...]
    weights: Cell
    sum: Cell
    hints: Cell
    time: Cell
    total: Cell
    kept: Cell
    cut: Cell
    reaches: bool
    agrees: bool


def sums(e: Evidence) -> Sums:
    rubric, body = e.rubric["body"], e.grade["body"]
    names = [d["name"] for d in body["domains"]]
    whole = sum((_weight(rubric, n) for n in names), Fraction(0))
    all_ = _sum([f"rubric/domains/{n}/weight" for n in names])
    lines, at = [], 0
    for n, domain in enumerate(body["domains"]):
        count = len(domain["items"])
        lines.append(_domain(e, n, domain, e.items[at : at + count], whole))
        at += count
    got = sum((Fraction(d.earned[0].exact) for d in lines), Fraction(0))
    hints, time = _hints(e), _time(e)
    off = Fraction(hints[0].exact) + Fraction(time[0].exact)
    total, kept, cut = max(Fraction(0), got - off), Fraction(e.grade["total"]), e.mark.cut
    from_cut = f"row/grade/{e.grade['id']}/cut"
    return Sums(
        tuple(lines), weight_of(whole, all_, "weights"),
        figure(got, _sum([f"#earned-{n}" for n in names]), "sum"), hints, time,
        _shown(total, cut, "left(#sum; #hints; #time)", from_cut, "total"),
        _shown(kept, cut, f"row/grade/{e.grade['id']}/total", from_cut, "kept"),
        _shown(cut, cut, from_cut, from_cut, "cut"), kept >= cut, total == kept,
    )  # fmt: skip


def _shown(value: Fraction, edge: Fraction, source: str, against: str, key: str = "") -> Cell:
    """As marks are shown: rounded down, and never up to the edge they lie under."""
    return (Said(floored(value, edge), source, f"shown:{against}", key, str(value)),)


def _domain(
    e: Evidence, n: int, domain: Mapping[str, Any], rows: Sequence[Line], whole: Fraction
) -> DomainLines:
    name, rubric = domain["name"], e.rubric["body"]
    weight = 100 * _weight(rubric, name) / whole
    pointers = [pointer_of(rubric, row) for row in rows]
    weights = [_exact(rubric, p) for p in pointers]
    all_ = sum(weights, Fraction(0))
    items = tuple(
        _item(name, row, body, pointer, own, weight * own / all_, f"domains/{n}/items/{m}")
        for m, (row, body, pointer, own) in enumerate(
            zip(rows, domain["items"], pointers, weights, strict=True)
        )
    )
    earned = sum((Fraction(i.earned[0].exact) for i in items), Fraction(0))
    floor = Fraction(str(rubric["domains"][name]["floor"]))
    score, at = 100 * earned / weight, f"rubric/domains/{name}/floor"
    return DomainLines(
        name, DOMAINS[name], f"rubric/domains/{name}/weight", items,
        weight_of(_weight(rubric, name), f"rubric/domains/{name}/weight"),
        weight_of(all_, _sum([f"rubric/{p}" for p in pointers]), f"weights-{name}"),
        figure(weight, f"of(full-marks; rubric/domains/{name}/weight; #weights)", f"points-{name}"),
        figure(earned, _sum([f"#earned-{row['n']}" for row in rows]), f"earned-{name}"),
        _shown(score, floor, _OF.format(name), at, f"score-{name}"),
        _shown(floor, floor, at, at), score >= floor,
    )  # fmt: skip


def _item(
    domain: str, row: Line, body: Mapping[str, Any], pointer: str, weight: Fraction,
    points: Fraction, place: str,
) -> ItemLine:  # fmt: skip
    n, share = row["n"], Fraction(row["share"])
    credit = f"row/grade_item/{row['id']}/share"
    return ItemLine(
        row, body, place, pointer,
        weight_of(weight, f"rubric/{pointer}"),
        figure(points, f"of(#points-{domain}; rubric/{pointer}; #weights-{domain})", f"points-{n}"),
        weight_of(share, credit),
        figure(points * share, f"product(#points-{n}; {credit})", f"earned-{n}"),
    )  # fmt: skip


def _sum(sources: Sequence[str]) -> str:
    return f"sum({'; '.join(sources)})"


def _weight(rubric: Mapping[str, Any], domain: str) -> Fraction:
    return Fraction(str(rubric["domains"][domain]["weight"]))


def _exact(rubric: Mapping[str, Any], pointer: str) -> Fraction:
    found: Any = rubric
    for part in pointer.split("/"):
        part = unescaped(part)
        found = found[int(part)] if isinstance(found, list) else found[part]
    return Fraction(str(found))


# --- which line of the rubric an item was judged by -----------------------------------------------


def pointer_of(rubric: Mapping[str, Any], item: Line) -> str:
    """The place of an item's weight in the rubric, as a JSON pointer (RFC 6901) without its slash.

    Raises KeyError for an item that no line of this rubric asks for.
    """
    rule, code, domain = item["rule"], item["code"], item["domain"]
    for n, order in enumerate(rubric.get("sequence", ()) if domain == "sequence" else ()):
        if f"{order['first']} before {order['then']}" == rule:
            return f"sequence/{n}/weight"
    if domain == "commissioning" and rule.startswith(("reading: ", "judged: ")):
        return "reading" if rule.startswith("reading") else "judging"
    tables = {"workmanship": ("workmanship", code), "correctness": ("correctness", rule)}
    place, key = tables.get(domain, ("", ""))
    if not place:
        own = domain == "diagnosis" and rule in rubric.get("diagnosis", {})
        place, key = ("diagnosis", rule) if own else (f"checks/{domain}", code)
    found: Any = rubric
    for part in place.split("/"):
        found = found[part]
    found[key]
    return f"{place}/{escaped(key)}"


def escaped(key: str) -> str:
    return key.replace("~", "~0").replace("/", "~1")


def unescaped(key: str) -> str:
    return key.replace("~1", "/").replace("~0", "~")


# --- what hints and time cost ---------------------------------------------------------------------


def _hints(e: Evidence) -> Cell:
    """The prices of the hints that were asked for; as the grade has them where events are gone."""
    prices = e.rubric["body"]["hints"]["points"]
    asked = [event for event in e.events.values() if event.kind == "hint"]
    tiers = [TIERS[int(event.data["tier"]) - 1] for event in asked]
    points = sum((Fraction(str(prices.get(tier, 0))) for tier in tiers), Fraction(0))
    kept = Fraction(repr(e.grade["body"]["hint_points"]))
    if points != kept:
        return figure(kept, f"row/grade/{e.grade['id']}/body/hint_points", "hints")
    paid = [f"rubric/hints/points/{tier}" for tier in tiers if tier in prices]
    return figure(points, _sum(paid), "hints")


def _time(e: Evidence) -> Cell:
    """Points that time cost: twice the allowed time costs all that the rubric sets, less its part.

    As the grade has them where events are gone or another time was allowed.
    """
    most = Fraction(str(e.rubric["body"]["time"]))
    if not most:
        return figure(Fraction(0), "rubric/time", "time")
    kept = e.grade["body"]["time_points"]
    if len(e.events) > 1 and "time_s" in e.events[1].data["found"]:
        found, last = e.events[1].data["found"], e.events[len(e.events)]
        factor = Fraction(str(found.get("accommodation", 1.0)))
        allowed = 1000 * Fraction(str(found["time_s"])) * factor
        points = most * min(Fraction(1), max(Fraction(0), last.at_ms / allowed - 1))
        at = "event/1/data/found/time_s"
        at += "; event/1/data/found/accommodation" if "accommodation" in found else ""
        if float(points) == kept:
            return figure(points, f"over(rubric/time; event/{last.seq}/at; {at})", "time")
    return figure(Fraction(repr(kept)), f"row/grade/{e.grade['id']}/body/time_points", "time")
