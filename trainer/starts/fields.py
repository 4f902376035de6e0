"""What every figure of a start report means: the list that documents ``energise --json``.

One row a key of ``data``; a test holds it against real reports. Knows words only.
"""

from __future__ import annotations

from typing import NamedTuple


class Field(NamedTuple):
    """A key of the report: its unit (empty for text, lists and tables) and what it says."""

    name: str
    unit: str
    meaning: str


FIELDS: tuple[Field, ...] = (
    Field("title", "", "title of the study"),
    Field(
        "outcome",
        "",
        "the first that applies: short_circuit, no_power, no_current, tripped, reverse, stalled, "
        "chatter, never_disengages, late_disengage, early_disengage, clean",
    ),
    Field("also", "", "all that apply, in the same order, the outcome itself included"),
    Field("peak_line_a", "A", "largest instantaneous amps of the leg that carries most"),
    Field("max_cycle_rms_line_a", "A rms", "largest one-cycle rms of the same leg"),
    Field(
        "clamp_inrush_a", "A rms", "inrush function of a clamp: rms of 100 ms from the first amps"
    ),
    Field(
        "clamp_maxhold_a",
        "A rms",
        "largest number an ordinary clamp shows (a few updates a second), mean over where the "
        "start falls between two updates",
    ),
    Field("clamp_maxhold_range_a", "A rms", "least and most of the same, by luck"),
    Field("run_line_rms_a", "A rms", "the same leg at the end, null unless the compressor runs"),
    Field("energised_at_s", "s", "when the supply first reached the compressor, study time"),
    Field("judged_at_s", "s", "end of what is judged: first trip, loss of power or end of record"),
    Field("time_to_90pct_s", "s", "from energising to 90 % of synchronous speed, null if never"),
    Field("disengage_s", "s", "from energising to the start capacitor first leaving the circuit"),
    Field("disengage_speed_ratio", "", "speed then, over synchronous; reported, not judged alone"),
    Field("out_for_good_s", "s", "from energising to its last leaving"),
    Field("recloses", "", "how often it came back while power was on"),
    Field("contactor_recloses", "", "how often the contactor closed again within half a second"),
    Field("speed_rpm", "rpm", "mean speed at the end of what is judged"),
    Field("end_speed_ratio", "", "the same over synchronous; negative is backwards"),
    Field(
        "over_torque",
        "",
        "true when standing torque is at least twice that of a reference with a start aid",
    ),
    Field("over_torque_ratio", "", "standing torque over the reference's, null without one"),
    Field(
        "standing_torque_nm",
        "N m",
        "mean torque at rest on full volts by phasors, start gear in; null behind a soft starter",
    ),
    Field(
        "high_current_longer",
        "",
        "true only when 90 % speed comes later than in the reference start; null without one, and "
        "when nothing flows or the motor runs backwards",
    ),
    Field("start_winding_peak_v", "V", "largest instantaneous volts between S and C"),
    Field("start_winding_rms_v", "V rms", "between S and C at the end"),
    Field("start_winding_rms_a", "A rms", "through the start winding at the end"),
    Field("run_winding_rms_a", "A rms", "through the run winding at the end"),
    Field("common_rms_a", "A rms", "out of C, through the internal overload, at the end"),
    Field("run_capacitor_peak_v", "V", "largest instantaneous volts on the run capacitor"),
    Field("start_capacitor_peak_v", "V", "largest instantaneous volts on the start capacitor"),
    Field("start_capacitor_left_v", "V dc", "left on it just after it left for good"),
    Field("start_capacitor_end_v", "V", "on it at the end of the record"),
    Field("start_capacitor_end_rms_a", "A rms", "through it at the end: 0 once it is out"),
    Field("start_capacitor_energy_j", "J", "heat in it, in its series resistance"),
    Field(
        "start_capacitor_life",
        "",
        "seconds_in_circuit, rms_v while in, over_rated_v, peak_rms_a, end_c, duty_used_ratio (of "
        "an hour's duty, at starts_per_hour), life_used_ratio, vents_in_s (null once it is out); "
        "null when the start capacitor is no part of its own or was never in",
    ),
    Field(
        "contact_surges",
        "",
        "closings onto a charged capacitor: contact, t_s, peak_a, a2s, welded",
    ),
    Field("before_v", "V rms", "supply before the start: leg_1, leg_2 to neutral, leg_to_leg"),
    Field("least_v", "V rms", "least half-cycle rms from energising on"),
    Field("sag_pct", "%", "fall of the half-cycle rms over the volts before"),
    Field("dmax_pct", "%", "largest change over nominal volts, as IEC 61000-3-3 counts it"),
    Field("dc_pct", "%", "settled change over nominal volts, as IEC 61000-3-3 counts it"),
    Field("above_3_3_pct_s", "s", "time for which the change was above 3.3 %"),
    Field("pst", "", "short-term flicker of starts_per_hour such starts, analytical method"),
    Field("starts_per_hour", "1/h", "for pst and duty"),
    Field("heat_j", "J", "in the resistances of each part; wires and rotors by themselves"),
    Field("hottest_wire", "", "name and heat_j of the conductor, joints included, that took most"),
    Field("temperatures_c", "degC", "most and end, of windings and of every heated device"),
    Field("trips", "", "what opened or gave up: part, device, t_s, kind"),
    Field("reference", "", "the start that is compared with, null without one"),
    Field("events", "", "contacts, coils and trips in order: t_s, kind, name, value"),
    Field(
        "later",
        "",
        "of a study longer than a minute, after its first minute: until_s, events, speed_rpm, "
        "main_winding_c, start_winding_c; else null",
    ),
    Field(
        "energy_j",
        "J",
        "source against heat, rotor, shaft, damping (lost in damped steps), stored; residual is "
        "the gap",
    ),
    Field("cautions", "", "what the figures must not be used for"),
)


def field_names() -> list[str]:
    return [field.name for field in FIELDS]
