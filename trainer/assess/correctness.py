"""Circuit correctness: the wiring as it was left and the parts that were fitted.

A job is credited with what it changed: wiring that was right when it was found earns nothing by
being left alone. Knows the comparison of wiring; must know no solver.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction

from trainer.assess.ends import made_ends
from trainer.assess.job import Job
from trainer.assess.judged import Judged, evidence, met, not_shown, partly
from trainer.assess.site import kind_of
from trainer.assess.story import Story
from trainer.assess.wiring import Compared
from trainer.nets.wires import Wire, wires_in
from trainer.parts.conductors import table
from trainer.unit.catalogue import type_of

#: Ohms a conductor may have more than the one wanted: what a table rounds off.
THINNER = 1.05


def corrected(
    story: Story, job: Job, found: Compared, left: Compared, works_otherwise: Fraction
) -> Iterator[tuple[str, Judged]]:
    """The items of correctness, by name; ``works_otherwise`` is the share for level 4."""
    handled = made_ends(story)
    yield "wiring", _wiring(story, found, left, bool(handled), works_otherwise)
    for name, judged in (("parts", _parts(story, job)), ("gauges", _gauges(story, job))):
        if judged is not None:
            yield name, judged


def _wiring(
    story: Story, found: Compared, left: Compared, handled: bool, works_otherwise: Fraction
) -> Judged:
    if not handled and left.share == found.share:
        told = ["No conductor was handled."]
        told += [] if left.share == 1 else ["It was left as it was found:", left.sentence]
        return not_shown(" ".join(told))
    right_before = found.share == 1
    share = _kept(story, left) if right_before else _gained(found.share, left.share)
    if left.comparison.level == 4:
        share = works_otherwise
    rows = story.acts("land")[-1:]
    outcome = "met" if share == 1 else "not met"
    return Judged(outcome, share, left.sentence, evidence(rows))  # type: ignore[arg-type]


def _kept(story: Story, left: Compared) -> Fraction:
    """Of wiring that was right when found: the share of what was handled that is right again."""
    handled = len({end.tag for end in made_ends(story)})
    distance = left.comparison.distance
    wrong = max(len(distance.crossing), distance.missing)
    return max(Fraction(0), 1 - Fraction(wrong, max(handled, 1)))


def _gained(before: Fraction, after: Fraction) -> Fraction:
    """What was made good of what was missing, 0 to 1."""
    return max(Fraction(0), (after - before) / (1 - before))


def _gauges(story: Story, job: Job) -> Judged | None:
    """Conductors off the reel are no thinner than what is wanted where they run."""
    new = {t for t, c in story.last.conductors.items() if not c["factory"]}
    wires = [w for w in wires_in(story.last.conductors) if w.tag in new and w.whole]
    if not wires:
        return None
    thin = [w for w in wires if _ohms(w.gauge) > THINNER * max(_ohms(g) for g in _wanted(w, job))]
    rows = [t for t in story.acts("take wire") if str(t.asked["wire"]) in {w.tag for w in wires}]
    if not thin:
        return met("New conductors are thick enough for where they run.", *rows)
    told = "; ".join(f"wire {w.tag} is {w.gauge}, wanted is {_wanted(w, job)[0]}" for w in thin)
    return partly(len(wires) - len(thin), len(wires), f"Too thin: {told}.", *rows)


def _wanted(wire: Wire, job: Job) -> list[str]:
    """The gauge wanted between its terminals; else those wanted at either of them."""
    exact = job.gauges.get(frozenset((wire.a, wire.b)))
    if exact:
        return [exact]
    near = [g for pair, g in job.gauges.items() if pair & {wire.a, wire.b}]
    return sorted(near, key=_ohms, reverse=True) or [wire.gauge]


def _ohms(gauge: str) -> float:
    return table().conductors[gauge].ohm_per_kft


def _parts(story: Story, job: Job) -> Judged | None:
    """Types of the parts that the job wants changed, and nothing else changed to a wrong one."""
    last = {name: part["type"] for name, part in story.last.parts.items()}
    first = {name: part["type"] for name, part in story.first.parts.items()}
    best = min((_wrong(wanted, first, last) for wanted in job.wanted_types()), key=len)
    concerned = {n for wanted in job.wanted_types() for n in _differs(wanted, first)}
    concerned |= _differs(last, first)
    if not concerned:
        return None
    rows = [*story.acts("fit"), *story.acts("mount"), *story.acts("take down")]
    if not rows:
        return not_shown("No part was fitted.")
    if not best:
        return met("The parts are those that are wanted.", *rows)
    said = "; ".join(best.values())
    good = max(len(concerned) - len(best), 0)
    return partly(good, max(len(concerned), len(best)), f"{said}.", *rows)


def _differs(one: Mapping[str, str], other: Mapping[str, str]) -> set[str]:
    return {n for n in {*one, *other} if one.get(n) != other.get(n)}


def _wrong(
    wanted: Mapping[str, str], first: Mapping[str, str], last: Mapping[str, str]
) -> dict[str, str]:
    """Name of a part -> what is wrong with it; a part by another name counts by its type."""
    spare = [last[n] for n in last if n not in wanted]
    told = {}
    for there, should in _instead(wanted, last):
        spare.remove(last[there])
        fitted, asked = _printed(last[there]), _printed(wanted[should])
        told[should] = f"{there} is {fitted}, wanted is {should}, {asked}"
        wanted = {n: t for n, t in wanted.items() if n != should}
        last = {n: t for n, t in last.items() if n != there}
    for name in sorted(_differs(wanted, last)):
        if name in wanted and wanted[name] in spare:
            spare.remove(wanted[name])
            continue
        if name not in wanted and last[name] not in spare:
            continue
        told[name] = f"{name} is {_printed(last.get(name))}, wanted is {_printed(wanted.get(name))}"
    return told


def _instead(wanted: Mapping[str, str], last: Mapping[str, str]) -> list[tuple[str, str]]:
    """(part that is there, part of its kind that was wanted): one wrong choice, not two."""
    extra = [n for n in last if n not in wanted]
    missing = [n for n in wanted if n not in last and wanted[n] not in last.values()]
    pairs = []
    for name in missing:
        alike = [n for n in extra if kind_of(last[n]) == kind_of(wanted[name])]
        if alike:
            extra.remove(alike[0])
            pairs.append((alike[0], name))
    return pairs


def _printed(type_name: str | None) -> str:
    """What is printed on a type, as a person reads it."""
    if type_name is None:
        return "not there"
    return type_of(type_name).printed.partition("\n")[0] or type_name
