"""What can be read off the sheet on the door: conductors, joints between terminals, elements.

The sheet says how the unit left the factory, as far as the paper's state lets it be read; never
how it is wired now. Knows layouts; must know no unit that was worked on.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from trainer.sheet.inside import Inner, inside
from trainer.unit.catalogue import type_of
from trainer.unit.conductor import part_of, terminal_of
from trainer.unit.layout import Layout, LayoutWire

#: Of so many lines of the sheet one is under the dirt.
HIDDEN = 3
Joint = frozenset[str]


@dataclass(frozen=True)
class Element:
    """A symbol of one part between two terminals, written PART.TERMINAL."""

    part: str
    inner: Inner

    @property
    def ends(self) -> tuple[str, str]:
        return f"{self.part}.{self.inner.a}", f"{self.part}.{self.inner.b}"


@dataclass(frozen=True)
class Sheet:
    """``wires`` are those that can be read, ``hidden`` how many cannot."""

    state: str
    layout: Layout
    wires: tuple[LayoutWire, ...]
    hidden: int

    @property
    def numbered(self) -> bool:
        """An older revision has neither wire numbers nor colours."""
        return self.state != "older"

    @cached_property
    def joints(self) -> dict[str, Joint]:
        """Terminal -> all the terminals that the wires on the sheet join it to, and itself."""
        found: dict[str, set[str]] = {}
        for wire in self.wires:
            a, b = (found.setdefault(t, {t}) for t in map(terminal_of, (wire.begin, wire.end)))
            if a is not b:
                a |= b
                found.update(dict.fromkeys(b, a))
        return {terminal: frozenset(joined) for terminal, joined in found.items()}

    def joint(self, terminal: str) -> Joint:
        return self.joints.get(terminal, frozenset([terminal]))

    @cached_property
    def elements(self) -> tuple[Element, ...]:
        """In the order of the layout; an end that no wire reaches stays an end."""
        return tuple(
            Element(name, inner)
            for name, spot in self.layout.parts.items()
            for inner in inside(spot.type, spot.set)
            if any(t in self.joints for t in (f"{name}.{inner.a}", f"{name}.{inner.b}"))
        )

    @cached_property
    def grounds(self) -> tuple[str, ...]:
        """Terminals of the protective conductor, in the order of the layout."""
        lugs = [n for n, spot in self.layout.parts.items() if type_of(spot.type).earth]
        joined = {t for lug in lugs for t in self.joints if part_of(t) == lug}
        return in_order({t for g in joined for t in self.joint(g)}, self.layout)


def sheet_of(layout: Layout, state: str | None = None) -> Sheet:
    """The sheet in a state (the layout's own unless one is given)."""
    state = state or layout.diagram.state
    wires = layout.wires
    if state == "missing":
        return Sheet(state, layout, (), len(wires))
    if state == "dirty":
        wires = [wire for n, wire in enumerate(wires) if n % HIDDEN != HIDDEN - 1]
    return Sheet(state, layout, tuple(wires), len(layout.wires) - len(wires))


def in_order(terminals: set[str] | Joint, layout: Layout) -> tuple[str, ...]:
    """Terminals as the layout lists their parts."""
    order = {name: n for n, name in enumerate(layout.parts)}
    return tuple(sorted(terminals, key=lambda t: (order.get(part_of(t), 99), t)))
