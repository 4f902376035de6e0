"""The report of one start: the ``data`` object of ``energise --json``.

Puts together what evidence, figures and findings say; computes nothing itself. Every key is
described in ``fields``.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from functools import cached_property
from typing import Any

from trainer.circuit.channels import Event
from trainer.starts import figures, outcome
from trainer.starts import watching as w
from trainer.starts.contacts import surges
from trainer.starts.evidence import Evidence, ReferenceStart, gather
from trainer.starts.later import Later
from trainer.starts.recording import Recording
from trainer.starts.signals import moving_rms
from trainer.starts.supplying import Disturbance, disturbances
from trainer.starts.thresholds import Thresholds
from trainer.starts.wear import CanData, Wear, wear

CAUTIONS = (
    "Training aid only: invented equipment and simplified physics. A real meter will show "
    "something else.",
    "Real rules win: the law, the code in force, the maker's instructions and your licence.",
    "Capacitors stay charged after power is off: make dead, discharge through a resistor, prove "
    "it on DC.",
)
#: Events that only clutter a list: a soft starter's pair fires twice a cycle.
SHOWN_EVENTS = 400
RPM = 30.0 / math.pi


@dataclass(frozen=True)
class StartReport:
    """A start, what it is called, and the record behind it."""

    title: str
    record: Recording
    evidence: Evidence
    named: outcome.Named
    torque: outcome.OverTorque
    wear: Wear | None
    limits: Thresholds
    starts_per_hour: float
    reference: StartReport | None = None
    #: Said by the study: it lies on an edge.
    sensitive: bool = False
    #: Only of a study that goes on after its start.
    later: Later | None = None

    @property
    def outcome(self) -> str:
        return self.named.outcome

    @cached_property
    def supply(self) -> dict[str, Disturbance]:
        """Worked out when asked for: who wants a name alone should not wait for it."""
        e = self.evidence
        return disturbances(self.record, e.energised_at_s, e.judged_at_s, self.starts_per_hour)

    def as_reference(self) -> ReferenceStart:
        """What findings of another start may know of this one."""
        e = self.evidence
        return ReferenceStart(
            self.title, e.time_to_full_s, e.opened_speed, e.standing_nm, e.aid.fitted
        )

    def as_data(self) -> dict[str, Any]:
        """Plain data, SI unless the name says otherwise; see ``fields``."""
        return {
            "title": self.title,
            "outcome": self.named.outcome,
            "also": list(self.named.also),
            **_line(self),
            **_course(self),
            **_torque(self),
            **_volts(self),
            **_supply(self),
            **_heat(self),
            "reference": _reference(self),
            "events": _events(self.record, self.record.events),
            "later": _later(self),
            "energy_j": dict(self.record.trace.energy_j),
            "cautions": list(CAUTIONS),
        }


def report(
    title: str,
    record: Recording,
    limits: Thresholds,
    can: CanData | None = None,
    reference: StartReport | None = None,
    starts_per_hour: float | None = None,
    sensitive: bool = False,
    later: Later | None = None,
) -> StartReport:
    """Judge a record."""
    per_hour = starts_per_hour or limits.starts_per_hour.value
    e = gather(record, limits, reference.as_reference() if reference else None)
    return StartReport(
        title=title,
        record=record,
        evidence=e,
        named=outcome.named(e, limits),
        torque=outcome.over_torque(e, limits),
        wear=_wear(record, e, can, limits),
        limits=limits,
        starts_per_hour=per_hour,
        reference=reference,
        sensitive=sensitive,
        later=later,
    )


def _wear(record: Recording, e: Evidence, can: CanData | None, limits: Thresholds) -> Wear | None:
    if can is None or not e.aid.fitted or not record.has(w.START_CAP_A):
        return None
    n = record.index(e.judged_at_s) + 1
    volts = moving_rms(record[w.START_CAP_V][:n], record.per_cycle)
    return wear(can, volts, record.cycle_rms(w.START_CAP_A)[:n], record.step_s, limits)


def _line(r: StartReport) -> dict[str, Any]:
    amps = figures.line_amps(r.record, r.evidence, r.limits)
    shown = amps.display_a if amps else None
    return {
        "peak_line_a": amps.peak_a if amps else None,
        "max_cycle_rms_line_a": amps.cycle_rms_a if amps else None,
        "clamp_inrush_a": amps.inrush_a if amps else None,
        "clamp_maxhold_a": shown[1] if shown else None,
        "clamp_maxhold_range_a": [shown[0], shown[2]] if shown else None,
        "run_line_rms_a": amps.run_rms_a if amps else None,
    }


def _course(r: StartReport) -> dict[str, Any]:
    e = r.evidence
    out, start = e.aid.out_for_good_s, e.energised_at_s
    return {
        "energised_at_s": start,
        "judged_at_s": e.judged_at_s,
        "time_to_90pct_s": e.time_to_full_s,
        "disengage_s": e.opened_s,
        "disengage_speed_ratio": e.opened_speed,
        "out_for_good_s": None if out is None or start is None else out - start,
        "recloses": e.aid.recloses,
        "contactor_recloses": e.contactor_recloses,
        "speed_rpm": figures.speed_rpm(r.record, e),
        "end_speed_ratio": e.speed_at_end,
    }


def _torque(r: StartReport) -> dict[str, Any]:
    e = r.evidence
    return {
        "over_torque": r.torque.over,
        "over_torque_ratio": r.torque.ratio,
        "standing_torque_nm": e.standing_nm,
        "high_current_longer": outcome.high_current_longer(e, r.limits),
    }


def _volts(r: StartReport) -> dict[str, Any]:
    record, e = r.record, r.evidence
    can = record.roles.start_capacitor
    return {
        "start_winding_peak_v": figures.peak_of(record, w.V_SC),
        "start_winding_rms_v": figures.end_rms(record, w.V_SC, e),
        "start_winding_rms_a": figures.end_rms(record, w.AUX, e),
        "run_winding_rms_a": figures.end_rms(record, w.MAIN, e),
        "common_rms_a": figures.end_rms(record, w.COMMON, e),
        "run_capacitor_peak_v": figures.peak_of(record, w.RUN_CAP_V),
        "start_capacitor_peak_v": figures.peak_of(record, w.START_CAP_V),
        "start_capacitor_left_v": figures.left_v(record, e.aid),
        "start_capacitor_end_v": float(abs(record[w.START_CAP_V][-1])) if can else None,
        "start_capacitor_end_rms_a": figures.end_rms(record, w.START_CAP_A, e),
        "start_capacitor_energy_j": record.trace.heat_j.get(can, 0.0) if can else None,
        "start_capacitor_life": asdict(r.wear) if r.wear else None,
        "contact_surges": [asdict(s) for s in surges(record.events)],
    }


def _supply(r: StartReport) -> dict[str, Any]:
    def each(what: str) -> dict[str, float]:
        return {name: getattr(d, what) for name, d in r.supply.items()}

    return {
        "before_v": each("before_v"),
        "least_v": each("least_v"),
        "sag_pct": each("sag_pct"),
        "dmax_pct": each("dmax_pct"),
        "dc_pct": each("dc_pct"),
        "above_3_3_pct_s": each("over_limit_s"),
        "pst": each("pst"),
        "starts_per_hour": r.starts_per_hour,
    }


def _heat(r: StartReport) -> dict[str, Any]:
    wire = figures.hottest_wire(r.record)
    return {
        "heat_j": figures.heat_by_part(r.record),
        "hottest_wire": {"name": wire[0], "heat_j": wire[1]} if wire else None,
        "temperatures_c": figures.temperatures(r.record),
        "trips": [asdict(t) for t in r.evidence.trips],
    }


def _reference(r: StartReport) -> dict[str, Any] | None:
    if r.reference is None:
        return None
    e, data = r.reference.evidence, r.reference.as_data()
    return {
        "title": r.reference.title,
        "outcome": r.reference.outcome,
        "time_to_90pct_s": e.time_to_full_s,
        "disengage_s": e.opened_s,
        "disengage_speed_ratio": e.opened_speed,
        "standing_torque_nm": e.standing_nm,
        "peak_line_a": data["peak_line_a"],
    }


def _later(r: StartReport) -> dict[str, Any] | None:
    if r.later is None:
        return None
    found = r.later
    return {
        "until_s": found.until_s,
        "events": _events(r.record, found.events),
        "speed_rpm": None if found.speed_rad_s is None else found.speed_rad_s * RPM,
        "main_winding_c": found.main_c,
        "start_winding_c": found.aux_c,
    }


def _events(record: Recording, events: Sequence[Event]) -> list[dict[str, Any]]:
    """Happenings in order of time; a soft starter's pair, which fires twice a cycle, left out."""
    pairs = {record.roles.marks[p].get("pair") for p in record.roles.marks}
    shown = [e for e in events if e.name not in pairs and e.kind != "parted"]
    return [asdict(e) for e in shown[:SHOWN_EVENTS]]
