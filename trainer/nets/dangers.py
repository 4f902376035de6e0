"""Joins that must never be: leg to leg, leg to ground, leg to 24 V, a ground that is lost.

Legs are followed from where the supply comes in through every switch as if it were closed. Knows
wires and kinds of part; must know no diagram and no solver.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from trainer.nets.wires import Joined, Wire

#: Terminals that a closed switch of this kind joins.
THROUGH: dict[str, tuple[tuple[str, str], ...]] = {
    "breaker": (("1i", "1o"), ("2i", "2o")),
    "disconnect": (("L1", "T1"), ("L2", "T2")),
    "contactor": (("L1", "T1"), ("L2", "T2")),
    "fuse": (("1", "2"),),
    "transfer_switch": (("U1", "O1"), ("U2", "O2")),
}


def dangers(
    wires: Iterable[Wire],
    kinds: Mapping[str, str],
    supply: Sequence[tuple[str, str]],
    control: frozenset[str],
    grounds: frozenset[str],
    bonded: Iterable[str] = (),
) -> Iterator[str]:
    """What is dangerous, each as the end of "wiring that ...".

    ``supply`` are pairs of terminals on the two legs; ``bonded`` must be joined to a ground.
    """
    rows = list(wires)
    live = Joined(rows)
    for part, kind in kinds.items():
        for a, b in THROUGH.get(kind, ()):
            live.join(f"{part}.{a}", f"{part}.{b}")
    for one, other in supply:
        if live.same(one, other):
            yield f"joins the two legs ({one} and {other})"
        for leg in (one, other):
            if any(live.same(leg, terminal) for terminal in grounds):
                yield f"puts {leg} on the ground"
            hit = sorted(t for t in control if live.same(leg, t))
            if hit:
                yield f"puts line volts on the 24 V at {hit[0]}"
    earth = Joined(rows)
    first, *others = sorted(grounds) or [""]
    for terminal in others:
        earth.join(first, terminal)
    for place in bonded:
        if not earth.same(first, place):
            yield f"leaves {place} without a ground"
