"""The motor of a plate: one machine for phasors and simulated starts."""

from dataclasses import replace

import pytest
from pytest import approx

from tests.sizing.plates import plate
from trainer.sizing import bench, feed, motor
from trainer.study.build import build


def test_the_fitted_motor_draws_the_plate():
    found = motor.of_plate(plate())
    assert found.fit.values["lra_a"] == approx(78.6, rel=0.02)
    assert found.line.volts == 230.0
    assert found.params.r_main == approx(0.55, rel=0.03)


def test_the_proof_study_holds_the_same_machine_and_load():
    for more in ({}, {"compressor": "reciprocating", "metering": "hard_shutoff_valve"}):
        found = motor.of_plate(plate(**more))
        study = bench.study_of(plate(**more), None, feed.line(plate(), 1.0), 30.0)
        machine = build(study)[0].machines[0]
        assert machine.params == replace(found.params, core_ohms=0.0)
        assert machine.load == found.load


def test_pressures_left_stand_in_the_way():
    equal = motor.of_plate(plate(compressor="reciprocating"))
    against = {"compressor": "reciprocating", "metering": "hard_shutoff_valve"}
    standing = motor.of_plate(plate(**against))
    assert equal.at_rest_nm < 0.6
    assert standing.load.lift == 1.0
    # a quarter of the running torque, which is rated torque less friction
    assert standing.load.run_nm == approx(0.25 * equal.load.run_nm)
    half = motor.of_plate(plate(**against, pressure_left="50 %"))
    assert half.load.run_nm == approx(0.5 * equal.load.run_nm)


@pytest.mark.parametrize(
    ("more", "ratio", "starts"),
    [
        ({}, 1.0, True),
        ({}, 0.5, False),
        ({"compressor": "reciprocating", "metering": "hard_shutoff_valve"}, 1.0, False),
    ],
)
def test_mean_torque_against_mean_load(more, ratio, starts):
    found = motor.of_plate(plate(**more))
    line = replace(found.line, volts=ratio * 230.0)
    assert motor.starts_by_phasors(found, line) is starts


def test_what_the_plate_leaves_open_is_told_as_ranges():
    notes = motor.of_plate(plate(ohms=None)).notes
    assert "V(S-C) at rated load" in notes[0]
    assert " to " in notes[0]
    assert any("C-R and C-S" in note for note in notes)
