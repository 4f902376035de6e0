"""Which instants of a start a plot names, and how much time it shows.

Knows a report; must know nothing of drawing.
"""

from __future__ import annotations

from collections.abc import Sequence

from trainer.cli.event_strip import Name
from trainer.starts.marks import marks_of
from trainer.starts.report import StartReport
from trainer.starts.wording import seconds

#: Time shown before energising, and at least in all [s].
BEFORE_S, LEAST_S = 0.02, 0.25
#: Shown of a start that never comes up to speed [s].
STALL_S = 0.6
#: Share of the window kept free behind the last event, where its name stands.
ROOM = 0.22
#: Names that find room; further events keep their line only.
MOST_NAMES = 6


def origin(report: StartReport) -> float:
    """Study time of the plot's zero: energising, or the beginning of the record."""
    return report.evidence.energised_at_s or 0.0


def window(report: StartReport) -> tuple[float, float]:
    """From just before energising to a little after the last thing worth seeing [s]."""
    record, e = report.record, report.evidence
    happened = [n.at for n in named(marks(report))]
    if e.energised_at_s is None:
        last = max([LEAST_S, *(t / (1.0 - ROOM) for t in happened)])
        return 0.0, min(last, record.end_s) if happened else record.end_s
    if e.time_to_full_s is None and not e.trips:
        happened.append(STALL_S)
    if report.reference and report.reference.evidence.time_to_full_s:
        happened.append(report.reference.evidence.time_to_full_s)
    last = max([LEAST_S, *((t + BEFORE_S) / (1.0 - ROOM) for t in happened)])
    return -BEFORE_S, min(last, record.end_s - origin(report))


def marks(report: StartReport) -> list[Name]:
    """Every instant worth a line, in order of time since energising."""
    return [Name(*mark) for mark in marks_of(report.record, report.evidence)]


def named(found: Sequence[Name]) -> list[Name]:
    """The first of each kind, then more until there is no more room, with their times."""
    firsts = {n.text: n for n in reversed(found)}
    kept = [n for n in found if firsts[n.text] is n][:MOST_NAMES]
    for name in found:
        if len(kept) < MOST_NAMES and name not in kept:
            kept.append(name)
    kept.sort(key=lambda n: n.at)
    left = len(found) - len(kept)
    out = [Name(n.at, f"{n.text} {seconds(n.at)}" if n.at > 0.0 else n.text, n.bad) for n in kept]
    if left > 0:
        out[-1] = Name(out[-1].at, f"{out[-1].text}, and {left} more", out[-1].bad)
    return out
