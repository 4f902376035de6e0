"""Findings of a start in plain sentences.

Knows the report's data and words; computes nothing and decides nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

Data = Mapping[str, Any]

HEADINGS = {
    "short_circuit": "SHORT CIRCUIT",
    "no_power": "NO POWER AT THE COMPRESSOR",
    "no_current": "VOLTS BUT NO CURRENT",
    "tripped": "TRIPPED",
    "reverse": "RUNS BACKWARDS",
    "stalled": "DOES NOT COME UP TO SPEED",
    "chatter": "RELAY CHATTERS",
    "never_disengages": "START CAPACITOR NEVER LEAVES",
    "late_disengage": "START CAPACITOR LEAVES LATE",
    "early_disengage": "START CAPACITOR LEAVES TOO EARLY",
    "clean": "CLEAN START",
}


def seconds(value: float) -> str:
    """Milliseconds below a tenth of a second."""
    return f"{1000.0 * value:.0f} ms" if value < 0.0995 else f"{value:.2f} s"


def percent(ratio: float) -> str:
    return f"{100.0 * ratio:.0f} %"


def number(value: float, unit: str) -> str:
    """Three figures at most, whole numbers from ten on."""
    shown = f"{value:.0f}" if abs(value) >= 9.95 else f"{value:.1f}"
    return f"{shown} {unit}"


def sentence(name: str, d: Data) -> str:
    """What one finding means in this start."""
    return _SENTENCES[name](d)


def _short(d: Data) -> str:
    return (
        "A leg of the supply feeds almost straight into the other leg, the neutral or the metal. "
        f"The line carried {number(d['peak_line_a'], 'A')} at its peak."
    )


def _no_power(_: Data) -> str:
    return (
        "There were never volts between two terminals of the compressor: something between the "
        "supply and the compressor is open, or not called for."
    )


def _no_current(_: Data) -> str:
    return (
        "There are volts at the compressor's terminals, yet nothing to speak of flows through "
        "its windings: the path inside is open."
    )


def _tripped(d: Data) -> str:
    start = d["energised_at_s"]
    told = []
    for trip in d["trips"]:
        when = f"{trip['t_s']:.2f} s into the study"
        if start is not None and trip["t_s"] >= start:
            when = f"{seconds(trip['t_s'] - start)} after energising"
        verb = "gave up" if trip["kind"] in _SOURCES else "opened"
        told.append(f"{trip['part']} ({_KINDS.get(trip['kind'], trip['kind'])}) {verb} {when}")
    return "; ".join(dict.fromkeys(told)) + "."


_SOURCES = ("generator", "inverter", "phasecontrol")
_KINDS = {
    "thermal": "by heat",
    "magnetic": "by a rush of current",
    "residual": "by current to ground",
    "generator": "engine stalled",
    "inverter": "overloaded",
    "phasecontrol": "starter",
}


def _reverse(d: Data) -> str:
    return (
        f"The shaft turns backwards at {percent(-d['end_speed_ratio'])} of synchronous speed: it "
        "hums and runs but does not pump as it should."
    )


def _stalled(d: Data) -> str:
    speed = d["end_speed_ratio"]
    if abs(speed) < 0.02:
        turning = "The shaft stands still"
    else:
        turning = f"The shaft hangs at {percent(speed)} of synchronous speed"
    amps = d["common_rms_a"] or 0.0
    return (
        f"{turning}, and {number(amps, 'A')} flow out of C. The windings heat fast: switch off "
        "within two seconds."
    )


def _chatter(d: Data) -> str:
    if d["recloses"] >= d["contactor_recloses"]:
        return f"The start relay closed again {d['recloses']} times with the power on."
    return f"The contactor closed again {d['contactor_recloses']} times in quick succession."


def _never(d: Data) -> str:
    return (
        "The start capacitor is still in the circuit, with "
        f"{number(d['start_capacitor_end_rms_a'] or 0.0, 'A')} through it and "
        f"{number(d['start_winding_rms_v'] or 0.0, 'V')} between S and C. It is made for seconds."
    )


def _late(d: Data) -> str:
    full = seconds(d["time_to_90pct_s"])
    if d["disengage_s"] is None:
        return f"Full speed came after {full}, and the start capacitor is still in."
    after = seconds(d["disengage_s"] - d["time_to_90pct_s"])
    return f"Full speed came after {full}; the start capacitor left {after} later."


def _early(d: Data) -> str:
    told = [f"It first left after {seconds(d['disengage_s'])}"]
    told.append(f"at {percent(d['disengage_speed_ratio'])} of synchronous speed")
    if d["recloses"]:
        times = "once" if d["recloses"] == 1 else f"{d['recloses']} times"
        told.append(f"and came back {times}")
    elif d["time_to_90pct_s"] is None:
        told.append("and the motor then fell back")
    else:
        told.append("and the start took longer for it")
    return " ".join(told) + "."


def _clean(d: Data) -> str:
    told = f"Full speed after {seconds(d['time_to_90pct_s'])}"
    if d["disengage_s"] is None:
        return told + "."
    speed = percent(d["disengage_speed_ratio"])
    return (
        f"{told}; the start capacitor left after {seconds(d['disengage_s'])} at {speed} of "
        "synchronous speed and stayed out."
    )


_SENTENCES: dict[str, Callable[[Data], str]] = {
    "short_circuit": _short,
    "no_power": _no_power,
    "no_current": _no_current,
    "tripped": _tripped,
    "reverse": _reverse,
    "stalled": _stalled,
    "chatter": _chatter,
    "never_disengages": _never,
    "late_disengage": _late,
    "early_disengage": _early,
    "clean": _clean,
}


def torque_sentence(d: Data) -> str | None:
    """Over-torque by itself, whatever the relay did."""
    if not d["over_torque"]:
        return None
    told = (
        f"Over-torque: it pushes off with {d['over_torque_ratio']:.1f} times the torque of the "
        "right start capacitor, a blow to the shaft."
    )
    if d["high_current_longer"]:
        return f"{told} The high current also lasts longer than in the reference start."
    if d["high_current_longer"] is False:
        return f"{told} The high current does not last longer than in the reference start."
    return told
