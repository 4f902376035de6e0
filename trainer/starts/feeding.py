"""When something held, by where contacts stood: stretches of time from events.

Knows events; must know no finding.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from trainer.circuit.elements import Generator
from trainer.starts.recording import Recording

Span = tuple[float, float]
Holds = Callable[[Mapping[str, bool]], bool]


def spans_where(record: Recording, holds: Holds) -> list[Span]:
    """Stretches in which contacts stand so that ``holds``; none after the engine has stalled.

    Gaps shorter than a cycle (a pair that fires late) are none.
    """
    return _joined(_spans(record, holds), 1.0 / record.roles.hz)


def _spans(record: Recording, holds: Holds) -> list[Span]:
    closed = dict(record.first_closed)
    engines = {d.name for d in record.elements.devices if isinstance(d, Generator)}
    spans: list[Span] = []
    since = 0.0 if holds(closed) else None
    for event in record.events:
        stalled = event.kind == "gave_up" and event.name in engines
        if event.kind in ("closed", "opened"):
            closed[event.name] = event.kind == "closed"
        elif not stalled:
            continue
        now = not stalled and holds(closed)
        if now and since is None:
            since = event.t_s
        elif not now and since is not None:
            spans.append((since, event.t_s))
            since = None
        if stalled:
            return spans
    return spans if since is None else [*spans, (since, record.end_s)]


def _joined(spans: list[Span], gap_s: float) -> list[Span]:
    """Neighbours less than ``gap_s`` apart become one; what is left without length goes."""
    out: list[Span] = []
    for start, end in spans:
        if out and start - out[-1][1] <= gap_s:
            out[-1] = (out[-1][0], end)
        else:
            out.append((start, end))
    return [span for span in out if span[1] > span[0]]
