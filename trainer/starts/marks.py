"""The instants of a start that are worth a name, in time since energising.

Reads a record and what was gathered from it; must know nothing of drawing and no finding.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from trainer.starts.evidence import Evidence
from trainer.starts.recording import Recording


class Mark(NamedTuple):
    """``at_s`` since energising, what happened then, and whether it should not have."""

    at_s: float
    words: str
    bad: bool = False


def marks_of(record: Recording, e: Evidence) -> list[Mark]:
    """Every such instant, in order."""
    zero = e.energised_at_s or 0.0
    found: list[Mark] = []
    if e.energised_at_s is not None:
        found.append(Mark(0.0, "energised"))
    if e.time_to_full_s is not None:
        found.append(Mark(e.time_to_full_s, "90 % speed"))
    found += _of_the_aid(record, e, zero)
    found += [Mark(t.t_s - zero, f"{t.part} trips", True) for t in e.trips]
    end = record.end_s
    found += [Mark(off - zero, "power off") for _, off in e.fed if off < end - 0.02]
    found += [Mark(on - zero, "power on again") for on, _ in e.fed[1:]]
    return _once(sorted(found, key=lambda mark: mark.at_s))


def _of_the_aid(record: Recording, e: Evidence, zero: float) -> Iterator[Mark]:
    """Openings and closings of the start capacitor while power was on."""
    if e.aid.opened_s is None:
        return
    for n, (begin, end) in enumerate(e.aid.spans):
        if n > 0:
            yield Mark(begin - zero, "start capacitor back in", True)
        if end < record.end_s - 1e-3:
            yield Mark(end - zero, "start capacitor out")


def _once(found: list[Mark]) -> list[Mark]:
    """The same thing at the same instant (both poles of a breaker) once."""
    out: list[Mark] = []
    for mark in found:
        if not any(o.words == mark.words and mark.at_s - o.at_s < 5e-3 for o in out):
            out.append(mark)
    return out
