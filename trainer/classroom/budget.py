"""What asking the acts of one hand-in again may cost at most.

Whoever writes a file can write acts that cost far more to do again than to write down. Bench time
and starts are counted, so that the same file is refused on every machine; wall time is for what
counts nothing and never comes back. Knows numbers; must know no file.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from trainer.session.events import Happening

HOUR_MS = 3_600_000
STARTS = ("start",)


@dataclass(frozen=True)
class Budget:
    """The acts of a shipped job take 3 s of a processor, 12 to 38 min on the bench and at most 3
    starts (measured); these are some forty, sixty and a hundred times that. Invented.
    """

    bench_h: float = 24.0
    starts: int = 200
    wall_s: float = 300.0


LIMITS = Budget()


class BeyondError(Exception):
    """The budget is spent; says on what."""


@dataclass
class Spent:
    """Counts what acts gave that were asked again."""

    budget: Budget
    bench_ms: int = field(default=0)
    starts: int = field(default=0)

    def add(self, took_ms: int, found: Sequence[Happening]) -> None:
        """Raises BeyondError as soon as it is too much."""
        self.bench_ms += took_ms
        self.starts += sum(h.kind in STARTS for h in found)
        if self.bench_ms > self.budget.bench_h * HOUR_MS:
            hours = f"{self.bench_ms / HOUR_MS:.1f} h"
            raise BeyondError(f"{hours} have passed on its bench, of {self.budget.bench_h:g}")
        if self.starts > self.budget.starts:
            raise BeyondError(f"it has started {self.starts} times, of {self.budget.starts}")
