"""How far wires are from wanted nets: joins missing, wires that cross, wires too many.

The least number of edits is exact here: every wire that joins two wanted nets has to go, and
each net then needs one join less than it has pieces. Knows wires and groups of terminals.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from trainer.nets.wires import Joined, Partition, Wire


@dataclass(frozen=True)
class Distance:
    """``pieces`` are, for each wanted net that is apart, the groups it lies in."""

    crossing: tuple[Wire, ...]
    redundant: tuple[Wire, ...]
    missing: int
    wanted: int
    pieces: tuple[tuple[frozenset[str], ...], ...]

    @property
    def edits(self) -> int:
        return len(self.crossing) + self.missing

    @property
    def join_f(self) -> Fraction:
        """2m / (J + m + c): 1 for a perfect board, 0 for a blank one."""
        made = self.wanted - self.missing
        whole = self.wanted + made + len(self.crossing)
        return Fraction(2 * made, whole) if whole else Fraction(1)


def distance(wires: Iterable[Wire], wanted: Partition) -> Distance:
    """The distance of wires from wanted nets; linear in both."""
    net_of = {terminal: net for net in wanted for terminal in net}
    crossing, redundant, kept = [], [], Joined()
    for wire in wires:
        if not wire.whole:
            continue
        one, other = net_of.get(wire.a), net_of.get(wire.b)
        if wire.a == wire.b:
            redundant.append(wire)
        elif one is None or one is not other:
            crossing.append(wire)
        elif not kept.join(wire.a, wire.b):
            redundant.append(wire)
    pieces = [_pieces(net, kept) for net in sorted(wanted, key=sorted)]
    missing = sum(len(p) - 1 for p in pieces)
    needed = sum(len(net) - 1 for net in wanted)
    apart = tuple(p for p in pieces if len(p) > 1)
    return Distance(tuple(crossing), tuple(redundant), missing, needed, apart)


def _pieces(net: Iterable[str], kept: Joined) -> tuple[frozenset[str], ...]:
    found: dict[str, set[str]] = {}
    for terminal in net:
        found.setdefault(kept.root(terminal), set()).add(terminal)
    return tuple(sorted((frozenset(p) for p in found.values()), key=sorted))


def closest(
    wires: Sequence[Wire], images: Iterable[tuple[str, Partition]]
) -> tuple[str, Partition, Distance]:
    """The image that takes fewest edits, the first of several."""
    found = [(name, image, distance(wires, image)) for name, image in images]
    return min(found, key=lambda row: row[2].edits)
