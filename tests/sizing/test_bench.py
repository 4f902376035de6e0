"""The study built to prove a choice."""

import pytest
from pytest import approx

from tests.sizing.plates import plate
from trainer.sizing import bench, feed
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


def study_on(unit, gear, ratio=1.0):
    return bench.study_of(unit, gear, feed.line(unit, ratio), 30.0)


def test_nothing_but_the_compressor_and_its_run_capacitor():
    study = study_on(plate(), None, 0.9)
    assert set(study.parts) == {"supply", "breaker", "disconnect", "comp", "run"}
    assert study.parts["supply"].volts == approx(207.0)
    assert study.parts["run"].capacitance == approx(35e-6)


def test_a_relay_kit_sits_in_the_middle_of_its_ranges():
    parts = study_on(plate(), KIT).parts
    assert parts["start"].capacitance == approx(98e-6)
    assert (parts["relay"].pickup_v, parts["relay"].dropout_v) == (175.0, 65.0)


def test_a_soft_starter_sits_in_the_common_lead():
    study = study_on(plate(), "P20")
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
        ({"volts": "208 V", "ohms": None}, "wye_208", ("L1", "L2")),
    ],
)
def test_the_supply_follows_volts_and_frequency(more, kind, legs):
    study = study_on(plate(**more), None)
    assert study.parts["supply"].kind == kind
    ends = {(wire.begin, wire.end) for wire in study.wires}
    assert (f"supply.{legs[0]}", "breaker.1i") in ends
    assert (f"supply.{legs[1]}", "breaker.2i") in ends


def test_a_115_volt_unit_hangs_on_one_leg():
    small = plate(volts="115 V", rla="9 A", lra="50 A", run_capacitor="35 uF", ohms=None)
    study = study_on(small, None)
    assert study.parts["supply"].volts == approx(230.0)
    assert ("supply.N", "breaker.2i") in {(wire.begin, wire.end) for wire in study.wires}


def test_the_site_stands_in_the_study():
    parts = study_on(plate(supply=SITE), None).parts
    assert parts["supply"].transformer == approx(10e3)
    assert (parts["supply"].conductor, parts["supply"].length) == ("10 mm2", approx(60.0))


def test_a_line_to_neutral_supply_has_the_whole_loop():
    # 15 kVA at 230 V: (1.20 + j1.70) % of 3.527 ohm; 60 m of 10 mm2: 2 x 60 x 2.189 mohm
    site = {**SITE, "transformer": "15 kVA"}
    part = study_on(plate(hz="50 Hz", ohms=None, supply=site), None).parts["supply"]
    loop = part.phase_resistance + part.neutral_resistance
    assert loop == approx(0.0423 + 0.2626, rel=0.01)


def test_every_proof_study_builds():
    for gear in (None, KIT, "P20"):
        elements, roles = build(study_on(plate(), gear))
        assert roles.part("compressor") == "comp"
        assert len(elements.machines) == 1


def test_a_generator_of_the_plate():
    unit = plate(generator={"transient_reactance": "25 %"})
    study = bench.study_of(unit, None, feed.generator(unit, 8000.0), 30.0)
    part = study.parts["supply"]
    assert (part.kind, part.rating, part.transient) == ("generator", 8000.0, 0.25)
    assert part.subtransient == approx(0.15)
    assert ("supply.2", "breaker.2i") in {(wire.begin, wire.end) for wire in study.wires}


def test_a_115_volt_unit_has_the_whole_winding_of_its_generator():
    small = plate(volts="115 V", rla="9 A", lra="50 A", ohms=None)
    found = feed.generator(small, 4000.0)
    assert (found.part["volts"], found.legs) == ("115.0 V", ("1", "2"))
