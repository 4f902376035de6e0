"""What is wrong with a rubric, and what an author should know of one that is right.

Faults are told with the file's other faults: unknown codes, sums, rings. Remarks are no faults:
rules that say nothing new, steps charged twice, how many orders are left free. Knows plain data
and codes; must know no attempt.
"""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

from trainer.assess import orders
from trainer.assess.procedure import procedure
from trainer.base.errors import Misfit, quoted

if TYPE_CHECKING:
    from trainer.assess.rubric import Rubric

#: Checks of a diagnosis and of a circuit, by name.
DIAGNOSIS = (
    "named", "before repair", "two readings", "separates", "meanings", "one commitment",
    "no needless part",
)  # fmt: skip
CORRECTNESS = ("wiring", "parts", "gauges")


def misfits(data: Any) -> list[Misfit]:
    """Faults of fit in a rubric's plain data."""
    if not isinstance(data, dict):
        return []
    return [*_sum(data), *_sequence(data), *_named(data)]


def _sum(data: dict[str, Any]) -> list[Misfit]:
    domains = data.get("domains")
    if not isinstance(domains, dict):
        return []
    try:
        weights = [Fraction(str(d["weight"])) for d in domains.values()]
    except (KeyError, TypeError, ValueError, ZeroDivisionError):
        return []
    if sum(weights) == 100:
        return []
    return [Misfit(("domains",), f"the weights sum to {float(sum(weights)):g}", "a sum of 100")]


def _sequence(data: dict[str, Any]) -> list[Misfit]:
    from trainer.assess.story import MOMENTS

    table = procedure()
    known = [*table.steps, *table.anchors]
    found, arrows, seen = [], [], set()
    rows = data.get("sequence")
    for n, row in enumerate(rows if isinstance(rows, list) else []):
        if not isinstance(row, dict):
            continue
        for key in ("first", "then"):
            if row.get(key) not in known:
                what = f"there is no step {quoted(row.get(key))}"
                found.append(Misfit(("sequence", n, key), what, _near(row.get(key), known)))
            elif row.get(key) not in MOMENTS:
                what = f"{row.get(key)} is judged once at the end and has no moment in an order"
                found.append(Misfit(("sequence", n, key), what, "a check under checks"))
        arrow = (str(row.get("first")), str(row.get("then")))
        if arrow in seen:
            found.append(Misfit(("sequence", n), f"{arrow[0]} before {arrow[1]} stands twice"))
        seen.add(arrow)
        arrows.append(arrow)
    ring = orders.cycle(arrows)
    if ring:
        what = f"these steps wait for one another: {' before '.join(ring)}"
        found.append(Misfit(("sequence",), what, "an order that can be done"))
    return found


def _named(data: dict[str, Any]) -> list[Misfit]:
    """Codes and checks that nothing knows; a check that cannot be reached."""
    from trainer.assess.checks import CHECKS

    table = procedure()
    found = []
    for code in _strings(data.get("critical")):
        if code not in table.critical:
            found.append(_unknown(("critical",), "critical error", code, list(table.critical)))
    checks = data.get("checks")
    for domain, weights in checks.items() if isinstance(checks, dict) else ():
        for code in weights if isinstance(weights, dict) else ():
            if code not in CHECKS:
                found.append(_unknown(("checks", domain, code), "check", code, list(CHECKS)))
    tables = (
        ("workmanship", list(table.workmanship)),
        ("diagnosis", list(DIAGNOSIS)),
        ("correctness", list(CORRECTNESS)),
    )
    for key, known in tables:
        given = data.get(key)
        for code in given if isinstance(given, dict) else ():
            if code not in known:
                found.append(_unknown((key, code), "item", code, known))
    return [*found, *_unreachable(data)]


def _unreachable(data: dict[str, Any]) -> list[Misfit]:
    """Items in a domain that weighs nothing or is not there can never count."""
    domains = data.get("domains")
    if not isinstance(domains, dict):
        return []
    weighs = {
        name
        for name, d in domains.items()
        if isinstance(d, dict) and d.get("weight") not in (0, "0", None)
    }
    has = ("sequence", "correctness", "workmanship", "diagnosis")
    found = [
        Misfit(
            (key,), f"these items can never count: {key} weighs nothing", "a weight, or no items"
        )
        for key in has
        if data.get(key) and key not in weighs
    ]
    checks = data.get("checks")
    for domain, given in checks.items() if isinstance(checks, dict) else ():
        if given and domain not in weighs:
            what = f"these checks can never count: {domain} weighs nothing"
            found.append(Misfit(("checks", domain), what, "a weight, or no checks"))
    return found


def _unknown(path: tuple[str | int, ...], what: str, code: Any, known: list[str]) -> Misfit:
    return Misfit(path, f"there is no {what} {quoted(code)}", _near(code, known))


def _near(code: Any, known: list[str]) -> str:
    from difflib import get_close_matches

    near = get_close_matches(str(code), known, n=3)
    return f"one of {', '.join(near or known)}"


def _strings(given: Any) -> list[str]:
    return [g for g in given if isinstance(g, str)] if isinstance(given, list) else []


def remarks(rubric: Rubric) -> list[str]:
    """What an author should know: freedom left, rules implied, steps charged more than once."""
    rules = rubric.rules
    arrows = [(r.first, r.then) for r in rules]
    ways = orders.count(arrows)
    steps = {s for arrow in arrows for s in arrow}
    counted = f"{ways:,}" if ways is not None else "more than can be counted"
    told = [f"{len(arrows)} rules on {len(steps)} steps leave {counted} legal orders"]
    weight = {(r.first, r.then): r.weight for r in rules}
    told += [
        f"{a} before {b} follows from other rules"
        for a, b in orders.implied(arrows)
        if all(weight[(a, b)] == weight[o] for o in arrows if o[0] == a or o[1] == b)
    ]
    gates: dict[str, int] = {}
    for rule in rules:
        if rule.kind == "gate":
            gates[rule.first] = gates.get(rule.first, 0) + 1
    told += [f"a missed {step} is charged {n} times" for step, n in gates.items() if n > 1]
    return told
