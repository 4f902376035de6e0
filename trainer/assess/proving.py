"""Which tests for volts count, and by which readings of a known source: live, dead, live.

An instrument proves itself and no other, so every test needs its own instrument on a known source
before and after it. A test by another one, proved or not, takes nothing from a test that stands.
Knows readings; must know no isolator and no weight.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from trainer.assess.readings import Reading


class Known(NamedTuple):
    """A reading on a known source: the instrument works."""

    seq: int
    at_ms: int
    instrument: str


class Proved(NamedTuple):
    """The tests that count, and the readings of a known source round them."""

    tests: tuple[Reading, ...]
    known: tuple[Known, ...]

    def unproved(self) -> list[str]:
        """Instruments that tested before they had shown a known source."""
        return sorted({r.instrument for r in self.tests if not _before(r, self.known)})

    def not_again(self) -> list[str]:
        """Instruments that were not on a known source after their last test."""
        return sorted({r.instrument for r in self.tests if not _after(r, self.known)})

    def first(self) -> Known | None:
        """The proof before the first test; any reading of a known source where nothing tested."""
        if not self.tests:
            return self.known[0] if self.known else None
        if self.unproved():
            return None
        return _before(min(self.tests, key=lambda r: r.seq), self.known)[-1]

    def again(self, final: int) -> Known | None:
        """When the last instrument was proved again: after event ``final``, or else at last."""
        if not self.tests or self.not_again():
            return None
        return max(self._again(final), key=lambda k: k.seq)

    def _again(self, final: int) -> Iterator[Known]:
        for name in {r.instrument for r in self.tests}:
            last = max((r for r in self.tests if r.instrument == name), key=lambda r: r.seq)
            later = _after(last, self.known)
            yield next((k for k in later if k.seq > max(final, last.seq)), later[-1])


def proved(points: Iterable[Mapping[str, Reading]], known: Iterable[Known]) -> Proved:
    """One test of each point: one that stands if there is one, else the latest.

    ``points`` hold the latest reading that showed it dead by each instrument.
    """
    rows = tuple(known)

    def worth(reading: Reading) -> tuple[bool, int]:
        return bool(_before(reading, rows) and _after(reading, rows)), reading.seq

    return Proved(tuple(max(by.values(), key=worth) for by in points), rows)


def _before(test: Reading, known: Iterable[Known]) -> list[Known]:
    return [k for k in known if k.instrument == test.instrument and k.seq < test.seq]


def _after(test: Reading, known: Iterable[Known]) -> list[Known]:
    return [k for k in known if k.instrument == test.instrument and k.seq > test.seq]
