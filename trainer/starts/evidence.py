"""What happened in a start, as plain numbers: everything a finding may look at.

Gathers from a record; names nothing. Times of ``Evidence`` count from energising unless they
end in ``_at_s``, which is the clock of the study.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from trainer.circuit.elements import Device
from trainer.starts import watching as w
from trainer.starts.at_rest import AtRest
from trainer.starts.contacts import closed_spans
from trainer.starts.disengaging import NONE, Disengaging, disengaging
from trainer.starts.feeding import Span, spans_where
from trainer.starts.recording import Recording
from trainer.starts.thresholds import Thresholds


@dataclass(frozen=True)
class Trip:
    """A device that opened something: a part's overload, breaker, fuse, or a source giving up."""

    part: str
    device: str
    t_s: float
    kind: str


@dataclass(frozen=True)
class ReferenceStart:
    """What a finding may know of the start that is laid behind this one."""

    name: str
    time_to_full_s: float | None
    opened_speed: float | None
    standing_nm: float | None
    #: Whether it had a start capacitor or PTC in.
    aided: bool = False


@dataclass(frozen=True)
class Evidence:
    """Speeds are of synchronous. ``judged_at_s``: the first trip, the loss of power, or the end."""

    shorted: bool
    fed: tuple[Span, ...]
    energised_at_s: float | None
    judged_at_s: float
    trips: tuple[Trip, ...]
    winding_rms_a: float
    time_to_full_s: float | None
    speed_at_end: float
    aid: Disengaging
    opened_s: float | None
    opened_speed: float | None
    least_speed_after_opening: float | None
    in_after_full: bool
    in_at_never: bool
    contactor_recloses: int
    standing_nm: float | None
    reference: ReferenceStart | None

    @property
    def fed_s(self) -> float:
        return sum(end - start for start, end in self.fed)


def gather(
    record: Recording,
    limits: Thresholds,
    reference: ReferenceStart | None = None,
    rest: AtRest | None = None,
) -> Evidence:
    """Everything at once, from one record; ``rest`` when that circuit has been solved before."""
    rest = rest or AtRest(record.elements, record.roles, limits)
    fed = spans_where(record, rest.fed)
    start = fed[0][0] if fed else None
    trips = trips_of(record)
    end = _judged_at(record, fed, trips)
    aid = disengaging(record, fed, limits) if fed else NONE
    full = _time_to(record, start, end, limits.full_speed.value)
    opened = None if aid.opened_s is None or aid.opened_s > end else aid.opened_s
    return Evidence(
        shorted=bool(spans_where(record, rest.shorted)),
        fed=tuple(fed),
        energised_at_s=start,
        judged_at_s=end,
        trips=trips,
        winding_rms_a=_winding_rms(record, start, end),
        time_to_full_s=full,
        speed_at_end=_mean_speed(record, start, end),
        aid=aid,
        opened_s=_since(opened, start),
        opened_speed=_speed_at(record, opened),
        least_speed_after_opening=_least_after(record, opened, start, full, end),
        in_after_full=_in_after(aid, start, full, limits.late_after.value, end),
        in_at_never=_in_at_never(aid, start, limits.never_after.value, end, trips),
        contactor_recloses=_contactor_recloses(record, start, limits.contactor_gap.value),
        standing_nm=_standing(record, rest, aid, start),
        reference=reference,
    )


def trips_of(record: Recording) -> tuple[Trip, ...]:
    """Every trip and every source or starter that gave up, in order of time."""
    parts = {d.name: d.part for d in record.elements.devices}
    return tuple(
        Trip(parts.get(e.name, "") or e.name, e.name, e.t_s, _kind(record.elements.devices, e.name))
        for e in record.events
        if e.kind in ("tripped", "gave_up")
    )


def _kind(devices: list[Device], name: str) -> str:
    found = next((d for d in devices if d.name == name), None)
    return type(found).__name__.lower() if found is not None else ""


def _judged_at(record: Recording, fed: list[Span], trips: tuple[Trip, ...]) -> float:
    """The first trip after energising, the end of power, or the end of the record."""
    if not fed:
        return record.end_s
    tripped = [t.t_s for t in trips if t.t_s >= fed[0][0]]
    return min([fed[-1][1], record.end_s, *tripped])


def _winding_rms(record: Recording, start: float | None, end: float) -> float:
    """Largest one-cycle rms in a winding while fed [A]."""
    if start is None or not record.has(w.MAIN):
        return 0.0
    a, b = record.index(start), record.index(end)
    return max(float(np.max(record.cycle_rms(n)[a : b + 1])) for n in (w.MAIN, w.AUX))


def _sync(record: Recording) -> float:
    machine = w.compressor(record.elements, record.roles)
    return machine.params.synchronous_rad_s(record.roles.hz) if machine else 1.0


def _time_to(record: Recording, start: float | None, end: float, share: float) -> float | None:
    """Time from energising to a share of synchronous speed [s]."""
    if start is None or not record.has(w.SPEED):
        return None
    speed = record.between(w.SPEED, start, end) / _sync(record)
    there = np.flatnonzero(speed >= share)
    if there.size == 0:
        return None
    return float(record.t_s[record.index(start) + int(there[0])]) - start


def _mean_speed(record: Recording, start: float | None, end: float) -> float:
    """Mean speed over the last two cycles that are judged."""
    if start is None or not record.has(w.SPEED):
        return 0.0
    first = max(start, end - 2.0 / record.roles.hz)
    return float(np.mean(record.between(w.SPEED, first, end))) / _sync(record)


def _speed_at(record: Recording, t_s: float | None) -> float | None:
    if t_s is None or not record.has(w.SPEED):
        return None
    return float(record[w.SPEED][record.index(t_s)]) / _sync(record)


def _since(t_s: float | None, start: float | None) -> float | None:
    return None if t_s is None or start is None else t_s - start


def _least_after(
    record: Recording, opened: float | None, start: float | None, full: float | None, end: float
) -> float | None:
    """Least speed between the first opening and full speed; None when full speed came first."""
    if opened is None or start is None or (full is not None and start + full <= opened):
        return None
    until = end if full is None else start + full
    return float(np.min(record.between(w.SPEED, opened, until))) / _sync(record)


def _in_after(
    aid: Disengaging, start: float | None, full: float | None, late: float, end: float
) -> bool:
    """Whether the aid was still in ``late`` after full speed."""
    if start is None or full is None or start + full + late > end:
        return False
    return aid.in_at(start + full + late)


def _in_at_never(
    aid: Disengaging, start: float | None, never: float, end: float, trips: tuple[Trip, ...]
) -> bool:
    """Whether the aid was still in at the limit, or at the trip that came before it."""
    if start is None:
        return False
    tripped = any(t.t_s <= end + 1e-9 for t in trips if t.t_s >= start)
    if end < start + never:
        return tripped and aid.in_at(end - 1e-6)
    return aid.in_at(start + never)


def _contactor_recloses(record: Recording, start: float | None, gap_s: float) -> int:
    """How often the contactor closed again so soon that nobody's act can be behind it."""
    contact = record.roles.element("contactor", "contact")
    if contact is None or start is None:
        return 0
    spans = closed_spans(record, contact)
    return sum(1 for a, b in pairwise(spans) if b[0] - a[1] < gap_s)


def _standing(
    record: Recording, rest: AtRest, aid: Disengaging, start: float | None
) -> float | None:
    """Torque at rest with contacts as they stand once the start gear has come in [N m]."""
    if start is None:
        return None
    closed = record.closed_at(start)
    contact = w.start_contact(record.elements, record.roles)
    if contact is not None and aid.spans and aid.spans[0][0] < start + 0.1:
        closed[contact.name] = True
    return rest.torque_nm(closed)
