"""How the start capacitor (or PTC) came into the circuit and left it.

Reads a record; judges nothing. Times are of the record, not since energising.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from trainer.circuit.elements import Ptc
from trainer.starts import watching as w
from trainer.starts.contacts import closed_spans
from trainer.starts.feeding import Span
from trainer.starts.recording import Floats, Recording
from trainer.starts.thresholds import Thresholds


@dataclass(frozen=True)
class Disengaging:
    """``spans``: stretches with the aid in the circuit while the compressor was fed.

    ``opened_s`` is the first opening while fed, ``recloses`` how often it closed again while
    still fed; ``fitted`` whether anything of the kind carried current at all; ``switched`` whether
    a contact takes it out (a PTC leaves by its own heat, in its own time).
    """

    fitted: bool
    switched: bool = True
    spans: tuple[Span, ...] = ()
    opened_s: float | None = None
    recloses: int = 0

    @property
    def out_for_good_s(self) -> float | None:
        """When it left and stayed out."""
        return self.spans[-1][1] if self.spans and self.opened_s is not None else None

    def in_at(self, t_s: float) -> bool:
        """In the circuit at this time, neither just opening nor just closing."""
        return any(start <= t_s < end for start, end in self.spans)

    @property
    def seconds(self) -> float:
        return sum(end - start for start, end in self.spans)


NONE = Disengaging(False)
#: After a contact has parted, amps over a cycle and the arc's half cycle are its own still. [s]
AFTERWARDS_S = 0.06


def disengaging(record: Recording, fed: list[Span], limits: Thresholds) -> Disengaging:
    """From the start contact if there is one and it is what feeds the start capacitor, from the
    capacitor's own amps where it is wired past a contact, else from the amps of a PTC."""
    contact = w.start_contact(record.elements, record.roles)
    least_a = limits.in_circuit.value
    if record.has(w.START_CAP_A):
        spans = _common(closed_spans(record, contact.name), fed) if contact is not None else []
        if _carried(record, _others(spans, fed), least_a):
            return _course(record, _common(_carrying(record, least_a), fed), fed)
        if contact is not None and _carried(record, spans, least_a):
            return _course(record, spans, fed)
        if contact is not None:
            return NONE
    if record.has(w.PTC_V):
        spans = _common(_ptc_spans(record, limits.ptc_off.value), fed)
        return replace(_course(record, spans, fed), switched=False)
    return NONE


def _others(spans: list[Span], fed: list[Span]) -> list[Span]:
    """Stretches of ``fed`` outside ``spans``, each begun late so that no rms reaches back."""
    edges = [0.0, *(t for span in spans for t in span), float("inf")]
    gaps = zip(edges[::2], edges[1::2], strict=True)
    return _common([(a + AFTERWARDS_S if a else a, b) for a, b in gaps], fed)


def _carrying(record: Recording, least_a: float) -> list[Span]:
    """Stretches in which the start capacitor carries current."""
    return _stretches(record, record.cycle_rms(w.START_CAP_A) >= least_a)


def _stretches(record: Recording, on: NDArray[np.bool_]) -> list[Span]:
    edges = np.flatnonzero(np.diff(on.astype(int), prepend=0, append=0))
    t = np.append(record.t_s, record.end_s)
    return [(float(t[a]), float(t[b])) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def _common(ours: list[Span], fed: list[Span]) -> list[Span]:
    pairs = [(max(a, c), min(b, d)) for a, b in ours for c, d in fed]
    return [(start, end) for start, end in pairs if end > start]


def _carried(record: Recording, spans: list[Span], least_a: float) -> bool:
    amps = record.cycle_rms(w.START_CAP_A)
    return any(
        float(np.max(amps[record.index(a) : record.index(b) + 1], initial=0.0)) >= least_a
        for a, b in spans
    )


def _course(record: Recording, spans: list[Span], fed: list[Span]) -> Disengaging:
    """An end inside a fed stretch is an opening; a later beginning in one is a closing."""
    opened = [end for _, end in spans if _inside(fed, end)]
    closed = [start for start, _ in spans[1:] if _inside(fed, start)]
    recloses = sum(1 for t in closed if opened and t > opened[0])
    first = opened[0] if opened else None
    return Disengaging(bool(spans), True, tuple(spans), first, recloses)


def _inside(fed: list[Span], t_s: float) -> bool:
    """Strictly inside: not where the supply itself came or went."""
    return any(start < t_s < end - 1e-9 for start, end in fed)


def _ptc_spans(record: Recording, off_ratio: float) -> list[Span]:
    """Stretches in which a PTC lets pass more than a share of what it does when cold."""
    name = record.roles.element("relay", "ptc")
    device = next(d for d in record.elements.devices if isinstance(d, Ptc) and d.name == name)
    on = _ohms(device, record[w.WARM + device.name]) * off_ratio < device.cold_ohms
    return _stretches(record, on)


def _ohms(device: Ptc, celsius: Floats) -> Floats:
    """Resistance along a course of temperatures; see elements.Ptc."""
    hot = device.cold_ohms * np.exp(
        np.minimum(device.b_per_k * np.maximum(celsius - device.switch_c, 0.0), 50.0)
    )
    return np.minimum(device.hot_ohms, hot)
