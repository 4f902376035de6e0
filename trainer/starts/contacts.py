"""The course of one contact: when it was made, when it parted, and how hard it closed.

Reads events only; must know no finding.
"""

from __future__ import annotations

from dataclasses import dataclass

from trainer.circuit.channels import Event
from trainer.starts.feeding import Span
from trainer.starts.recording import Recording

#: A closing that lets less through is none worth a word. Invented.
LEAST_A2S = 1e-4


@dataclass(frozen=True)
class Surge:
    """A closing onto a charged capacitor, resolved in closed form by the circuit."""

    contact: str
    t_s: float
    peak_a: float
    a2s: float
    welded: bool


def closed_spans(record: Recording, contact: str) -> list[Span]:
    """Stretches in which a contact was made; the last one may end with the record."""
    since = 0.0 if record.first_closed.get(contact, False) else None
    spans: list[Span] = []
    for event in record.events:
        if event.name != contact:
            continue
        if event.kind == "closed" and since is None:
            since = event.t_s
        elif event.kind == "opened" and since is not None:
            spans.append((since, event.t_s))
            since = None
    return spans if since is None else [*spans, (since, record.end_s)]


def surges(events: list[Event]) -> list[Surge]:
    """Every closing surge: an event "closed" gives A2s, "surge" after it the peak."""
    found: list[Surge] = []
    for n, event in enumerate(events):
        if event.kind != "closed" or event.value < LEAST_A2S:
            continue
        after = [e for e in events[n + 1 : n + 3] if e.name == event.name and e.t_s == event.t_s]
        peak = next((e.value for e in after if e.kind == "surge"), 0.0)
        welded = any(e.kind == "welded" for e in after)
        found.append(Surge(event.name, event.t_s, peak, event.value, welded))
    return found
