"""Other wirings that are as right as the wanted one: symmetries, alternates, series chains.

Knows groups of terminals and declared pairs; must know no unit.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence

from trainer.nets.distance import distance
from trainer.nets.wires import Partition, Wire, renamed

Pair = tuple[str, str]


def exchanged(groups: Partition, pair: Pair) -> Partition:
    """The groups with two terminals in each other's place."""
    one, other = pair
    return renamed(groups, {one: other, other: one})


def nearest_images(
    wires: Sequence[Wire], wanted: Mapping[str, Partition], symmetries: Sequence[Pair]
) -> Iterator[tuple[str, Partition]]:
    """Each wanted wiring, and its image under those exchanges that bring it nearer.

    Exchanges of different pairs do not touch each other, so taking each that helps is enough.
    """
    for name, groups in wanted.items():
        yield name, groups
        image = groups
        used: list[str] = []
        for pair in symmetries:
            other = exchanged(image, pair)
            if distance(wires, other).edits < distance(wires, image).edits:
                image, used = other, [*used, " and ".join(pair)]
        if used:
            yield f"{name}, {'; '.join(used)} exchanged".lstrip(", "), image


def contracted(
    groups: Partition, switches: Mapping[str, Pair]
) -> tuple[Partition, Counter[tuple[frozenset[frozenset[str]], tuple[str, ...]]]]:
    """The groups with chains of series switches drawn together.

    A chain is the two groups it hangs between, without its own terminals, and the switches in it
    whatever their order and whichever way round.
    """
    own = {terminal for pair in switches.values() for terminal in pair}
    group_of = {terminal: group for group in groups for terminal in group}
    chains: Counter[tuple[frozenset[frozenset[str]], tuple[str, ...]]] = Counter()
    seen: set[str] = set()
    for name in sorted(switches):
        if name not in seen:
            parts, ends = _chain(name, switches, group_of, own)
            seen |= parts
            chains[(frozenset(e - own for e in ends), tuple(sorted(parts)))] += 1
    bare = frozenset(rest for group in groups if len(rest := group - own) > 1)
    return bare, chains


def _chain(
    name: str,
    switches: Mapping[str, Pair],
    group_of: Mapping[str, frozenset[str]],
    own: set[str],
) -> tuple[set[str], list[frozenset[str]]]:
    """Walk both ways from one switch through groups of exactly two switch terminals."""
    parts, ends = {name}, []
    for terminal in switches[name]:
        here, at = terminal, name
        while True:
            group = group_of.get(here, frozenset((here,)))
            inner = [t for t in group if t != here]
            following = _owner(inner[0], switches) if len(group) == 2 and group <= own else ""
            if not following or following in parts:
                ends.append(group)
                break
            parts.add(following)
            at = following
            first, second = switches[at]
            here = second if inner[0] == first else first
    return parts, ends


def _owner(terminal: str, switches: Mapping[str, Pair]) -> str:
    return next((name for name, pair in switches.items() if terminal in pair), "")


def alike_in_series(
    found: Partition, wanted: Iterable[Partition], switches: Mapping[str, Pair]
) -> bool:
    mine = contracted(found, switches)
    return any(mine == contracted(other, switches) for other in wanted)
