"""Writes a circuit down as a netlist for a public circuit simulator of the SPICE family.

For cross-checks only: the same elements, solved by somebody else's program. Contacts stand
still or move at given times (devices that move them are not written), winding ohms are
constant. Knows elements and netlist cards; runs nothing (spice_run.py does) and knows nothing
of the compiled kernel. Machines are written by spice_machine.py.

Every branch gets a voltage source of zero volts (or its own emf) in series, so that its
current can be printed.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from trainer.base.errors import TrainerError
from trainer.circuit.channels import Channel
from trainer.circuit.elements import LEAKAGE_S, LEAST_OHMS, Capacitive, Elements, Inductive, Switch
from trainer.circuit.spice_machine import machine_cards

#: A moving contact goes from one resistance to the other within this. [s]
MOVES_S = 1e-6
#: A finer time step than the kernel's, so that the other program is the better one. [s]
MAX_STEP_S = 2e-5

#: (time, closed) in rising order, by the name of the switch.
Moves = Mapping[str, Sequence[tuple[float, bool]]]


@dataclass
class Netlist:
    """The text, and which expression of it each channel reads."""

    text: str
    vectors: dict[str, str]
    until_s: float


@dataclass
class _Deck:
    """Cards being written, and where each current can be read."""

    elements: Elements
    moves: Moves
    cards: list[str] = field(default_factory=list)
    meters: dict[str, str] = field(default_factory=dict)
    plates: dict[str, str] = field(default_factory=dict)

    def add(self, *cards: str) -> None:
        self.cards.extend(cards)

    def meter(self, name: str, key: str, plus: str, minus: str, emf: str = "0") -> None:
        """A source whose current is the branch's; flows in at ``plus``."""
        self.add(f"Vm{key} {plus} {minus} {emf}")
        self.meters[name] = f"i(vm{key})"


def node(k: int) -> str:
    """Name of a node in the netlist."""
    return "0" if k == 0 else f"n{k}"


def write(
    elements: Elements,
    channels: Sequence[Channel],
    until_s: float,
    moves: Moves | None = None,
    max_step_s: float = MAX_STEP_S,
) -> Netlist:
    """Netlist of the circuit from rest. Raises TrainerError for a channel it cannot read."""
    deck = _Deck(elements, moves or {})
    _resistors(deck)
    for k, s in enumerate(elements.switches):
        _switch(deck, f"s{k}", s)
    for k, x in enumerate(elements.inductives):
        _inductive(deck, f"l{k}", x)
    for k, c in enumerate(elements.capacitives):
        _capacitive(deck, f"c{k}", c)
    for k, m in enumerate(elements.machines):
        hz = elements.sources[0].hz if elements.sources else 60.0
        deck.add(*machine_cards(m, k, hz))
        deck.meters[f"{m.name}.main"] = f"i(vm{k}qs)"
        deck.meters[f"{m.name}.aux"] = f"i(vm{k}ds)"
    vectors = {ch.name: _vector(deck, ch) for ch in channels}
    return Netlist(_deck_text(deck, vectors, until_s, max_step_s), vectors, until_s)


def _deck_text(deck: _Deck, vectors: dict[str, str], until_s: float, step_s: float) -> str:
    lines = [
        "circuit written for a cross-check",
        *deck.cards,
        ".options reltol=1e-5 abstol=1e-6 vntol=1e-5 chgtol=1e-12 itl4=200 method=trap",
        f".tran {step_s:.6g} {until_s:.9g} 0 {step_s:.6g} uic",
        ".save " + " ".join(sorted(_saved(vectors))),
        ".end",
    ]
    return "\n".join(lines) + "\n"


def _saved(vectors: dict[str, str]) -> set[str]:
    """Single vectors behind the expressions."""
    return {part.lstrip("+-").split("*")[-1] for v in vectors.values() for part in v.split()}


def _resistors(deck: _Deck) -> None:
    for k in range(1, len(deck.elements.nodes)):
        deck.add(f"Rleak{k} {node(k)} 0 {1.0 / LEAKAGE_S:.9g}")
    for k, r in enumerate(deck.elements.resistors):
        deck.meter(r.name, f"r{k}", node(r.a), f"r{k}x")
        deck.add(f"Rr{k} r{k}x {node(r.b)} {r.ohms:.12g}")


def _switch(deck: _Deck, key: str, s: Switch) -> None:
    """A resistor, or a switch driven by a ramp at each of its moves."""
    deck.meter(s.name, key, node(s.a), f"{key}x")
    moves = deck.moves.get(s.name, ())
    if not moves:
        ohms = max(s.closed_ohms, LEAST_OHMS) if s.closed else s.open_ohms
        deck.add(f"R{key} {key}x {node(s.b)} {ohms:.9g}")
        return
    level = int(s.closed)
    points = [f"0 {level}"]
    for at_s, closed in moves:
        points += [f"{at_s:.12g} {level}", f"{at_s + MOVES_S:.12g} {int(closed)}"]
        level = int(closed)
    deck.add(
        f"V{key}g {key}g 0 pwl({' '.join(points)})",
        f"S{key} {key}x {node(s.b)} {key}g 0 {key}sw {'on' if s.closed else 'off'}",
        f".model {key}sw sw vt=0.5 vh=0.1 ron={max(s.closed_ohms, LEAST_OHMS):.9g} "
        f"roff={s.open_ohms:.9g}",
    )


def _inductive(deck: _Deck, key: str, x: Inductive) -> None:
    """R, L and emf in series; more than a plain pair of taps becomes controlled sources."""
    if sorted(c for _, c in x.taps) == [-1.0, 1.0]:
        ends = {c: node(n) for n, c in x.taps}
        _series(deck, key, x, ends[1.0], ends[-1.0])
        return
    across = " + ".join(f"({c:.12g})*v({node(n)})" for n, c in x.taps if n)
    deck.add(f"B{key}t {key}t 0 v = {across or '0'}")
    _series(deck, key, x, f"{key}t", "0")
    for j, (n, c) in enumerate(x.taps):
        if n:
            deck.add(f"F{key}t{j} {node(n)} 0 Vm{key} {c:.12g}")


def _series(deck: _Deck, key: str, x: Inductive, a: str, b: str) -> None:
    """a -> emf -> R -> L -> b; the emf lifts the current's way, so the source is reversed."""
    deck.meter(x.name, key, a, f"{key}x", _emf(deck.elements, x))
    ohms = x.ohms if x.henries > 0.0 else max(x.ohms, LEAST_OHMS)
    inner = f"{key}y" if x.henries > 0.0 else b
    deck.add(f"R{key} {key}x {inner} {max(ohms, 1e-9):.9g}")
    if x.henries > 0.0:
        deck.add(f"L{key} {inner} {b} {x.henries:.12g} ic=0")


def _emf(elements: Elements, x: Inductive) -> str:
    if x.source < 0:
        return "0"
    s = elements.sources[x.source]
    peak, phase = -s.volts_peak * x.source_scale, math.degrees(s.phase_rad)
    return f"sin(0 {peak:.12g} {s.hz:.9g} 0 0 {phase:.12g})"


def _capacitive(deck: _Deck, key: str, c: Capacitive) -> None:
    deck.meter(c.name, key, node(c.a), f"{key}x")
    deck.add(
        f"C{key} {key}x {key}y {c.farads:.12g} ic={c.volts:.9g}",
        f"R{key} {key}y {node(c.b)} {max(c.esr_ohms, LEAST_OHMS):.9g}",
    )
    deck.plates[c.name] = f"v({key}x) -v({key}y)"


def _vector(deck: _Deck, ch: Channel) -> str:
    """Sum of vectors, written ``a -b 2*c``, that a channel reads."""
    if ch.sense is not None and ch.sense.volts is not None:
        a, b = ch.sense.volts
        terms = ([f"v({node(a)})"] if a else []) + ([f"-v({node(b)})"] if b else [])
        return " ".join(terms)
    if ch.sense is not None:
        return " ".join(f"{sign:+g}*{deck.meters[name]}" for name, sign in ch.sense.amps)
    if ch.capacitor is not None:
        return deck.plates[ch.capacitor]
    names = [m.name for m in deck.elements.machines]
    key = {"speed_rad_s": "w", "torque_nm": "te", "angle_rad": "th", "lift": "li"}
    if ch.machine in names and ch.quantity in key:
        return f"v(m{names.index(ch.machine)}{key[ch.quantity]})"
    raise TrainerError(f"channel {ch.name!r} cannot be read from a netlist")
