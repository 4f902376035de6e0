"""What came from the toolkit in one go, before anything is done with it. Pure.

Knows that events have a type, and keys a number; which types there are is handed in.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True)
class Kinds:
    """The toolkit's numbers for what is told apart here."""

    motion: int
    down: int
    up: int
    #: Our own: an answer has come.
    answer: int


@dataclass
class Arrivals:
    """Keeps which keys are down from one time to the next."""

    kinds: Kinds
    held: set[int] = field(default_factory=set)

    def sorted_out(self, events: Iterable[Any]) -> list[Any]:
        """Of pointer moves one upon another only the last, no repeat of a key that is up again,
        answers last.

        The toolkit repeats a key by a timer until it is told that the key came up; a window that
        was busy that long is told too late, and one press would count as several.
        """
        found: list[Any] = []
        for event in events:
            if event.type == self.kinds.motion and found and found[-1].type == self.kinds.motion:
                found[-1] = event
            else:
                found.append(event)
        stale = set(self._stale(found))
        kept = [e for n, e in enumerate(found) if n not in stale]
        # a press is for what was seen, not for what came in its place meanwhile
        return sorted(kept, key=lambda e: e.type == self.kinds.answer)

    def _stale(self, events: list[Any]) -> Iterable[int]:
        """Places of repeats whose key comes up further on."""
        repeats: dict[int, list[int]] = {}
        for n, event in enumerate(events):
            if event.type == self.kinds.down:
                if event.key in self.held:
                    repeats.setdefault(event.key, []).append(n)
                self.held.add(event.key)
            elif event.type == self.kinds.up:
                self.held.discard(event.key)
                yield from repeats.pop(event.key, ())
