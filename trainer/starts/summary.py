"""A start told to a tradesman: what it is called, what meter and clamp show, what it cost.

Plain words and numbers, laid out as text. Knows the report's data; computes nothing.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from trainer.starts.report import StartReport
from trainer.starts.wording import (
    HEADINGS,
    Data,
    number,
    percent,
    seconds,
    sentence,
    torque_sentence,
)

WIDTH = 88
_LABEL = 32
#: Events of the minutes after a start that are told one by one.
MOST_LATER = 6


def summary(report: StartReport) -> str:
    """The whole text."""
    d = report.as_data()
    blocks = [
        [report.title, "", HEADINGS[d["outcome"]], *_findings(d)],
        ["What the instruments show", *_instruments(d)],
        ["What the supply felt", *_supply(d)],
        ["What the parts went through", *_parts(d)],
        ["Afterwards", *_afterwards(d["later"])],
        _wrapped("Caution: " + " ".join(d["cautions"])),
    ]
    return "\n\n".join("\n".join(block) for block in blocks if len(block) > 1)


def _findings(d: Data) -> Iterator[str]:
    """The outcome, then whatever else applies."""
    for name in d["also"]:
        yield from _wrapped(sentence(name, d))
    torque = torque_sentence(d)
    if torque:
        yield from _wrapped(torque)
    if d["reference"]:
        yield from _wrapped(_against(d, d["reference"]))


def _against(d: Data, ref: Data) -> str:
    if ref["time_to_90pct_s"] is None:
        return f"Compared with: {ref['title']}, which does not come up to speed."
    told = f"Compared with: {ref['title']}, at full speed after {seconds(ref['time_to_90pct_s'])}"
    if ref["disengage_s"] is not None:
        told += f", start capacitor out after {seconds(ref['disengage_s'])}"
    return told + "."


def _instruments(d: Data) -> Iterator[str]:
    if d["peak_line_a"] is None:
        return
    yield _row("Line, at its peak", number(d["peak_line_a"], "A"), "one instant")
    yield _row("Line, highest cycle", number(d["max_cycle_rms_line_a"], "A"))
    if d["clamp_inrush_a"] is not None:
        yield _row("Clamp, inrush function", number(d["clamp_inrush_a"], "A"), "100 ms")
    if d["clamp_maxhold_a"] is not None:
        low, high = d["clamp_maxhold_range_a"]
        luck = f"{low:.0f} to {high:.0f} A by luck of its display"
        yield _row("Clamp, MAX hold", number(d["clamp_maxhold_a"], "A"), luck)
    if d["run_line_rms_a"] is not None:
        yield _row("Line, running", number(d["run_line_rms_a"], "A"), "everything on the supply")
    if d["speed_rpm"] is not None and d["energised_at_s"] is not None:
        yield _row("Speed at the end", f"{d['speed_rpm']:.0f} rpm")
    if d["start_winding_rms_v"] is not None:
        yield _row("S to C at the end", number(d["start_winding_rms_v"], "V"))
    if d["start_capacitor_end_rms_a"] is not None:
        yield _row("Start capacitor lead at the end", number(d["start_capacitor_end_rms_a"], "A"))


_PAIRS = {"leg_1": "Leg 1 to neutral", "leg_2": "Leg 2 to neutral", "leg_to_leg": "Leg to leg"}


def _supply(d: Data) -> Iterator[str]:
    for pair, label in _PAIRS.items():
        if pair in d["sag_pct"]:
            volts = f"{d['before_v'][pair]:.1f} V to {d['least_v'][pair]:.1f} V"
            yield _row(label, volts, f"dips {d['sag_pct'][pair]:.1f} %")
    flicker = max(d["pst"].values(), default=0.0)
    if flicker > 0.0:
        often = f"{d['starts_per_hour']:g} starts an hour; from 1.0 on people complain"
        yield _row("Lamp flicker (Pst)", f"{flicker:.2f}", often)


def _parts(d: Data) -> Iterator[str]:
    if d["start_winding_peak_v"] is not None:
        yield _row("Start winding, S to C", f"{d['start_winding_peak_v']:.0f} V peak")
    if d["run_capacitor_peak_v"] is not None:
        yield _row("Run capacitor", f"{d['run_capacitor_peak_v']:.0f} V peak")
    if d["start_capacitor_peak_v"] is not None:
        heat = f"{number(d['start_capacitor_energy_j'], 'J')} of heat"
        yield _row("Start capacitor", f"{d['start_capacitor_peak_v']:.0f} V peak", heat)
    if d["start_capacitor_left_v"] is not None:
        yield _row("  left charged at", f"{d['start_capacitor_left_v']:.0f} V dc")
    if d["start_capacitor_life"]:
        yield from _life(d["start_capacitor_life"], d["starts_per_hour"])
    yield from _surges(d["contact_surges"])
    yield from _warm(d["temperatures_c"])


def _life(life: Data, per_hour: float) -> Iterator[str]:
    over = f"{percent(life['over_rated_v'])} of its rated volts meanwhile"
    yield _row("  in the circuit", seconds(life["seconds_in_circuit"]), over)
    duty = f"at {per_hour:g} starts an hour"
    yield _row("  of its hourly duty", percent(life["duty_used_ratio"]), duty)
    if life["vents_in_s"] is not None:
        yield _row("  boils and vents in about", seconds(life["vents_in_s"]), "if left like this")


def _surges(found: list[Data]) -> Iterator[str]:
    if not found:
        return
    worst = max(found, key=lambda s: s["a2s"])
    times = "once" if len(found) == 1 else f"{len(found)} times"
    part = worst["contact"].split("~")[0]
    yield from _wrapped(
        f"  The contact of {part} closed onto a charged capacitor {times}, at worst "
        f"{worst['peak_a']:.0f} A for an instant ({worst['a2s']:.2f} A2s)"
        + (" and welded." if any(s["welded"] for s in found) else "; it did not weld.")
    )


def _afterwards(later: Data | None) -> Iterator[str]:
    """Trips and resets of the minutes after the start."""
    if later is None:
        return
    told = [event for event in later["events"] if event["kind"] in _TOLD]
    for event in told[:MOST_LATER]:
        part = event["name"].split("~")[0]
        yield _row(f"{part} {_TOLD[event['kind']]}", f"{event['t_s']:.0f} s", "study time")
    if len(told) > MOST_LATER:
        yield f"  and {len(told) - MOST_LATER} more such events"
    if later["speed_rpm"] is not None:
        yield _row("Speed then", f"{later['speed_rpm']:.0f} rpm", f"at {later['until_s']:.0f} s")
        yield _row("Start winding then", f"{later['start_winding_c']:.0f} degC")


_TOLD = {"tripped": "trips", "reset": "resets", "gave_up": "gives up", "welded": "welds"}


def _warm(temperatures: Data) -> Iterator[str]:
    for name, label in (("start_winding", "Start winding"), ("main_winding", "Run winding")):
        if name in temperatures:
            yield _row(f"{label}, warmest", f"{temperatures[name]['most']:.0f} degC")


def _row(label: str, value: str, remark: str = "") -> str:
    return f"  {label:<{_LABEL}}{value:<20} {remark}".rstrip()


def _wrapped(text: str) -> list[str]:
    indent = len(text) - len(text.lstrip())
    return textwrap.wrap(
        text.strip(), WIDTH, initial_indent=" " * indent, subsequent_indent=" " * indent
    )
