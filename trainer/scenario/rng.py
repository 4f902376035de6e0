"""The project's own generator: the same draws from the same seed on every machine, for ever.

Block n of a stream is SHA-256 of the text ``condenser-bench/1|SEED|STREAM|n`` in UTF-8, where
SEED is the whole number in decimal digits and n counts from 0. A block is four words of 64
bits, most significant byte first, used in order. SHA-256: FIPS 180-4.

A whole number below k takes the next word w; when w is not below the largest multiple of k
within 2^64 it is thrown away and the next one taken, so that no number is favoured; the result
is w mod k. ``one_of``, ``shuffled`` and ``within`` use whole numbers only: no rounding differs
between machines. A change of any of this is a new number after ``condenser-bench/``.

Draws from one stream do not disturb another: a dial added to a scenario leaves the others as
they were. Knows nothing of scenarios.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from typing import TypeVar

VERSION = 1
WORD = 1 << 64
#: Steps into which ``within`` cuts a range, so that ends and middle can be drawn exactly.
STEPS = 1000

T = TypeVar("T")


class Stream:
    """Draws of one name from one seed."""

    def __init__(self, seed: int, name: str) -> None:
        self.seed = seed
        self.name = name
        self._block = 0
        self._words: list[int] = []

    def word(self) -> int:
        """The next 64 bits as a whole number."""
        if not self._words:
            self._words = self._next_block()
        return self._words.pop(0)

    def _next_block(self) -> list[int]:
        text = f"condenser-bench/{VERSION}|{self.seed}|{self.name}|{self._block}"
        self._block += 1
        digest = hashlib.sha256(text.encode("utf-8")).digest()
        return [int.from_bytes(digest[n : n + 8], "big") for n in range(0, 32, 8)]

    def below(self, count: int) -> int:
        """A whole number from 0 to ``count`` - 1, each as likely as the others."""
        if not 0 < count <= WORD:
            raise ValueError(f"there is no whole number from 0 to below {count} to draw")
        fair = WORD - WORD % count
        while (word := self.word()) >= fair:
            pass
        return word % count

    def chance(self, times: int, out_of: int) -> bool:
        """True in ``times`` of ``out_of`` draws."""
        return self.below(out_of) < times

    def one_of(self, choices: Sequence[T]) -> T:
        """One of the choices."""
        return choices[self.below(len(choices))]

    def shuffled(self, items: Sequence[T]) -> list[T]:
        """The items in an order drawn from all orders: from the end, each swapped with one
        of those up to itself (Fisher and Yates, from memory)."""
        order = list(items)
        for last in range(len(order) - 1, 0, -1):
            other = self.below(last + 1)
            order[last], order[other] = order[other], order[last]
        return order

    def within(self, least: float, most: float) -> float:
        """One of 1001 evenly spaced values from ``least`` to ``most``, ends included."""
        step = self.below(STEPS + 1)
        return (least * (STEPS - step) + most * step) / STEPS
