"""Proof of a choice by energising it: simulated starts of the plate's compressor with its gear.

Builds nothing and judges nothing itself: the study is ``bench``'s, the outcome the start report's.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from trainer.sizing.bench import Gear, study_of
from trainer.sizing.feed import Feed
from trainer.sizing.nameplate_file import NameplateFile
from trainer.sizing.sizing import AidKind, Proof, RelayKit
from trainer.starts.run import run_start

#: A start that takes longer is none to leave alone. Healthy ones take 0.1-0.3 s (common practice,
#: no source); this bound is invented.
WELL_WITHIN_S = 0.8
#: What of a start report goes into the answer beside outcome, time and peak.
DETAILS = (
    "also", "max_cycle_rms_line_a", "clamp_inrush_a", "run_line_rms_a", "disengage_s",
    "disengage_speed_ratio", "recloses", "start_winding_peak_v", "start_capacitor_peak_v",
    "start_capacitor_left_v", "standing_torque_nm", "sag_pct", "dmax_pct", "dc_pct", "pst",
)  # fmt: skip


def start(plate: NameplateFile, gear: Gear, feed: Feed, breaker_a: float) -> Proof:
    """One start on a supply."""
    study = study_of(plate, gear, feed, breaker_a)
    data = run_start(study, starts_per_hour=plate.starts_per_hour).as_data()
    return Proof(
        what=_named(gear),
        gear=_kind(gear),
        supply=feed.what,
        volts=feed.volts,
        outcome=data["outcome"],
        time_to_90pct_s=data["time_to_90pct_s"],
        peak_line_a=data["peak_line_a"],
        details=_details(data),
    )


def well(proof: Proof) -> bool:
    """Whether it got up to speed cleanly and in time."""
    soon = proof.time_to_90pct_s is not None and proof.time_to_90pct_s <= WELL_WITHIN_S
    return proof.outcome == "clean" and soon


def early_corner(kit: RelayKit) -> RelayKit:
    """The pair that opens soonest: most microfarads, least pickup, and drop-out at its highest."""
    return _at(kit, kit.range_f[1], kit.pickup_v[0], kit.dropout_v[1], "top of its range")


def late_corner(kit: RelayKit) -> RelayKit:
    """The pair that opens last: fewest microfarads, most pickup, drop-out at its lowest."""
    return _at(kit, kit.range_f[0], kit.pickup_v[1], kit.dropout_v[0], "bottom of its range")


def _at(kit: RelayKit, farads: float, pickup: float, dropout: float, where: str) -> RelayKit:
    return replace(
        kit,
        label=f"{kit.label} at the {where}",
        relay=f"{kit.relay} at {pickup:.0f} V",
        range_f=(farads, farads),
        pickup_v=(pickup, pickup),
        dropout_v=(dropout, dropout),
    )


def _named(gear: Gear) -> str:
    if gear is None:
        return "no aid"
    if isinstance(gear, RelayKit):
        return f"{gear.label}, relay {gear.relay}"
    return f"soft starter {gear}"


def _kind(gear: Gear) -> AidKind:
    if gear is None:
        return "none"
    return "relay_kit" if isinstance(gear, RelayKit) else "soft_starter"


def _details(data: dict[str, Any]) -> dict[str, object]:
    return {key: data[key] for key in DETAILS if data.get(key) is not None}
