"""What the trade knows of exchanged wires and of the relay's pickup, out of the circuit alone."""

from functools import cache

import numpy as np
import pytest
from pytest import approx

from tests.starts.runs import data_of, report_of
from tests.starts.variants import study, with_parts
from trainer.circuit.phasor import prepare
from trainer.starts.run import run_start
from trainer.study.build import build

#: Locked-rotor amps of the anchor motor at 230 V, run capacitor only: 79 A (model).
LRA = 79.0


@cache
def start_volts(share):
    """Phasor V(S-C) with 98 uF and 230 V between C and R, at a share of synchronous speed."""
    elements, roles = build(study("potential-relay"))
    closed = dict(report_of("potential-relay").record.closed_at(0.1))
    speeds = {"comp": share * 2.0 * np.pi * 60.0}
    found = prepare(elements, closed).at(speeds)
    common = roles.node("comp.C")
    across = found.volts(common, roles.node("comp.R"))
    return 230.0 * abs(found.volts(roles.node("comp.S"), common) / across)


@pytest.mark.parametrize(
    "share, volts",
    # the anchor motor's figures with + 98 uF on 230 V (model)
    [(0.6, 103.0), (0.7, 133.0), (0.8, 192.0), (0.85, 241.0), (0.9, 314.0)],
)
def test_start_winding_volts_climb_with_speed(share, volts):
    assert start_volts(share) == approx(volts, rel=0.015)


def test_180_volts_come_between_75_and_85_per_cent_of_speed():
    # pickup in the region of 180 V for 230 V units: common practice, no source
    assert start_volts(0.75) < 180.0 < start_volts(0.85)


def test_start_winding_volts_dip_before_they_rise():
    # 85 V at rest, 81 at 0.4, 103 at 0.6 of speed (model)
    assert start_volts(0.4) < start_volts(0.0) < start_volts(0.6)


def test_the_contact_opens_later_than_the_phasor_says():
    # coil averaging and the armature take time in which the shaft gains speed
    e = report_of("potential-relay").evidence
    assert e.opened_speed > 0.81
    assert report_of("potential-relay").outcome == "clean"


def test_common_and_start_exchanged_the_protector_sees_nothing():
    data = data_of("common-and-start-swapped")
    assert data["common_rms_a"] < 2.0
    assert data["start_winding_rms_a"] == approx(LRA / 3.0, rel=0.1)
    assert data["run_winding_rms_a"] == approx(LRA / 3.0, rel=0.1)


def test_common_and_start_exchanged_its_opening_would_change_nothing():
    wrong = run_start(study("common-and-start-swapped"), until_s=2.0)
    opened = run_start(
        with_parts("common-and-start-swapped", comp={"found": "overload_open"}), until_s=2.0
    )
    amps = [float(r.record.cycle_rms("line_1")[-1]) for r in (wrong, opened)]
    assert amps[1] == approx(amps[0], rel=0.05)


def test_run_and_start_exchanged_the_protector_is_slow():
    data = data_of("start-and-run-swapped")
    assert 0.4 * LRA < data["common_rms_a"] < 0.55 * LRA
    assert run_start(study("locked-rotor"), until_s=10.0).outcome == "tripped"
    assert run_start(study("start-and-run-swapped"), until_s=20.0).outcome == "stalled"


def test_a_class_too_high_opens_in_time_because_the_volts_run_up():
    high, right = (report_of(n).evidence for n in ("class-too-high", "potential-relay"))
    assert report_of("class-too-high").outcome == "clean"
    assert 0.0 < high.opened_s - right.opened_s < 0.05


def test_a_wire_off_terminal_5_and_a_welded_contact_differ_at_the_coil():
    # F09 and F28: the same growl, but on the welded one the coil has its volts
    off, welded = (report_of(n).record for n in ("never-disengages", "welded-relay"))
    assert off["relay_coil_rms"].max() < 1.0
    assert welded["relay_coil_rms"].max() > 205.0


def test_a_bleed_resistor_spares_the_contact():
    with_bleed, without = (
        data_of(f"recloses-{which}-bleed")["contact_surges"] for which in ("with", "without")
    )
    assert len(with_bleed) == len(without) == 1
    assert without[0]["peak_a"] > 10.0 * with_bleed[0]["peak_a"]
    assert without[0]["a2s"] > 100.0 * with_bleed[0]["a2s"]


def test_a_start_capacitor_hardly_changes_the_peak():
    # it raises torque and shortens the inrush: trade articles; 79 to 70 A (model)
    plain, aided = data_of("psc"), data_of("potential-relay")
    assert aided["peak_line_a"] == approx(plain["peak_line_a"], rel=0.1)
    assert aided["time_to_90pct_s"] < plain["time_to_90pct_s"]


def test_a_soft_starter_lowers_the_peak_and_the_dip():
    plain, soft = data_of("psc"), data_of("soft-starter")
    assert soft["peak_line_a"] < 0.75 * plain["peak_line_a"]
    assert soft["sag_pct"]["leg_to_leg"] < 0.75 * plain["sag_pct"]["leg_to_leg"]
