"""The smallest set of wire moves that makes wanted wiring of found wiring.

A wire that crosses and a join that is missing make one move when they share a net; two moves
that exchange terminals are one swap. Knows wires, nets and distances; must know no words.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from trainer.nets.distance import Distance
from trainer.nets.wires import Joined, Partition, Wire

Kind = Literal["move", "swap", "remove", "join", "extra"]


@dataclass(frozen=True)
class Move:
    """``wire``'s ``end`` from one terminal to another; a swap has the other wire in ``with_``.

    A join has no wire, or a loose one that is wanted there; a removal has no goal.
    """

    kind: Kind
    wire: Wire | None
    end: str = ""
    start: str = ""
    goal: str = ""
    with_: Move | None = None

    @property
    def stays(self) -> str:
        """The terminal that the wire's other end is on."""
        assert self.wire is not None
        return self.wire.b if self.end == "a" else self.wire.a


@dataclass
class _Need:
    """A wanted net in pieces, each move or join making two of them one."""

    net: frozenset[str]
    joined: Joined
    left: int

    def other_piece(self, terminal: str) -> list[str]:
        return sorted(t for t in self.net if not self.joined.same(t, terminal))

    def take(self, a: str, b: str) -> None:
        self.joined.join(a, b)
        self.left -= 1


def moves(
    found: Distance, wanted: Partition, target: Sequence[Wire] = (), loose: Sequence[Wire] = ()
) -> list[Move]:
    """As many moves as edits, a move counting two. ``target`` says where wires of a tag belong."""
    needs = {piece: need for need in _needs(found) for piece in need.net}
    home = {wire.tag: wire for wire in target}
    told: list[Move] = []
    chosen = _matched(found.crossing, needs, home)
    free = {terminal for wire, end, _ in chosen for terminal in [wire.end(end)]}
    for wire, end, need in chosen:
        stays = wire.b if end == "a" else wire.a
        goal = _goal(need.other_piece(stays), wire, end, home, free)
        need.take(stays, goal)
        told.append(Move("move", wire, end, wire.end(end), goal))
    moved = {move.wire.tag for move in told if move.wire}
    told += [Move("remove", wire) for wire in found.crossing if wire.tag not in moved]
    for need in {id(n): n for n in needs.values()}.values():
        told += _joins(need, home, loose)
    told += [Move("extra", wire) for wire in found.redundant]
    return _swapped(told)


def _needs(found: Distance) -> list[_Need]:
    needs = []
    for pieces in found.pieces:
        joined = Joined()
        for piece in pieces:
            first, *rest = sorted(piece)
            for other in rest:
                joined.join(first, other)
        needs.append(_Need(frozenset().union(*pieces), joined, len(pieces) - 1))
    return needs


def _matched(
    crossing: Sequence[Wire], needs: Mapping[str, _Need], home: Mapping[str, Wire]
) -> list[tuple[Wire, str, _Need]]:
    """Each crossing wire with the end that moves: most wires first, by augmenting paths."""
    options = {wire.tag: _options(wire, needs, home) for wire in crossing}
    held: dict[int, list[tuple[Wire, str]]] = {}
    for wire in crossing:
        _place(wire, options, held, set(), {w.tag: w for w in crossing})
    by_id = {id(need): need for need in needs.values()}
    return [(wire, end, by_id[key]) for key, rows in held.items() for wire, end in rows]


def _options(
    wire: Wire, needs: Mapping[str, _Need], home: Mapping[str, Wire]
) -> list[tuple[str, _Need]]:
    """(end that would move, net of the end that stays), the one its tag speaks for first."""
    found = []
    for end, stays in (("b", wire.a), ("a", wire.b)):
        need = needs.get(stays)
        if need is not None and need.other_piece(stays):
            wanted = home.get(wire.tag)
            right = wanted is not None and stays in (wanted.a, wanted.b)
            found.append((not right, end, need))
    return [(end, need) for _, end, need in sorted(found, key=lambda row: row[0])]


def _place(
    wire: Wire,
    options: Mapping[str, list[tuple[str, _Need]]],
    held: dict[int, list[tuple[Wire, str]]],
    seen: set[int],
    wires: Mapping[str, Wire],
) -> bool:
    for end, need in options[wire.tag]:
        if id(need) in seen:
            continue
        seen.add(id(need))
        here = held.setdefault(id(need), [])
        if len(here) < need.left:
            here.append((wire, end))
            return True
        for n, (other, _) in enumerate(here):
            if _place(other, options, held, seen, wires):
                here[n] = (wire, end)
                return True
    return False


def _goal(
    options: Sequence[str], wire: Wire, end: str, home: Mapping[str, Wire], free: set[str]
) -> str:
    """Where its tag is wanted, else where the wanted wire from the end that stays goes, else where
    another wire is about to leave, else the first."""
    wanted = home.get(wire.tag)
    if wanted is not None:
        for terminal in (wanted.end(end), wanted.a, wanted.b):
            if terminal in options:
                return terminal
    stays = wire.b if end == "a" else wire.a
    partners = [w.b if w.a == stays else w.a for w in home.values() if stays in (w.a, w.b)]
    for likely in (partners, free):
        for terminal in options:
            if terminal in likely:
                return terminal
    return options[0]


def _joins(need: _Need, home: Mapping[str, Wire], loose: Sequence[Wire]) -> list[Move]:
    """What still has to be joined, by wires that are wanted there where there are any."""
    told = []
    known = [*loose, *[w for w in home.values() if w.tag not in {v.tag for v in loose}]]
    for wire in known:
        wanted = home.get(wire.tag)
        if not need.left or wanted is None or not {wanted.a, wanted.b} <= need.net:
            continue
        if not need.joined.same(wanted.a, wanted.b):
            need.take(wanted.a, wanted.b)
            told.append(Move("join", wire, "", wanted.a, wanted.b))
    while need.left:
        first = min(need.net)
        goal = need.other_piece(first)[0]
        need.take(first, goal)
        told.append(Move("join", None, "", first, goal))
    return told


def _swapped(told: Sequence[Move]) -> list[Move]:
    """Two moves that go to each other's terminal as one swap."""
    found: list[Move] = []
    left = list(told)
    while left:
        move = left.pop(0)
        twin = next(
            (m for m in left if move.kind == m.kind == "move"
             and (m.start, m.goal) == (move.goal, move.start)), None,
        )  # fmt: skip
        if twin is not None:
            left.remove(twin)
            move = Move("swap", move.wire, move.end, move.start, move.goal, twin)
        found.append(move)
    return found


def applied(wires: Sequence[Wire], told: Sequence[Move]) -> list[Wire]:
    """The wires after the moves: what proves that they are a repair."""
    by_tag = {wire.tag: wire for wire in wires}
    made: list[Wire] = []
    for move in [m for top in told for m in (top, top.with_) if m is not None]:
        if move.kind in ("move", "swap") and move.wire is not None:
            ends = {"a": move.wire.a, "b": move.wire.b, move.end: move.goal}
            by_tag[move.wire.tag] = Wire(move.wire.tag, ends["a"], ends["b"])
        elif move.kind in ("remove", "extra") and move.wire is not None:
            by_tag.pop(move.wire.tag, None)
        elif move.kind == "join":
            made.append(Wire(f"new {len(made)}", move.start, move.goal))
    return [*by_tag.values(), *made]
