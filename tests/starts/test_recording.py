"""Reading a record: times, contacts, cycle rms; and how a record is made."""

import pytest
from pytest import approx

from tests.starts.made import event, record
from tests.starts.runs import report_of
from tests.starts.variants import study
from trainer.starts import watching as w
from trainer.starts.recording import LONGEST_START_S, MOST_SAMPLES, record_circuit
from trainer.study.build import build, moves


def test_contacts_at_a_time():
    found = record(
        [event(0.2, "closed", "k"), event(0.3, "parted", "k"), event(0.35, "opened", "k")]
    )
    assert not found.closed_at(0.1).get("k", False)
    assert found.closed_at(0.2)["k"]
    assert found.closed_at(0.32)["k"], "a parted contact that still conducts is shut"
    assert not found.closed_at(0.36)["k"]


def test_times_and_samples():
    found = record(values={"x": 2.0})
    assert found.index(0.5) == 499
    assert found.index(99.0) == 999
    assert len(found.between("x", 0.1, 0.2)) == 101
    assert found.cycle_rms("x")[-1] == approx(2.0)


@pytest.mark.parametrize(
    "name, there, missing",
    [
        ("psc", {w.V_SC, w.RUN_CAP_V, w.CONTACTOR_V, w.LEGS[0]}, {w.START_CAP_V, w.RELAY, w.PTC_V}),
        ("potential-relay", {w.START_CAP_V, w.RELAY_RMS, w.START_CONTACT_A}, {w.PTC_V}),
        ("ptc", {w.PTC_V, w.WARM + "ptc"}, {w.START_CAP_V}),
        ("fifty-hertz", {w.LEGS[2], w.LINE[0]}, {w.LEGS[0], w.LINE[1]}),
        ("current-relay", {w.RELAY, w.START_CAP_A}, {w.RUN_CAP_V, w.CONTACTOR_V}),
    ],
)
def test_what_is_recorded_follows_the_circuit(name, there, missing):
    values = report_of(name).record.trace.values
    assert there <= set(values)
    assert not missing & set(values)


def test_a_long_record_is_thinned_and_keeps_its_waves():
    which = study("locked-rotor")
    found = record_circuit(*build(which), moves(which), 12.0)
    assert len(found.t_s) <= MOST_SAMPLES
    assert found.per_cycle >= 80
    assert LONGEST_START_S / MOST_SAMPLES < 1.0 / 60.0 / 30.0, "30 samples a cycle at the longest"
