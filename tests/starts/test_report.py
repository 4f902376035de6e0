"""The report: every field documented, plain data, and what it says of unusual circuits."""

import json

import pytest
from pytest import approx

from tests.starts.runs import data_of, report_of
from trainer.cli.envelope import plain
from trainer.starts.fields import FIELDS, field_names
from trainer.starts.run import run_start
from trainer.study.load import study_names
from trainer.study.model import Study

#: Names that the report promises to every program that reads it.
PROMISED = {
    "peak_line_a",
    "max_cycle_rms_line_a",
    "clamp_inrush_a",
    "clamp_maxhold_a",
    "time_to_90pct_s",
    "disengage_s",
    "disengage_speed_ratio",
    "recloses",
    "outcome",
    "also",
    "over_torque",
    "start_winding_peak_v",
    "start_capacitor_peak_v",
    "start_capacitor_left_v",
    "start_capacitor_energy_j",
    "run_line_rms_a",
    "speed_rpm",
    "sag_pct",
    "dmax_pct",
    "dc_pct",
    "pst",
    "heat_j",
    "trips",
}


@pytest.mark.parametrize("name", study_names())
def test_the_documented_fields_are_the_fields(name):
    assert list(data_of(name)) == field_names()


@pytest.mark.parametrize("name", study_names())
def test_every_report_is_plain_json(name):
    text = json.dumps(plain(data_of(name)), allow_nan=False)
    assert json.loads(text)["title"] == report_of(name).title


def test_the_promised_names_are_there():
    assert set(field_names()) >= PROMISED
    assert all(field.meaning for field in FIELDS)


def test_nothing_connected_is_an_outcome():
    parts = {"comp": {"kind": "compressor", "machine": "anchor"}}
    found = run_start(Study(study=1, title="alone on the bench", parts=parts, until="0.1 s"))
    assert found.outcome == "no_power"
    assert found.as_data()["peak_line_a"] is None


def test_a_supply_alone_is_an_outcome():
    parts = {"service": {"kind": "split_phase_service"}}
    found = run_start(Study(study=1, title="service", parts=parts, until="0.1 s"))
    assert found.outcome == "no_power"


def test_a_short_without_a_compressor_is_an_outcome():
    parts = {
        "service": {"kind": "split_phase_service"},
        "breaker": {"kind": "breaker", "rating": "30 A"},
    }
    wires = [
        {"from": "service.L1", "to": "breaker.1i"},
        {"from": "service.L2", "to": "breaker.2i"},
        {"from": "breaker.1o", "to": "breaker.2o"},
    ]
    found = run_start(Study(study=1, title="s", parts=parts, wires=wires, until="0.2 s"))
    assert found.outcome == "short_circuit"
    assert {t.device for t in found.evidence.trips} == {"breaker~magnet1", "breaker~magnet2"}


def test_half_of_a_start_is_not_called_finished():
    found = run_start(report_study("potential-relay"), until_s=0.1)
    assert found.outcome == "stalled"
    assert found.evidence.time_to_full_s is None


def report_study(name):
    from tests.starts.variants import study

    return study(name)


def test_heat_is_booked_to_parts():
    data = data_of("potential-relay")
    assert {"comp", "fan", "sc", "wires", "breaker", "rotors"} <= set(data["heat_j"])
    assert sum(data["heat_j"].values()) == approx(
        data["energy_j"]["heat"] + data["energy_j"]["rotor"], rel=1e-6
    )


def test_a_loose_joint_is_the_hottest_wire():
    from tests.starts.variants import study

    base = study("psc")
    wires = [w.model_copy(update={"joint": 0.1}) if w.end == "comp.R" else w for w in base.wires]
    found = run_start(base.model_copy(update={"wires": wires})).as_data()["hottest_wire"]
    assert found["name"] == "contactor.T2>comp.R"
