"""Found wiring held against wanted wiring: the level at which they are equal, and what differs.

Levels, tried in order: 1 the same nets, 2 the same under a declared symmetry or alternate, 3 the
same once series chains are drawn together, 4 works and is not to the diagram, 5 different. Knows
wires, nets and images; must know no mark.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from trainer.nets.distance import Distance, closest
from trainer.nets.images import Pair, alike_in_series, nearest_images
from trainer.nets.moves import Move, moves
from trainer.nets.wires import Partition, Wire, groups_of

Level = Literal[1, 2, 3, 4, 5]
LEVELS: dict[Level, str] = {
    1: "same circuit as the diagram",
    2: "same circuit, with leads exchanged that may be exchanged",
    3: "same circuit, with switches in series in another order",
    4: "works, but not to the diagram",
    5: "not the circuit of the diagram",
}


@dataclass(frozen=True)
class Comparison:
    """``image`` names the right wiring it is told against; ``moves`` lead there."""

    level: Level
    image: str
    distance: Distance
    moves: tuple[Move, ...]

    @property
    def text(self) -> str:
        return LEVELS[self.level]

    @property
    def join_f(self) -> Fraction:
        return Fraction(1) if self.level < 4 else self.distance.join_f


def compare(
    found: Sequence[Wire],
    target: Sequence[Wire],
    alternates: Mapping[str, Sequence[Wire]] | None = None,
    symmetries: Sequence[Pair] = (),
    switches: Mapping[str, Pair] | None = None,
    works: Callable[[], bool] | None = None,
) -> Comparison:
    """The comparison. ``works`` is asked only when nothing simpler makes them equal."""
    others = {name: groups_of(wires) for name, wires in (alternates or {}).items()}
    wanted = {"": groups_of(target), **others}
    images = list(nearest_images(found, wanted, symmetries))
    name, image, apart = closest(found, images)
    return Comparison(
        _level(found, wanted, name, apart, switches or {}, works), name, apart,
        tuple(moves(apart, image, _home(name, target, alternates or {}), _loose(found))),
    )  # fmt: skip


def _level(
    found: Sequence[Wire],
    wanted: Mapping[str, Partition],
    name: str,
    apart: Distance,
    switches: Mapping[str, Pair],
    works: Callable[[], bool] | None,
) -> Level:
    if apart.edits == 0:
        return 2 if name else 1
    if switches and alike_in_series(groups_of(found), wanted.values(), switches):
        return 3
    return 4 if works is not None and works() else 5


def _home(
    name: str, target: Sequence[Wire], alternates: Mapping[str, Sequence[Wire]]
) -> Sequence[Wire]:
    """Where each tag is wanted in the wiring that the image was made from."""
    return alternates.get(name.partition(",")[0], target)


def _loose(found: Sequence[Wire]) -> list[Wire]:
    return [wire for wire in found if not wire.whole]
