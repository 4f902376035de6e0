"""When something held, by where contacts stood: stretches of time from events.

Knows events; must know no finding.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from itertools import zip_longest

from trainer.circuit.elements import Generator
from trainer.starts.recording import Recording

Span = tuple[float, float]
Holds = Callable[[Mapping[str, bool]], bool]


def spans_where(record: Recording, holds: Holds) -> list[Span]:
    """Stretches in which contacts stand so that ``holds``; none after the engine has stalled.

    Gaps shorter than a cycle (a pair that fires late) are none.
    """
    return _joined(_spans(record, holds), 1.0 / record.roles.hz)


def first_where(record: Recording, holds: Holds) -> float | None:
    """When the first of ``spans_where`` begins, with no more asked than that takes."""
    return next((t for t, now in _instants(record, holds) if now and t < record.end_s), None)


def _spans(record: Recording, holds: Holds) -> Iterator[Span]:
    since: float | None = None
    for t, now in _instants(record, holds):
        if now and since is None:
            since = t
        elif not now and since is not None:
            yield since, t
            since = None
    if since is not None:
        yield since, record.end_s


def _instants(record: Recording, holds: Holds) -> Iterator[tuple[float, bool]]:
    """Every instant at which something moved, and whether it holds from then on.

    Asked once an instant, where contacts stand when all has moved; a stalled engine ends it.
    """
    closed = dict(record.first_closed)
    engines = {d.name for d in record.elements.devices if isinstance(d, Generator)}
    yield 0.0, holds(closed)
    for event, after in zip_longest(record.events, record.events[1:]):
        if event.kind == "gave_up" and event.name in engines:
            yield event.t_s, False
            return
        if event.kind in ("closed", "opened"):
            closed[event.name] = event.kind == "closed"
        if after is None or after.t_s != event.t_s:
            yield event.t_s, holds(closed)


def _joined(spans: Iterable[Span], gap_s: float) -> list[Span]:
    """Neighbours less than ``gap_s`` apart become one; what is left without length goes."""
    out: list[Span] = []
    for start, end in spans:
        if out and start - out[-1][1] <= gap_s:
            out[-1] = (out[-1][0], end)
        else:
            out.append((start, end))
    return [span for span in out if span[1] > span[0]]
