"""Parts of a screen that stay as they were while the state they are drawn from is the very same.

A frame of a replay differs from the last one by a cursor and a contact; what else there is must
cost nothing. Knows the state's fields, not what they mean; must know no screen.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field, fields
from operator import attrgetter
from typing import Any

from trainer.view.pen import Pen
from trainer.view.shapes import Node, Shape
from trainer.view.state import App, Job

#: What a part may be drawn from without being drawn anew: pointer and focus count only on a part's
#: own nodes, and the moment of a replay is for what moves with it.
POINTING, MOVING = ("hover", "focus", "keyed", "job"), ("at_s", "playing")
_OF_APP = attrgetter(*(f.name for f in fields(App) if f.name not in POINTING))
_OF_JOB = attrgetter(*(f.name for f in fields(Job) if f.name not in MOVING))


class Same:
    """Objects as a key: equal when they are the very same ones. It keeps them alive."""

    __slots__ = ("_hash", "things")

    def __init__(self, things: tuple[Any, ...]) -> None:
        self.things = things
        self._hash = hash(tuple(map(id, things)))

    def __hash__(self) -> int:
        return self._hash

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Same) or len(self.things) != len(other.things):
            return False
        return all(a is b for a, b in zip(self.things, other.things, strict=True))


@dataclass
class _Drawn:
    """A part as drawn from one state, by what was pointed at and focused among its nodes."""

    key: Hashable
    names: frozenset[str] = frozenset()
    ways: dict[tuple[str, str], tuple[tuple[Shape, ...], tuple[Node, ...], Any]] = field(
        default_factory=dict
    )

    def way(self, pen: Pen) -> tuple[str, str]:
        hover, focus = pen.hover, pen.focus
        return hover if hover in self.names else "", focus if focus in self.names else ""


#: Name of a part -> how it was drawn last. One each: only the last state can come again.
_DRAWN: dict[str, _Drawn] = {}


def of(app: App) -> Same:
    """All of the state but the pointer, the focus and the moment of a replay."""
    return Same((*_OF_APP(app), *_OF_JOB(app.job)) if app.job is not None else _OF_APP(app))


def steady(pen: Pen, part: str, state: Same, draw: Callable[[Pen], Any], *more: Hashable) -> Any:
    """What ``draw`` makes and returns, or what it made of the same state: the same objects.

    ``more`` is what else it looks at, such as its rectangle.
    """
    key = state, more, pen.on, pen.clip
    drawn = _DRAWN.get(part)
    if drawn is None or drawn.key != key:
        drawn = _DRAWN[part] = _Drawn(key)
    found = drawn.ways.get(drawn.way(pen))
    if found is None:
        inner = pen.alike()
        result = draw(inner)
        found = tuple(inner.shapes), tuple(inner.nodes), result
        drawn.names |= {n.name for n in inner.nodes}
        drawn.ways[drawn.way(pen)] = found
    pen.shapes.extend(found[0])
    pen.nodes.extend(found[1])
    return found[2]
