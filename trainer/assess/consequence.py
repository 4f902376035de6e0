"""What this very circuit did, in a sentence with its own numbers: from starts and harm logged.

Nothing is looked up: a wiring that was never energised has no consequence here, and that is
said. Knows data of start, shock and arc events; must know no rule.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from trainer.assess.story import Start
from trainer.base.tongue import capital

#: A start's outcome in words.
OUTCOMES = {
    "clean": "the motor started", "runs": "the motor started",
    "early_disengage": "the start capacitor left too early",
    "late_disengage": "the start capacitor left late",
    "never_disengages": "the start capacitor never left",
    "chatter": "the relay chattered", "stalled": "the motor did not come up to speed",
    "tripped": "a protector tripped", "short_circuit": "it was a short circuit",
    "no_power": "nothing was fed", "no_current": "no current flowed",
    "reverse": "the motor ran backwards", "stands and hums": "the motor stood and hummed",
    "trips": "a protector tripped", "ran and stopped": "the motor ran and stopped",
}  # fmt: skip
NO_START = "It was energised and called like this, and no motor started."
NEVER = "It was never energised like this in this attempt, so nothing was measured of it."


def of_start(start: Start | None) -> str:
    """What a start did, its amps, time and what it left charged."""
    if start is None:
        return NEVER
    f = start.figures
    words = [f"Energised like this, {OUTCOMES.get(start.outcome, start.outcome)}"]
    peak = f.get("peak_line_a") or start.course["peak_a"]
    words.append(f"line amps peaked at {peak:.0f} A")
    slow = f.get("time_to_90pct_s")
    if slow:
        words.append(f"it took {slow:.2f} s to speed")
    running = f.get("run_line_rms_a")
    if running:
        words.append(f"it then drew {running:.1f} A")
    elif not slow and f.get("max_cycle_rms_line_a"):
        words.append(f"it drew up to {f['max_cycle_rms_line_a']:.0f} A rms standing")
    return "; ".join([*words, *_more(f)]) + "."


def _more(f: Mapping[str, Any]) -> list[str]:
    words = []
    if f.get("over_torque"):
        words.append(f"standing torque {f['over_torque_ratio']:.1f} times the sheet's")
    if f.get("recloses"):
        words.append(f"the relay closed again {f['recloses']} times")
    if f.get("outcome") in ("never_disengages", "late_disengage") and f.get("start_winding_peak_v"):
        words.append(f"{f['start_winding_peak_v']:.0f} V peak stood across the start winding")
        words.append(f"the start capacitor took {f['start_capacitor_energy_j']:.0f} J of heat")
    trips = f.get("trips") or []
    if trips:
        words.append(f"{_part(trips[0])} tripped")
    sag = f.get("sag_pct") or {}
    if sag.get("leg_to_leg", 0.0) >= 3.0:
        words.append(f"the supply sagged by {sag['leg_to_leg']:.1f} %")
    return words


def _part(trip: Any) -> str:
    name = trip.get("name", "") if isinstance(trip, Mapping) else str(trip)
    return str(name).partition("~")[0] or "a protector"


def of_hurt(data: Mapping[str, Any], kind: str) -> str:
    """A shock or an arc in numbers, soberly."""
    if kind == "shock":
        volts = f"{data['volts_ac']:.0f} V ac"
        if abs(data["volts_dc"]) > data["volts_ac"]:
            volts = f"{abs(data['volts_dc']):.0f} V dc"
        amps = max(data["amps"], data["peak_a"] if data["amps"] < 0.001 else 0.0)
        through = f"{1000.0 * amps:.0f} mA" if amps >= 0.0005 else "less than 1 mA"
        touched = f"{capital(data['doer'])} was on {data['place']} with {volts} to {data['other']}"
        if data["amps"] < 0.001:
            return f"{touched}: {through} through the body; {data['effect']}."
        return f"{touched}: {through} through the body for {data['for_s']:g} s; {data['effect']}."
    if kind == "arc":
        return (
            f"A flash between {data['a']} and {data['b']}: {data['joules']:g} J, "
            f"{data['peak_a']:.0f} A at its peak."
        )
    if kind == "pierced":
        return f"A screw went into the {data['zone']}."
    return f"{data.get('part', 'a part')} was destroyed."
