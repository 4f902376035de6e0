"""The study built to prove a choice."""

import pytest
from pytest import approx

from tests.sizing.plates import plate
from trainer.sizing import bench
from trainer.sizing.sizing import RelayKit
from trainer.study.build import build

KIT = RelayKit(
    "88-108 µF", (88e-6, 108e-6), "class B", (160.0, 190.0), (40.0, 90.0), 340.0, "invented"
)
SITE = {
    "transformer": "10 kVA",
    "service": {"length": "60 m", "gauge": "10 mm2"},
    "branch": {"length": "15 m", "gauge": "6 mm2"},
}


def test_nothing_but_the_compressor_and_its_run_capacitor():
    study = bench.study_of(plate(), None, 0.9, 30.0)
    assert set(study.parts) == {"supply", "breaker", "disconnect", "comp", "run"}
    assert study.parts["supply"].volts == approx(207.0)
    assert study.parts["run"].capacitance == approx(35e-6)


def test_a_relay_kit_sits_in_the_middle_of_its_ranges():
    parts = bench.study_of(plate(), KIT, 1.0, 30.0).parts
    assert parts["start"].capacitance == approx(98e-6)
    assert (parts["relay"].pickup_v, parts["relay"].dropout_v) == (175.0, 65.0)


def test_a_soft_starter_sits_in_the_common_lead():
    study = bench.study_of(plate(), "P20", 1.0, 30.0)
    ends = {(wire.begin, wire.end) for wire in study.wires}
    assert ("disconnect.T1", "soft.IN") in ends
    assert ("soft.OUT", "comp.C") in ends
    # 40 % of the unit's 78.6 A
    assert study.parts["soft"].limit_a == approx(31.44)


@pytest.mark.parametrize(
    ("more", "kind", "legs"),
    [
        ({}, "split_phase_service", ("L1", "L2")),
        ({"hz": "50 Hz", "ohms": None}, "line_neutral_230", ("L", "N")),
    ],
)
def test_the_supply_follows_volts_and_frequency(more, kind, legs):
    study = bench.study_of(plate(**more), None, 1.0, 30.0)
    assert study.parts["supply"].kind == kind
    ends = {(wire.begin, wire.end) for wire in study.wires}
    assert (f"supply.{legs[0]}", "breaker.1i") in ends
    assert (f"supply.{legs[1]}", "breaker.2i") in ends


def test_a_115_volt_unit_hangs_on_one_leg():
    small = plate(volts="115 V", rla="9 A", lra="50 A", run_capacitor="35 uF", ohms=None)
    study = bench.study_of(small, None, 1.0, 20.0)
    assert study.parts["supply"].volts == approx(230.0)
    assert bench.legs_of(small) == ("L1", "N")


def test_the_site_stands_in_the_study():
    parts = bench.study_of(plate(supply=SITE), None, 1.0, 30.0).parts
    assert parts["supply"].transformer == approx(10e3)
    assert (parts["supply"].conductor, parts["supply"].length) == ("10 mm2", approx(60.0))


def test_a_line_to_neutral_supply_has_the_whole_loop():
    # 15 kVA at 230 V: (1.20 + j1.70) % of 3.527 ohm; 60 m of 10 mm2: 2 x 60 x 2.189 mohm
    site = {**SITE, "transformer": "15 kVA"}
    part = bench.study_of(plate(hz="50 Hz", ohms=None, supply=site), None, 1.0, 30.0).parts[
        "supply"
    ]
    loop = part.phase_resistance + part.neutral_resistance
    assert loop == approx(0.0423 + 0.2626, rel=0.01)


def test_every_proof_study_builds():
    for gear in (None, KIT, "P20"):
        elements, roles = build(bench.study_of(plate(), gear, 1.0, 30.0))
        assert roles.part("compressor") == "comp"
        assert len(elements.machines) == 1
