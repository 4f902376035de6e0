"""Instruments that watch while time passes: an armed clamp, a meter that keeps least and most.

Knows recorded lines; must know no act.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from trainer.circuit.channels import Channel, Trace
from trainer.circuit.elements import Sense
from trainer.instruments import clamp, multimeter
from trainer.instruments.shown import Shown
from trainer.session.bench import Bench
from trainer.session.events import Happening
from trainer.unit.circuit import elements_of

INRUSH = clamp.INRUSH
EXTREMES = multimeter.EXTREMES


def lines(bench: Bench) -> list[Channel]:
    """What has to be recorded for them."""
    found = []
    if bench.jaws and bench.armed:
        signed = tuple(clamp.signed(bench.jaws.split(",")))
        found.append(Channel(INRUSH, Sense(amps=signed)))
    if bench.leads:
        _, nodes = elements_of(bench.unit)
        if all(place in nodes for place in bench.leads):
            ends = nodes.at(bench.leads[0]), nodes.at(bench.leads[1])
            found.append(Channel(EXTREMES, Sense(volts=ends)))
    return found


def caught(bench: Bench, at_ms: int, traces: Sequence[Trace]) -> list[Happening]:
    """What they show now."""
    found = []
    t, amps = _joined(traces, INRUSH)
    if t.size and bench.jaws:
        shown = clamp.inrush(t, amps, bench.health_of("clamp"))
        if shown.value is not None:
            found.append(_read(at_ms, "clamp", INRUSH, {"jaws": bench.jaws}, shown))
    t, volts = _joined(traces, EXTREMES)
    if t.size and bench.leads:
        shown, kept = multimeter.extremes(t, volts, bench.health_of("meter"), bench.kept)
        leads = {"red": bench.leads[0], "black": bench.leads[1]}
        found.append(_read(at_ms, "meter", EXTREMES, leads, shown, kept))
    return found


def _joined(traces: Sequence[Trace], name: str) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    seen = [t for t in traces if name in t.values and t.t_s.size]
    if not seen:
        return np.zeros(0), np.zeros(0)
    return np.concatenate([x.t_s for x in seen]), np.concatenate([x.values[name] for x in seen])


def after(bench: Bench, found: Sequence[Happening]) -> Bench:
    """The bench once these have shown their figures."""
    for happening in found:
        data = happening.data
        if data["setting"] == INRUSH:  # it holds its figure until it is armed again
            bench = replace(bench, armed=False)
        elif data["setting"] == EXTREMES and data.get("kept"):
            bench = replace(bench, kept=tuple(data["kept"]))
    return bench


def _read(
    at_ms: int,
    instrument: str,
    setting: str,
    leads: dict[str, str],
    shown: Shown,
    kept: tuple[float, float] | None = None,
) -> Happening:
    data: dict[str, Any] = {
        "instrument": instrument, "setting": setting, "leads": leads,
        "shown": shown.model_dump(mode="json"), "why": "",
    }  # fmt: skip
    if kept is not None:
        data["kept"] = list(kept)
    return Happening(at_ms, "read", data)
