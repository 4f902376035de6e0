"""Safe order judged by what was still valid at each moment, not by one list of steps.

A trail is what happened in order: steps taken, and resets that end the validity of some. Any
order that the rules allow scores full. Knows rules and a trail; must know no event of a bench.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, NamedTuple

from trainer.assess.marks import Outcome

#: gate: both must have happened. before: as gate, left out when the first never happened.
#: order: judged only when both happened. guard: judged only when the second happened.
Kind = Literal["gate", "before", "order", "guard"]


class Moment(NamedTuple):
    """A step taken; ``seq`` is the event it came from."""

    step: str
    seq: int
    at_ms: int


class Reset(NamedTuple):
    """The end of the validity of ``steps``, and what ended it in words."""

    steps: frozenset[str]
    seq: int
    at_ms: int
    why: str


Trail = Sequence[Moment | Reset]


@dataclass(frozen=True)
class Rule:
    """``first`` must be valid at every occurrence of ``then``."""

    first: str
    then: str
    weight: Fraction = Fraction(1)
    kind: Kind = "gate"

    @property
    def name(self) -> str:
        return f"{self.first} before {self.then}"


@dataclass(frozen=True)
class Judged:
    """A rule with its outcome, None where it is left out.

    ``broken`` is the first occurrence of ``then`` at which ``first`` was not valid, and
    ``reset`` what had ended it, if it had ever been taken.
    """

    rule: Rule
    outcome: Outcome | None
    firsts: tuple[Moment, ...]
    thens: tuple[Moment, ...]
    broken: Moment | None = None
    reset: Reset | None = None


def judge(rules: Iterable[Rule], trail: Trail, given: frozenset[str] = frozenset()) -> list[Judged]:
    """Every rule on one trail; linear in the trail for each rule's pair of steps.

    Steps that were ``given`` as done hold until a reset ends them: until then their rules are
    left out, for nobody is credited with what was handed to him.
    """
    places: dict[str, list[int]] = {}
    resets: dict[str, list[int]] = {}
    for n, row in enumerate(trail):
        if isinstance(row, Moment):
            places.setdefault(row.step, []).append(n)
        else:
            for step in row.steps:
                resets.setdefault(step, []).append(n)
    found = []
    for rule in rules:
        if rule.then in given and rule.then not in places:
            found.append(Judged(rule, None, (), ()))
        else:
            found.append(_one(rule, trail, places, resets, rule.first in given))
    return found


def _one(
    rule: Rule,
    trail: Trail,
    places: Mapping[str, list[int]],
    resets: Mapping[str, list[int]],
    given: bool,
) -> Judged:
    here, there = places.get(rule.first, []), places.get(rule.then, [])
    firsts, thens = _moments(trail, here), _moments(trail, there)
    if _left_out(rule.kind, bool(firsts), bool(thens), given):
        return Judged(rule, None, firsts, thens)
    if not thens:
        return Judged(rule, "not shown", firsts, thens)
    broken, ended = _first_broken(here, there, resets.get(rule.first, []), given)
    if broken is None:
        return Judged(rule, None if given else "met", firsts, thens)
    reset = None if ended is None else trail[ended]
    assert reset is None or isinstance(reset, Reset)
    return Judged(rule, "not met", firsts, thens, _moments(trail, [broken])[0], reset)


def _moments(trail: Trail, where: Sequence[int]) -> tuple[Moment, ...]:
    return tuple(row for n in where if isinstance(row := trail[n], Moment))


def _left_out(kind: Kind, has_first: bool, has_then: bool, given: bool) -> bool:
    if given and not has_then:
        return True
    match kind:
        case "before":
            return not has_first and not given
        case "order":
            return not ((has_first or given) and has_then)
        case "guard":
            return not has_then
    return False


def _first_broken(
    firsts: Sequence[int], thens: Sequence[int], resets: Sequence[int], given: bool
) -> tuple[int | None, int | None]:
    """(place of the first occurrence without a valid first step, place of the reset, if any)."""
    never = -2
    latest, ended, f, r = (-1 if given else never), never, 0, 0
    for then in thens:
        while f < len(firsts) and firsts[f] < then:
            latest, f = firsts[f], f + 1
        while r < len(resets) and resets[r] < then:
            ended, r = resets[r], r + 1
        if latest == never or ended > latest:
            return then, ended if never < latest < ended else None
    return None, None


def score(judged: Iterable[Judged]) -> Fraction | None:
    """Weight of rules met over weight of rules that count; None when none counts."""
    counted = [j for j in judged if j.outcome is not None]
    whole = sum((j.rule.weight for j in counted), Fraction(0))
    if not whole:
        return None
    return sum((j.rule.weight for j in counted if j.outcome == "met"), Fraction(0)) / whole
