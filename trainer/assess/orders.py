"""Orders that a set of precedence rules allows: cycles, how many orders, the longest kept part.

Pure graph work on small sets of steps. Knows steps and pairs; must know no weight.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from math import factorial

#: Joined steps up to which legal orders are counted; above it the count is left out.
COUNTED_MOST = 18
Arrow = tuple[str, str]


def cycle(arrows: Iterable[Arrow]) -> list[str]:
    """Steps that wait for one another in a ring, the first again at the end; [] if none do."""
    after: dict[str, list[str]] = {}
    for a, b in arrows:
        after.setdefault(a, []).append(b)
    done: set[str] = set()
    for start in after:
        found = _ring(start, after, done)
        if found:
            return found
    return []


def _ring(start: str, after: Mapping[str, Sequence[str]], done: set[str]) -> list[str]:
    path: list[str] = []
    stack = [(start, False)]
    while stack:
        step, leaving = stack.pop()
        if leaving:
            path.pop()
            done.add(step)
        elif step in path:
            return [*path[path.index(step) :], step]
        elif step not in done:
            path.append(step)
            stack.append((step, True))
            stack += [(later, False) for later in after.get(step, ())]
    return []


def closure(arrows: Iterable[Arrow]) -> frozenset[Arrow]:
    """Every pair that follows from the arrows, which must have no ring."""
    after: dict[str, set[str]] = {}
    for a, b in arrows:
        after.setdefault(a, set()).add(b)

    @cache
    def reached(step: str) -> frozenset[str]:
        near = after.get(step, set())
        return frozenset(near).union(*(reached(n) for n in near))

    return frozenset((a, b) for a in after for b in reached(a))


def implied(arrows: Sequence[Arrow]) -> list[Arrow]:
    """Arrows that the others already say."""
    return [
        arrow for arrow in arrows if arrow in closure(other for other in arrows if other != arrow)
    ]


def count(arrows: Iterable[Arrow]) -> int | None:
    """How many orders of the steps keep every arrow; None for too many steps to count.

    Parts that no arrow joins are counted apart and interleaved: n!/(a! b! ...) times their orders.
    """
    pairs = set(arrows)
    parts = _parts(pairs)
    if any(len(part) > COUNTED_MOST for part in parts):
        return None
    ways = factorial(sum(len(part) for part in parts))
    for part in parts:
        inside = {(a, b) for a, b in pairs if a in part}
        ways = ways // factorial(len(part)) * _count(sorted(part), inside)
    return ways


def _parts(pairs: Iterable[Arrow]) -> list[set[str]]:
    """Steps that arrows join, whichever way they point."""
    parts: list[set[str]] = []
    for pair in pairs:
        touching = [part for part in parts if part & set(pair)]
        parts = [part for part in parts if part not in touching]
        parts.append(set(pair).union(*touching))
    return parts


def _count(steps: Sequence[str], pairs: Iterable[Arrow]) -> int:
    """Orders of one part, by the sets of steps that may come first."""
    place = {step: n for n, step in enumerate(steps)}
    needs = [0] * len(steps)
    for a, b in pairs:
        needs[place[b]] |= 1 << place[a]
    ways = {0: 1}
    for _ in steps:
        longer: dict[int, int] = {}
        for taken, many in ways.items():
            for n, need in enumerate(needs):
                if not taken >> n & 1 and need & ~taken == 0:
                    longer[taken | 1 << n] = longer.get(taken | 1 << n, 0) + many
        ways = longer
    return ways.get((1 << len(steps)) - 1, 0)


def longest_kept(arrows: Iterable[Arrow], order: Sequence[str]) -> int:
    """Size of the largest set of steps of an order in which no arrow is broken.

    The broken pairs are themselves a partial order, so this is its largest antichain:
    steps less the largest matching (Dilworth; Konig).
    """
    where = {step: n for n, step in enumerate(order)}
    later: dict[str, list[str]] = {}
    for a, b in closure(arrows):
        if a in where and b in where and where[b] < where[a]:
            later.setdefault(a, []).append(b)
    matched: dict[str, str] = {}
    pairs = sum(_augment(a, later, matched, set()) for a in later)
    return len(order) - pairs


def _augment(
    a: str, later: Mapping[str, Sequence[str]], matched: dict[str, str], seen: set[str]
) -> bool:
    for b in later.get(a, ()):
        if b not in seen:
            seen.add(b)
            if b not in matched or _augment(matched[b], later, matched, seen):
                matched[b] = a
                return True
    return False
